//! Saving, closing, and the kit.

use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::SystemTime;

use super::App;
use super::engine::Overwrite;
use super::files::Purpose;
use super::state::Next;
use crate::text;

impl App {
    /// Saves to the project file, or to `path` from now on; asks for a place where there is none.
    pub(super) fn save_to(&mut self, path: Option<PathBuf>) {
        let own = self.state.document.path();
        // A demo that was opened by its file is not written over either: a place for a copy is asked for.
        if path.is_none() && own.is_none_or(|own| self.is_demo(own)) {
            self.choose(Purpose::SaveAs);
            return;
        }
        match self.state.document.save(path.as_deref()) {
            Ok(()) => {
                self.state.saved_at = Some(SystemTime::now());
                self.recovery.saved();
                if let Some(path) = self.state.document.path().map(Path::to_path_buf) {
                    self.note_recent(&path);
                }
                if let Some(next) = self.after_saving.take() {
                    self.go_on(next);
                }
            }
            Err(error) => {
                self.after_saving = None;
                self.state.messages.error(error);
            }
        }
    }

    /// Asks once more where to save; what should come after saving still does.
    pub(super) fn ask_where_else(&mut self, there: &Path) {
        let (folder, name) = (there.parent().unwrap_or(there), there.file_name().unwrap_or_default());
        self.chooser.ask(Purpose::SaveAs, folder.to_path_buf(), &name.to_string_lossy(), self.wake.clone());
    }

    /// Saves, then goes on to `next`.
    pub(super) fn save_then(&mut self, next: Next) {
        self.after_saving = Some(next);
        self.save_to(None);
    }

    /// Closes the window; unsaved work is safe or given up.
    pub(super) fn close_now(&mut self, ctx: &egui::Context) {
        self.may_close = true;
        self.recovery.leave(&self.state);
        ctx.send_viewport_cmd(egui::ViewportCommand::Close);
    }

    /// Writes the kit of what is shown into `folder`.
    pub(super) fn write_kit(&mut self, folder: PathBuf, replace: bool) {
        let Some(outcome) = self.state.outcome.clone().filter(|_| !self.state.is_out_of_date()) else {
            self.state.messages.error(text::kit::NOT_READY);
            return;
        };
        if outcome.pieces.is_empty() {
            self.state.messages.error(text::kit::NO_PIECES);
            return;
        }
        let overwrite = if replace { Overwrite::Allow } else { Overwrite::Refuse };
        self.engine.write_kit(Arc::clone(&outcome), folder, overwrite);
    }
}
