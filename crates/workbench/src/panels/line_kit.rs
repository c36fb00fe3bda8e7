//! Line 8: what leaves the program.

use egui::Ui;
use seamwright_project::kit::{self, KitMarkChanged};
use seamwright_project::{Crumb, Edit, Piece};

use super::line::remark;
use crate::app::command::Command;
use crate::app::state::State;
use crate::app::{Action, Queue, words};
use crate::text::{self, terms};

/// Shows the line's content.
pub fn show(ui: &mut Ui, state: &State, queue: &mut Queue) {
    remark(ui, text::kit::what(&state.recipe().file_in_costume(kit::MANIFEST)));
    let too_big = state.too_big();
    if too_big > 0 {
        super::line::trouble(ui, &text::kit::too_big(too_big));
    }
    crumbs(ui, state, queue);
    let possible = Command::WriteKit.is_possible(state);
    let button = ui.add_enabled(possible, egui::Button::new(text::kit::WRITE));
    if button.on_hover_text(Command::WriteKit.tooltip(ui.ctx())).clicked() {
        queue.push(Action::Run(Command::WriteKit));
    }
    if let Some(kit) = &state.kit {
        ui.label(text::kit::lies_in(kit.pieces, &kit.folder));
        left(ui, &kit.left);
        remarked(ui, &kit.marks_changed);
        if kit.recipe != *state.recipe() {
            remark(ui, text::kit::CHANGED);
        }
    } else if let Some(found) = &state.kit_found {
        let ago = words::ago(found.written, std::time::SystemTime::now());
        ui.label(text::kit::lies_from_before(found.pieces, &found.folder, &ago));
        left(ui, &found.left);
        remarked(ui, &found.marks_changed);
    }
}

/// What is so little that nobody meant it: what the kit will hold all the same, and what it leaves out.
fn crumbs(ui: &mut Ui, state: &State, queue: &mut Queue) {
    let held = state.pieces().iter().filter(|piece| piece.is_crumb() && piece.crumb != Some(Crumb::Vanishes));
    let held: Vec<&str> = held.map(|piece| piece.mark.as_str()).collect();
    if !held.is_empty() {
        let told = ui.scope(|ui| super::line::trouble(ui, &text::kit::crumbs(&held)));
        told.response.on_hover_text(terms::CRUMB.means);
        if ui.button(text::kit::LEAVE_CRUMBS_OUT).on_hover_text(text::cuts::CRUMBS_LEFT_OUT_HINT).clicked() {
            queue.edit(Edit::SetLeaveOutCrumbs(true));
        }
    }
    let Some(outcome) = &state.outcome else { return };
    let marks = |pieces: &mut dyn Iterator<Item = &Piece>| pieces.map(|piece| piece.mark.clone()).collect::<Vec<_>>();
    let asked = marks(&mut outcome.left_out.iter());
    let vanishing = marks(&mut outcome.pieces.iter().filter(|piece| piece.crumb == Some(Crumb::Vanishes)));
    if !asked.is_empty() {
        remark(ui, text::kit::left_out(&asked));
    }
    if !vanishing.is_empty() {
        super::line::trouble(ui, &text::kit::vanishing(&vanishing));
    }
}

/// Files of an earlier kit that lie among those of this one: whoever prints the folder would print them too.
fn left(ui: &mut Ui, files: &[String]) {
    if !files.is_empty() {
        let told = ui.scope(|ui| super::line::trouble(ui, &text::kit::left_from_before(files)));
        told.response.on_hover_text(files.join(", "));
    }
}

/// Pieces that are marked otherwise than in the kit before, of which some may be printed.
fn remarked(ui: &mut Ui, changed: &[KitMarkChanged]) {
    if !changed.is_empty() {
        let changed = changed.iter().map(|piece| (piece.was.as_str(), piece.now.as_str()));
        super::line::trouble(ui, &text::kit::marks_changed(changed));
    }
}
