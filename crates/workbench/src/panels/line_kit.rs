//! Line 8: what leaves the program.

use egui::Ui;

use super::line::remark;
use crate::app::command::Command;
use crate::app::state::State;
use crate::app::{Action, Queue, words};
use crate::text;

/// Shows the line's content.
pub fn show(ui: &mut Ui, state: &State, queue: &mut Queue) {
    remark(ui, text::kit::WHAT);
    let too_big = state.pieces().iter().filter(|piece| !piece.fit.verdict.fits()).count();
    if too_big > 0 {
        super::line::trouble(ui, &text::kit::too_big(too_big));
    }
    let crumbs: Vec<&str> =
        state.pieces().iter().filter(|piece| piece.is_crumb()).map(|piece| piece.mark.as_str()).collect();
    if !crumbs.is_empty() {
        super::line::trouble(ui, &text::kit::crumbs(&crumbs));
    }
    let possible = Command::WriteKit.is_possible(state);
    let button = ui.add_enabled(possible, egui::Button::new(text::kit::WRITE));
    if button.on_hover_text(Command::WriteKit.tooltip(ui.ctx())).clicked() {
        queue.push(Action::Run(Command::WriteKit));
    }
    if let Some(kit) = &state.kit {
        ui.label(text::kit::lies_in(kit.pieces, &kit.folder));
        left(ui, &kit.left);
        if kit.recipe != *state.recipe() {
            remark(ui, text::kit::CHANGED);
        }
    } else if let Some(found) = &state.kit_found {
        let ago = words::ago(found.written, std::time::SystemTime::now());
        ui.label(text::kit::lies_from_before(found.pieces, &found.folder, &ago));
        left(ui, &found.left);
    }
}

/// Files of an earlier kit that lie among those of this one: whoever prints the folder would print them too.
fn left(ui: &mut Ui, files: &[String]) {
    if !files.is_empty() {
        let told = ui.scope(|ui| super::line::trouble(ui, &text::kit::left_from_before(files)));
        told.response.on_hover_text(files.join(", "));
    }
}
