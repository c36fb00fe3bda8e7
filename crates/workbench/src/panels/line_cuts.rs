//! Line 5: the cuts, one card each, and the ways to add one.

use egui::Ui;
use seamwright_geometry::Point;
use seamwright_geometry::best_plane;
use seamwright_project::Edit;

use super::cut_card::cut_card;
use super::line::{remark, trouble};
use super::step_off::step_off;
use crate::app::command::Command;
use crate::app::state::{State, Tool};
use crate::app::{Action, Queue};
use crate::text;

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
        Tool::PickPoints(points) => picking_points(ui, state, points, queue),
    }
    for cut in &state.recipe().cuts {
        cut_card(ui, state, queue, cut);
    }
    let mut together = state.recipe().keep_bodies_together;
    if !state.recipe().cuts.is_empty()
        && ui.checkbox(&mut together, text::cuts::TOGETHER).on_hover_text(text::cuts::TOGETHER_HINT).changed()
    {
        queue.edit(Edit::SetKeepBodiesTogether(together));
    }
    crumbs_left_out(ui, state, queue);
}

/// Whether crumbs are in the list: asked once there are any.
fn crumbs_left_out(ui: &mut Ui, state: &State, queue: &mut Queue) {
    let mut left_out = state.recipe().leave_out_crumbs;
    if !left_out && !state.pieces().iter().any(seamwright_project::Piece::is_crumb) {
        return;
    }
    let switch = ui.checkbox(&mut left_out, text::cuts::CRUMBS_LEFT_OUT);
    if switch.on_hover_text(text::cuts::CRUMBS_LEFT_OUT_HINT).changed() {
        queue.edit(Edit::SetLeaveOutCrumbs(left_out));
    }
}

fn ways_to_add(ui: &mut Ui, state: &State, queue: &mut Queue) {
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 5.0;
        ui.label(text::cuts::ADD_BY);
        let ways = [
            (Command::CutOnSurface, text::cuts::BY_SURFACE),
            (Command::CutThroughPoints, text::cuts::BY_POINTS),
            (Command::CutByNumber, text::cuts::BY_NUMBER),
            (Command::StepOff, text::cuts::BY_STEPPING),
        ];
        for (command, words) in ways {
            let button = ui.add_enabled(command.is_possible(state), egui::Button::new(words));
            if button.on_hover_text(command.tooltip(ui.ctx())).clicked() {
                queue.push(Action::Run(command));
            }
            if command == Command::CutThroughPoints {
                let button = ui.add_enabled(command.is_possible(state), egui::Button::new(text::cuts::BY_LINE));
                if button.on_hover_text(text::cuts::BY_LINE_HINT).clicked() {
                    queue.push(Action::PickAlongLine);
                }
            }
        }
    });
}

fn placing_on_surface(ui: &mut Ui, queue: &mut Queue) {
    ui.label(text::cuts::CLICK);
    leave(ui, queue);
}

fn picking_points(ui: &mut Ui, state: &State, points: &[Point], queue: &mut Queue) {
    let count = points.len();
    // Room for the longest of these words, and what more points tell beneath the buttons: they stay under the pointer.
    ui.vertical(|ui| {
        ui.set_min_height(LINES_OF_WORDS * ui.text_style_height(&egui::TextStyle::Body));
        ui.label(text::cuts::points_picked(count));
    });
    point_buttons(ui, queue, count);
    if let Some(cut) = state.picked_cut() {
        remark(ui, text::cuts::enter_makes(cut));
    }
    if count >= 3 {
        match best_plane(points) {
            Ok(best) => {
                // Through three there always is one.
                if count > 3 {
                    remark(ui, text::cuts::best_plane_goes(best.residual_mm, count));
                    let off = points.iter().map(|p| best.plane.distance_mm(p).abs());
                    remark(ui, text::cuts::off_plane(off));
                }
            }
            Err(error) => trouble(ui, &error.to_string()),
        }
    }
}

/// The longest of the words about picked points takes so many lines in the narrowest card.
const LINES_OF_WORDS: f32 = 3.0;

fn point_buttons(ui: &mut Ui, queue: &mut Queue, count: usize) {
    ui.horizontal_wrapped(|ui| {
        if ui.add_enabled(count >= 3, egui::Button::new(text::cuts::BY_BEST_PLANE)).clicked() {
            queue.push(Action::CutThroughPoints);
        }
        let along = ui.add_enabled(count >= 2, egui::Button::new(text::cuts::ALONG_LINE));
        if along.on_hover_text(text::cuts::ALONG_LINE_HINT).clicked() {
            queue.push(Action::CutAlongPoints);
        }
        if ui.add_enabled(count > 0, egui::Button::new(text::cuts::LAST_BACK)).clicked() {
            queue.push(Action::DropPoint(count - 1));
        }
        leave(ui, queue);
    });
}

fn leave(ui: &mut Ui, queue: &mut Queue) {
    if ui.button(text::common::LEAVE_IT).on_hover_text(Command::LayDown.tooltip(ui.ctx())).clicked() {
        queue.push(Action::Run(Command::LayDown));
    }
}
