//! Carries out commands, from whichever key or list they come.

use seamwright_project::{CutId, Edit};

use super::action::Action;
use super::command::Command;
use super::files::Purpose;
use super::first_job::JobAction;
use super::manual::ManualAction;
use super::messages::About;
use super::state::{Line, Next, Tool};
use super::{App, scene};
use crate::text;

impl App {
    pub(super) fn run(&mut self, command: Command, ctx: &egui::Context) {
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
            Command::CutThroughPoints => {
                self.state.picks_line = false;
                self.begin_tool(Tool::PickPoints(Vec::new()), Line::Cuts);
            }
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
}
