//! Line 5: the cuts, one card each, and the ways to add one.

use egui::Ui;
use seamwright_geometry::Point;
use seamwright_geometry::best_plane;
use seamwright_project::Edit;

use super::cut_card::cut_card;
use super::line::{remark, trouble};
use super::step_off::step_off;
use crate::app::command::Command;
use crate::app::placing::residual_words;
use crate::app::state::{State, Tool};
use crate::app::{Action, Queue, words};

/// Shows the line's content.
pub fn show(ui: &mut Ui, state: &State, queue: &mut Queue) {
    match &state.tool {
        _ if state.stepping.is_some() => step_off(ui, state, queue),
        Tool::Look
        | Tool::Distance(_)
        | Tool::BorePoints(_)
        | Tool::MagnetPlaces(_)
        | Tool::StandOn
        | Tool::Measure(_) => ways_to_add(ui, state, queue),
        Tool::CutOnSurface => placing_on_surface(ui, queue),
        Tool::PickPoints(points) => picking_points(ui, points, queue),
    }
    for cut in &state.recipe().cuts {
        cut_card(ui, state, queue, cut);
    }
    let mut together = state.recipe().keep_bodies_together;
    if !state.recipe().cuts.is_empty()
        && ui
            .checkbox(&mut together, "unconnected bodies stay one piece")
            .on_hover_text("Where a cut leaves several bodies on one side, they are one piece to print")
            .changed()
    {
        queue.edit(Edit::SetKeepBodiesTogether(together));
    }
}

fn ways_to_add(ui: &mut Ui, state: &State, queue: &mut Queue) {
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 5.0;
        ui.label("Add a cut by");
        let ways = [
            (Command::CutOnSurface, "surface"),
            (Command::CutThroughPoints, "points"),
            (Command::CutByNumber, "number"),
            (Command::StepOff, "stepping off"),
        ];
        for (command, words) in ways {
            let button = ui.add_enabled(command.is_possible(state), egui::Button::new(words));
            if button.on_hover_text(command.tooltip(ui.ctx())).clicked() {
                queue.push(Action::Run(command));
            }
        }
    });
}

fn placing_on_surface(ui: &mut Ui, queue: &mut Queue) {
    ui.label("Click the model where the cut should go.");
    leave(ui, queue);
}

fn picking_points(ui: &mut Ui, points: &[Point], queue: &mut Queue) {
    let count = points.len();
    ui.label(match count {
        0 => "Click points along the line of the cut: three or more for a plane, two or more for a line.".to_owned(),
        1 => "1 point picked; one more makes a line, two more a plane.".to_owned(),
        2 => "2 points picked; one more makes a plane.".to_owned(),
        _ => format!("{count} points picked. More make it surer; a click on a point takes it back."),
    });
    if count >= 3 {
        match best_plane(points) {
            Ok(best) => {
                remark(ui, format!("The best plane goes {}.", residual_words(best.residual_mm, count)));
                if count > 3 {
                    let off = |p: &Point| words::mm(best.plane.distance_mm(p).abs());
                    let each: Vec<String> = points.iter().map(off).collect();
                    remark(ui, format!("Off it, in order: {} mm", each.join(" · ")));
                }
            }
            Err(error) => trouble(ui, &error.to_string()),
        }
    }
    ui.horizontal_wrapped(|ui| {
        if ui.add_enabled(count >= 3, egui::Button::new("cut by the best plane")).clicked() {
            queue.push(Action::CutThroughPoints);
        }
        let along = ui.add_enabled(count >= 2, egui::Button::new("cut along the line"));
        if along.on_hover_text("From point to point, and straight into the picture as you see it now").clicked() {
            queue.push(Action::CutAlongPoints);
        }
        if ui.add_enabled(count > 0, egui::Button::new("take the last back")).clicked() {
            queue.push(Action::DropPoint(count - 1));
        }
        leave(ui, queue);
    });
}

fn leave(ui: &mut Ui, queue: &mut Queue) {
    if ui.button("leave it").on_hover_text(Command::LayDown.tooltip(ui.ctx())).clicked() {
        queue.push(Action::Run(Command::LayDown));
    }
}
