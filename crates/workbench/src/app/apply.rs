//! Applies what panels ask for. Nothing else changes the state.

use seamwright_project::Edit;

use super::action::Action;
use super::engine::MeasureFor;
use super::files::Choice;
use super::manual::{ManualAction, OpenManual, Page};
use super::sets::SetAction;
use super::state::{Preview, Question, Tool};
use super::{App, at_hand, pointing};
use crate::text;

impl App {
    pub(super) fn apply(&mut self, action: Action, ctx: &egui::Context) {
        if pointing::is_over_after(&action) {
            self.state.pointed = None;
        }
        if at_hand::is_over_after(&action) {
            self.state.at_hand = None;
        }
        match action {
            Action::Run(command) => self.run(command, ctx),
            Action::Edit(edit) => {
                self.apply_edit(edit);
            }
            Action::Preview { cut, plane } => {
                let held = self.state.held_cut().filter(|held| held.id == cut);
                self.state.preview = held.and_then(|held| Some(Preview { plane: plane?, form: held.form.clone() }));
            }
            Action::PreviewForm { cut, form } => {
                let held = self.state.held_cut().filter(|held| held.id == cut);
                self.state.preview = held.and_then(|held| Some(Preview { plane: held.plane, form: form? }));
            }
            Action::Typing(action) => self.apply_typing(action),
            Action::Bore(action) => self.apply_bore(action),
            Action::Bed(action) => self.apply_bed(action),
            Action::Start(action) => self.apply_start(action),
            Action::Manual(action) => self.state.manual = manual_after(self.state.manual, action),
            Action::FirstJob(action) => self.apply_first_job(action),
            Action::FindPlace(cut) => self.find_place(cut),
            Action::Advise => self.ask_advice(),
            Action::StopAdvice => self.stop_advice(),
            Action::Step(action) => self.apply_step(action),
            Action::GoToStep(step) => {
                self.state.document.go_to(step);
                self.recipe_changed();
            }
            Action::ToggleLine(line) => {
                self.state.open_line = if self.state.open_line == Some(line) { None } else { Some(line) };
            }
            Action::OpenLine(line) => self.state.open_line = Some(line),
            Action::TakeCut(cut) => self.take_in_hand(cut),
            Action::KeepNewCut => self.state.new_cut = None,
            Action::TakeNewCutBack => self.take_new_cut_back(),
            Action::SelectPiece(piece) => self.select_piece(piece),
            Action::Set(action) => self.apply_set(action),
            Action::LightPiece(piece) => self.state.lit_piece = piece,
            Action::ShowPlace(place) => self.look_at_place(place),
            Action::ShowPiece(id) => {
                self.apply_set(SetAction::Show(id.clone()));
                self.select_piece(Some(id));
                self.look_at_selection();
            }
            Action::AtHand(list) => self.state.at_hand = list,
            Action::Explode(share) => self.state.exploded = share.clamp(0.0, 1.0),
            Action::Sort(order) => self.state.order = order,
            Action::PickPoint(point, part) => {
                self.state.picked_part = part;
                match &mut self.state.tool {
                    Tool::PickPoints(points) | Tool::MagnetPlaces(points) => points.push(point),
                    Tool::BorePoints(points) => {
                        points.push(point);
                        self.bore_through_points();
                    }
                    Tool::Distance(points) => {
                        // A third point begins anew.
                        if points.len() > 1 {
                            points.clear();
                        }
                        points.push(point);
                    }
                    Tool::Look | Tool::CutOnSurface | Tool::StandOn | Tool::Measure(_) => {}
                }
            }
            Action::PickForMeasure(hit) => self.pick_for_measure(&hit),
            Action::ShowMeasures(shown) => self.state.shows_measures = shown,
            Action::ShowMeasure(id) => self.show_measure(id),
            Action::DropPoint(at) => {
                if let Tool::Measure(measuring) = &mut self.state.tool {
                    measuring.drop_point(at);
                }
                if let Tool::PickPoints(points)
                | Tool::Distance(points)
                | Tool::BorePoints(points)
                | Tool::MagnetPlaces(points) = &mut self.state.tool
                    && at < points.len()
                {
                    points.remove(at);
                }
            }
            Action::CutThroughPoints => self.cut_through_points(),
            Action::CutAlongPoints => self.cut_along_points(),
            Action::LookClosely => self.look_closely(),
            Action::ShowCuts { piece, planes } => self.show_cuts(&piece, &planes),
            Action::ShowFinding(part, finding) => self.show_finding(part, finding),
            Action::SelectShell(shell) => self.select_shell(shell),
            Action::Wearing(wearing) => self.state.wearing = wearing,
            Action::MeasureInside(z_mm) => self.measure_inside(z_mm),
            Action::Ask(purpose) => self.choose(purpose),
            Action::Chosen(purpose, path) => self.chosen(Choice { purpose, path, replacement_agreed: true }),
            Action::OpenAny(path) => self.open_any(path),
            Action::StockMeasured(edit) => self.stock_measured(edit),
            Action::NewProjectFrom(path) => self.new_from(path),
            Action::OpenNow(path) => self.open_now(path),
            Action::NewNow => self.new_now(),
            Action::CloseNow => self.close_now(ctx),
            Action::Recover(recipe) => self.recover(*recipe),
            Action::DeclineRecovery => self.decline_recovery(),
            Action::RecoverLater => self.recover_later(),
            Action::PicksDone => self.picks_done(),
            Action::Missed => self.state.messages.done(text::bench::MISSED),
            Action::PickAlongLine => self.pick_along_line(),
            Action::WriteKit { folder, replace } => self.write_kit(folder, replace),
            Action::CancelWork => self.cancel_work(),
            Action::EvaluateAgain => self.evaluate_again(),
            Action::PutQuestion(question) => self.state.question = question,
            Action::DismissMessage(id) => self.state.messages.dismiss(id),
            Action::DismissUnopened => self.state.unopened = None,
            Action::HoldMessage(id) => self.state.messages.hold(id),
            Action::SaveThen(next) => self.save_then(next),
            Action::SaveElsewhere(path) => self.ask_where_else(&path),
            Action::SaveReplacing(path) => self.save_to(Some(path)),
            Action::UseAsStock(path) => self.measure(path, MeasureFor::NewStock),
            Action::UseBeside(path) => self.measure(path, MeasureFor::Beside),
        }
    }

