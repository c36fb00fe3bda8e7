//! Applies what panels ask for. Nothing else changes the state.

use seamwright_project::{CutId, Edit};

use super::action::Action;
use super::command::Command;
use super::engine::MeasureFor;
use super::files::{Choice, Purpose};
use super::first_job::JobAction;
use super::manual::{ManualAction, OpenManual, Page};
use super::messages::About;
use super::sets::SetAction;
use super::state::{Line, Next, Preview, Question, Tool};
use super::{App, at_hand, pointing, scene};
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

    fn run(&mut self, command: Command, ctx: &egui::Context) {
        if !command.is_possible(&self.state) {
            return;
        }
        match command {
            Command::NewProject => self.leaving(Next::New),
            Command::Open => self.leaving(Next::AskWhatToOpen),
            Command::Save => self.save_to(None),
            Command::SaveAs => self.choose(Purpose::SaveAs),
            Command::Undo => {
                self.state.document.undo();
                self.recipe_changed();
            }
            Command::Redo => {
                self.state.document.redo();
                self.recipe_changed();
            }
            Command::History => self.state.history_open = !self.state.history_open,
            Command::Commands => self.state.commands_open = !self.state.commands_open,
            Command::AtHand => self.list_at_hand(),
            Command::Manual => self.queue.push(Action::Manual(ManualAction::Toggle)),
            Command::StartSheet => self.state.start.open = !self.state.start.open,
            Command::FirstJob => self.leaving(Next::FirstJob),
            Command::OpenStock => self.choose(Purpose::OpenStock),
            Command::CutOnSurface => self.begin_tool(Tool::CutOnSurface, Line::Cuts),
            Command::CutThroughPoints => self.begin_tool(Tool::PickPoints(Vec::new()), Line::Cuts),
            Command::BoreThroughPoints => self.begin_tool(Tool::BorePoints(Vec::new()), Line::Bores),
            Command::StepOff => self.begin_stepping(),
            Command::RemoveBore => {
                if let Some(id) = self.state.held_bore().map(|bore| bore.id) {
                    self.apply_edit(Edit::RemoveBore(id));
                }
            }
            Command::MeasureDistance => self.begin_tool(Tool::Distance(Vec::new()), Line::Size),
            Command::Measure(kind) => self.begin_measuring(kind),
            Command::StandOnFace => self.begin_tool(Tool::StandOn, Line::Size),
            Command::CutByNumber => self.add_cut_by_number(),
            Command::RemoveCut => self.edit_held(|id, _, _| Edit::RemoveCut(id)),
            Command::SwitchCut => self.edit_held(|id, _, on| Edit::SetCutEnabled { cut: id, enabled: !on }),
            Command::CutEarlier => self.edit_held(|id, at, _| Edit::MoveCut { cut: id, to: at.saturating_sub(1) }),
            Command::CutLater => self.edit_held(|id, at, _| Edit::MoveCut { cut: id, to: at + 1 }),
            Command::LayDown => self.lay_down(),
            Command::FrameAll => self.look_at_all(),
            Command::FrameSelection => self.look_at_selection(),
            Command::LookFrom(view) => {
                match scene::build(&self.state, &self.outlines).bounds() {
                    Some(bounds) => self.bench.look_at_from(&bounds, view),
                    None => self.bench.look_from(view),
                }
                self.apply_first_job(JobAction::LookedAround);
            }
            // By name it stays on until it is asked for again; its key acts while it is held.
            Command::CompareBefore => self.state.comparing = !self.state.comparing,
            Command::SelectAll
            | Command::HidePieces
            | Command::IsolatePieces
            | Command::SeeThrough
            | Command::ShowAll => self.run_on_set(command),
            Command::Explode => {
                let together = self.state.exploded == 0.0;
                self.state.exploded = if together { 1.0 } else { 0.0 };
            }
            Command::Magnifier => self.switch_magnifier(),
            Command::OpenLine(line) => self.state.open_line = Some(line),
            Command::WriteKit => self.choose(Purpose::KitFolder),
            Command::CancelWork => self.cancel_work(),
            Command::OtherLight => self.take_other_light(ctx),
            Command::LargerText => egui::gui_zoom::zoom_in(ctx),
            Command::SmallerText => egui::gui_zoom::zoom_out(ctx),
            Command::UsualText => ctx.set_zoom_factor(1.0),
            Command::LessMotion => {
                let less = !self.bench.reduce_motion;
                self.set_less_motion(less, ctx);
                self.state.messages.done(if less { text::bench::LESS_MOTION } else { text::bench::ALL_MOTION });
            }
            Command::FrameTimes => self.frame_times.shown = !self.frame_times.shown,
            Command::Quit => self.leaving(Next::Close),
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

    fn edit_held(&mut self, edit: impl FnOnce(CutId, usize, bool) -> Edit) {
        let Some(id) = self.state.cut_in_hand() else { return };
        let cuts = &self.state.recipe().cuts;
        if let Some(at) = cuts.iter().position(|cut| cut.id == id) {
            let edit = edit(id, at, cuts[at].enabled);
            self.apply_edit(edit);
        }
    }

    pub(super) fn begin_tool(&mut self, tool: Tool, line: Line) {
        self.take_in_hand(None);
        self.take_bore(None);
        self.state.stepping = None;
        self.state.exploded = 0.0;
        self.state.open_line = Some(line);
        self.state.tool = tool;
    }

    /// One thing at a time, from what lies on top.
    fn lay_down(&mut self) {
        let state = &mut self.state;
        if state.at_hand.take().is_some() {
            // Nothing else lies on top of it.
        } else if state.start.open {
            state.start.open = false;
        } else if state.commands_open || state.history_open {
            (state.commands_open, state.history_open) = (false, false);
        } else if state.manual.is_some() {
            state.manual = None;
        } else if state.pointed.is_some() {
            state.pointed = None;
        } else if state.advice.shown_cuts.is_some() {
            state.advice.shown_cuts = None;
        } else if state.tool != Tool::Look {
            state.tool = Tool::Look;
        } else if state.stepping.is_some() {
            state.stepping = None;
        } else if state.preview.is_some() {
            state.preview = None;
        } else if state.bore.preview.is_some() {
            state.bore.preview = None;
        } else if state.taken_cut.is_some() || state.bore.taken.is_some() {
            state.taken_cut = None;
            state.bore.taken = None;
        } else if state.comparing {
            state.comparing = false;
        } else {
            self.select_piece(None);
        }
    }

    fn switch_magnifier(&mut self) {
        self.bench.magnifies = !self.bench.magnifies;
        let said = if self.bench.magnifies { text::bench::MAGNIFIER_ON } else { text::bench::MAGNIFIER_OFF };
        self.state.messages.done_about(About::Magnifier, said);
    }

    fn look_at_all(&mut self) {
        let scene = scene::build(&self.state, &self.outlines);
        if let Some(bounds) = scene.bounds() {
            self.bench.frame(&bounds);
        }
    }

    pub(super) fn look_at_selection(&mut self) {
        let scene = scene::build(&self.state, &self.outlines);
        match scene.selected_bounds() {
            Some(bounds) => self.bench.frame(&bounds),
            None => self.look_at_all(),
        }
    }

    /// Brings a place into the middle, near enough to see what is wrong with it, and points it out.
    fn look_at_place(&mut self, place: seamwright_geometry::Point) {
        let Some(part) = self.state.part_bounds() else { return };
        self.state.exploded = 0.0;
        self.state.pointed = Some(place);
        let scene = scene::build(&self.state, &self.outlines);
        self.bench.look_at_place(&scene, &place, part.diagonal() * PLACE_SHARE);
    }

    /// Brings places into the picture, with room around them.
    pub(super) fn look_at_places(&mut self, places: &[seamwright_geometry::Point]) {
        let (Some(part), Some(around)) =
            (self.state.part_bounds(), seamwright_geometry::Bounds::of(places.iter().copied()))
        else {
            return;
        };
        let room = seamwright_geometry::Vector::repeat(part.diagonal() * PLACE_SHARE);
        self.state.exploded = 0.0;
        self.bench.frame(&seamwright_geometry::Bounds { min: around.min - room, max: around.max + room });
    }

    /// Lights a shell up and brings it into the picture.
    fn select_shell(&mut self, shell: Option<u32>) {
        self.state.selected_shell = shell;
        if let Some(bounds) = scene::shell_bounds(&self.state) {
            self.state.exploded = 0.0;
            self.bench.frame(&bounds);
        }
    }

    /// Has the parts looked at closely.
    fn look_closely(&mut self) {
        let Some(outcome) = self.state.outcome.clone() else { return };
        self.engine.look_closely(outcome);
    }

    fn show_finding(&mut self, part: usize, finding: usize) {
        self.state.shown_finding = Some((part, finding));
        let place = self.state.looked.as_ref().and_then(|looked| looked.parts.get(part)?.findings.get(finding)?.place);
        if let Some(place) = place {
            self.look_at_place(place);
        }
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

/// What is shown around a place, to each side, as a share of the part's diagonal.
const PLACE_SHARE: f64 = 0.06;
