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
        remark(ui, "A bore is a channel for a rod. It is made before the cuts, and so lines up through every piece.");
        return;
    }
    rod_list(ui, state);
    remark(ui, CAUTION);
}

/// What a rod in a prop asks for.
pub const CAUTION: &str = "A rod makes a prop heavier and harder. It is not protective equipment and no real weapon: follow \
                           your venue's weapon policy and local codes; where they differ from this text, they decide.";

fn ways_to_add(ui: &mut Ui, state: &State, queue: &mut Queue) {
    let possible = state.part_bounds().is_some();
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 5.0;
        ui.label("Add a bore along");
        for axis in Axis::ALL {
            let button = ui.add_enabled(possible, egui::Button::new(axis.name()));
            let name = format!("bore along {}", axis.name());
            button.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, possible, &name));
            if button.on_hover_text("Through the middle of the model's box, from side to side").clicked() {
                queue.push(Action::Bore(BoreAction::Along(axis)));
            }
        }
        let middle = ui.add_enabled(possible, egui::Button::new("the middle"));
        if middle.on_hover_text("Along the middle of the material, from end to end of its longest side").clicked() {
            queue.push(Action::Bore(BoreAction::AlongMiddle));
        }
        let command = Command::BoreThroughPoints;
        let points = ui.add_enabled(command.is_possible(state), egui::Button::new("two points"));
        if points.on_hover_text(command.tooltip(ui.ctx())).clicked() {
            queue.push(Action::Run(command));
        }
    });
}

fn picking(ui: &mut Ui, points: &[Point], queue: &mut Queue) {
    ui.label(match points.len() {
        0 => "Click the model where the rod goes in.",
        _ => "Click where it should come out; a click on the point takes it back.",
    });
    if ui.button("leave it").on_hover_text(Command::LayDown.tooltip(ui.ctx())).clicked() {
        queue.push(Action::Run(Command::LayDown));
    }
}
