//! What the end of a frame brings: files that were dropped, work that follows from the state, the picture, the title.

use std::time::Duration;

use seamwright_project::Recipe;

use super::action::Action;
use super::{App, PROGRESS_EVERY, crash, state};
use crate::bench::StandardView;
use crate::text;

/// Work that takes less than this is not worth a word.
const LONG_WORK: Duration = Duration::from_millis(250);

impl App {
    pub(super) fn note_drops_and_closing(&mut self, ctx: &egui::Context) {
        for file in ctx.input(|i| i.raw.dropped_files.clone()) {
            self.queue.push(Action::OpenAny(file.path().to_path_buf()));
        }
        let closing = ctx.input(|i| i.viewport().close_requested());
        if closing && !self.may_close && self.state.document.is_unsaved() {
            ctx.send_viewport_cmd(egui::ViewportCommand::CancelClose);
            self.state.question = Some(state::Question::Unsaved(state::Next::Close));
        }
    }

    /// What follows from the state as it is after all actions.
    pub(super) fn keep_going(&mut self, ctx: &egui::Context) {
        crash::remember(self.state.document.recipe());
        let folder = self.state.document.folder();
        if !self.state.stopped {
            self.engine.evaluate(self.state.document.recipe(), &folder);
        }
        self.update_live(&folder, ctx);
        self.update_live_bore(&folder);
        self.update_typing();
        self.update_details();
        self.update_sketch();
        self.update_tapes();
        self.read_own_beds();
        self.update_stepping(&folder);
        self.update_compare(&folder, ctx);
        self.update_advice(ctx);
        self.update_start();
        self.update_first_job(ctx);
        self.frame_new_part();
        self.state.work = self.engine.work().map(|(stage, fraction, since)| {
            ctx.request_repaint_after(PROGRESS_EVERY);
            state::Work { stage, fraction, is_long: since.elapsed() > LONG_WORK }
        });
        self.keep_habits(ctx);
        if let Some(left) = self.state.messages.fade() {
            ctx.request_repaint_after(left);
        }
        self.recovery.autosave_when_due(&mut self.state, ctx);
        self.show_title(ctx);
    }

    /// Another model, or the same at another size, comes into the picture by itself.
    fn frame_new_part(&mut self) {
        let Some(outcome) = &self.state.outcome else { return };
        let look = |recipe: &Recipe| (recipe.stock.clone(), recipe.beside.clone(), recipe.size, recipe.stance);
        if self.last_look.as_ref().is_some_and(|last| look(last) == look(&outcome.recipe)) {
            return;
        }
        let Some(bounds) = self.state.part_bounds() else { return };
        let another = self.last_look.replace(outcome.recipe.clone()).is_none();
        if another {
            // Another project is looked at afresh, and at once: there is nothing to come from.
            let glides = std::mem::replace(&mut self.bench.reduce_motion, true);
            self.bench.look_at_from(&bounds, StandardView::ThreeQuarter);
            self.bench.reduce_motion = glides;
        } else {
            self.bench.frame(&bounds);
        }
    }

    fn show_title(&mut self, ctx: &egui::Context) {
        let title = text::header::window(self.state.document.is_unsaved(), &self.state.recipe().name);
        if title != self.title_shown {
            ctx.send_viewport_cmd(egui::ViewportCommand::Title(title.clone()));
            self.title_shown = title;
        }
    }
}
