//! Line 4: the bores, one card each, the ways to add one, and the rods that they take.

use egui::Ui;
use seamwright_geometry::Point;
use seamwright_project::Axis;

use super::bore_card::bore_card;
use super::line::remark;
use super::magnets::{magnets, picking_magnets};
use super::rod_list::rod_list;
use crate::app::command::Command;
use crate::app::state::{State, Tool};
use crate::app::{Action, BoreAction, Queue};
use crate::text;

/// Shows the line's content.
pub fn show(ui: &mut Ui, state: &State, queue: &mut Queue) {
    match &state.tool {
        Tool::BorePoints(points) => picking(ui, points, queue),
        Tool::MagnetPlaces(_) => picking_magnets(ui, state, queue),
        _ => {
            ways_to_add(ui, state, queue);
            magnets(ui, state, queue);
        }
    }
    for bore in &state.recipe().bores {
        bore_card(ui, state, queue, bore);
    }
    if state.recipe().bores.is_empty() {
        remark(ui, text::bores::NONE_YET);
        return;
    }
    rod_list(ui, state);
    remark(ui, text::bores::CAUTION);
}

fn ways_to_add(ui: &mut Ui, state: &State, queue: &mut Queue) {
    let possible = state.part_bounds().is_some();
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 5.0;
        ui.label(text::bores::ADD_ALONG);
        for axis in Axis::ALL {
            let button = ui.add_enabled(possible, egui::Button::new(axis.name()));
            let name = text::bores::along(axis.name());
            button.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, possible, &name));
            if button.on_hover_text(text::bores::ALONG_HINT).clicked() {
                queue.push(Action::Bore(BoreAction::Along(axis)));
            }
        }
        let middle = ui.add_enabled(possible, egui::Button::new(text::bores::THE_MIDDLE));
        if middle.on_hover_text(text::bores::THE_MIDDLE_HINT).clicked() {
            queue.push(Action::Bore(BoreAction::AlongMiddle));
        }
        let command = Command::BoreThroughPoints;
        let points = ui.add_enabled(command.is_possible(state), egui::Button::new(text::bores::TWO_POINTS));
        if points.on_hover_text(command.tooltip(ui.ctx())).clicked() {
            queue.push(Action::Run(command));
        }
    });
}

fn picking(ui: &mut Ui, points: &[Point], queue: &mut Queue) {
    ui.label(match points.len() {
        0 => text::bores::CLICK_IN,
        _ => text::bores::CLICK_OUT,
    });
    if ui.button(text::common::LEAVE_IT).on_hover_text(Command::LayDown.tooltip(ui.ctx())).clicked() {
        queue.push(Action::Run(Command::LayDown));
    }
}
