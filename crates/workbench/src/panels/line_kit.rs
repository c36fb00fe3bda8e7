//! Line 8: what leaves the program.

use egui::Ui;

use super::line::remark;
use crate::app::command::Command;
use crate::app::state::State;
use crate::app::{Action, Queue, words};

/// Shows the line's content.
pub fn show(ui: &mut Ui, state: &State, queue: &mut Queue) {
    remark(ui, "Every piece as STL, lying on the bed, and manifest.json with marks, sizes, fit and the way back.");
    let too_big = state.pieces().iter().filter(|piece| !piece.fit.verdict.fits()).count();
    if too_big > 0 {
        let piece_words = words::count(too_big, "piece does", "pieces do");
        super::line::trouble(ui, &format!("{piece_words} not fit the bed yet; the kit will say so too"));
    }
    let possible = Command::WriteKit.is_possible(state);
    let button = ui.add_enabled(possible, egui::Button::new("write the kit"));
    if button.on_hover_text(Command::WriteKit.tooltip(ui.ctx())).clicked() {
        queue.push(Action::Run(Command::WriteKit));
    }
    if let Some(kit) = &state.kit {
        ui.label(format!("{} in {}", words::count(kit.pieces, "piece", "pieces"), kit.folder.display()));
        if kit.recipe != *state.recipe() {
            remark(ui, "The recipe has changed since: write it again.");
        }
    }
}