    /// Makes an edit; `false`, with a message, where it can't be made.
    pub(super) fn apply_edit(&mut self, edit: Edit) -> bool {
        let (next_cut, next_bore) = (self.state.recipe().next_cut, self.state.recipe().next_bore);
        let edit = match edit {
            Edit::ChangeBore { bore, change } => Edit::ChangeBore { bore, change: self.stopping_inside(bore, change) },
            edit => edit,
        };
        if let Err(error) = self.state.document.apply(&edit) {
            self.state.preview = None;
            self.state.bore.preview = None;
            self.state.messages.refused(error);
            return false;
        }
        self.state.messages.changed();
        if let Edit::AddCut { .. } = edit {
            self.take_in_hand(Some(next_cut));
        }
        // However they were asked for: what was looked at is done.
        if let Edit::AddCuts { .. } = edit {
            self.state.stepping = None;
        }
        if let Edit::AddBore(_) | Edit::AddMagnets(_) = edit {
            self.take_bore(Some(next_bore));
        }
        self.recipe_changed();
        true
    }

    /// Follows every change of the recipe, by an edit, undo, or redo.
    pub(super) fn recipe_changed(&mut self) {
        self.state.preview = None;
        self.state.new_cut = None;
        self.state.comparing = false;
        self.state.stopped = false;
        if self.state.taken_cut.is_some() && self.state.cut_in_hand().is_none() {
            self.state.taken_cut = None;
        }
        self.state.bore.preview = None;
        self.state.bore.gain = None;
        if self.state.held_bore().is_none() {
            self.state.bore.taken = None;
        }
    }

    /// Has the parts looked at closely.
    fn look_closely(&mut self) {
        let Some(outcome) = self.state.outcome.clone() else { return };
        self.engine.look_closely(outcome);
    }

    /// Has the clear inside measured at a height.
    fn measure_inside(&mut self, z_mm: f64) {
        let Some(outcome) = self.state.outcome.clone() else { return };
        self.engine.measure_inside(outcome, z_mm);
    }

    pub(super) fn cancel_work(&mut self) {
        self.stop_advice();
        self.engine.stop();
    }

    pub(super) fn evaluate_again(&mut self) {
        self.state.stopped = false;
        self.engine.forget();
    }

    pub(super) fn ask_question(&mut self, question: Question) {
        self.state.question = Some(question);
    }
}

/// The manual after something was done with it: it opens where it is asked for.
fn manual_after(manual: Option<OpenManual>, action: ManualAction) -> Option<OpenManual> {
    match action {
        ManualAction::Toggle if manual.is_none() => Some(OpenManual { page: Page::Job }),
        ManualAction::Turn(page) => Some(OpenManual { page }),
        ManualAction::Toggle | ManualAction::Close => None,
    }
}
