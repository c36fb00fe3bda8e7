//! Line 2: the unit of the file, how large the real thing is, and how the model stands.

use egui::{ComboBox, Grid, Ui};
use seamwright_geometry::Point;
use seamwright_project::wearer::factor_for;
use seamwright_project::{Axis, Edit, Size, SizedBy, Unit};

use super::entry::{Entry, Typed};
use super::line::remark;
use super::measures::measures;
use super::summary::unit_words;
use super::wearer::wearer;
use crate::app::command::Command;
use crate::app::state::{State, Tool};
use crate::app::style::{Paper, choice};
use crate::app::{Action, Queue};
use crate::text;

/// Shows the line's content.
pub fn show(ui: &mut Ui, state: &State, queue: &mut Queue) {
    unit_and_factor(ui, state, queue);
    if let Some(bounds) = state.part_bounds() {
        let sides = bounds.size();
        ui.add_space(4.0);
        remark(ui, text::size::WHOLE);
        Grid::new("whole").num_columns(2).show(ui, |ui| {
            for (axis, name) in Axis::ALL.into_iter().zip(text::size::SIDES) {
                let now_mm = sides[axis.index()];
                if now_mm <= 0.0 {
                    continue;
                }
                let entry = Entry::length(name, now_mm).hint(text::size::SIDE_HINT).above_zero();
                if let Typed::Done(mm) = entry.show(ui) {
                    resize(state, queue, now_mm, mm, SizedBy::Dimension { axis, mm });
                }
                ui.end_row();
            }
        });
        distance(ui, state, queue);
        egui::CollapsingHeader::new(text::size::TO_FIT_WEARER).show(ui, |ui| wearer(ui, state, queue));
        measures(ui, state, queue);
        standing(ui, state, queue);
        remark(ui, text::size::CUTS_STAY);
    }
}

/// Has what measures `now_mm` measure `wanted_mm`.
pub(super) fn resize(state: &State, queue: &mut Queue, now_mm: f64, wanted_mm: f64, by: SizedBy) {
    // The size on the bench may be that of an older recipe.
    let factor = state.outcome.as_ref().map_or(state.recipe().size.factor, |outcome| outcome.recipe.size.factor);
    // What is no size is refused with the number that was typed.
    let factor = factor_for(factor, now_mm, wanted_mm).unwrap_or(wanted_mm);
    queue.edit(Edit::SetSizeBy { factor, by });
}

fn unit_and_factor(ui: &mut Ui, state: &State, queue: &mut Queue) {
    let size = state.recipe().size;
    Grid::new("size").num_columns(2).show(ui, |ui| {
        let label = ui.label(text::size::MODELLED_IN);
        ComboBox::from_id_salt("unit")
            .selected_text(unit_words(size.unit))
            .show_ui(ui, |ui| {
                for unit in Unit::ALL {
                    if ui.selectable_label(unit == size.unit, unit_words(unit)).clicked() && unit != size.unit {
                        queue.edit(Edit::SetSize(Size { unit, ..size }));
                    }
                }
            })
            .response
            .labelled_by(label.id);
        ui.end_row();
        if let Typed::Done(factor) = Entry::plain(text::size::ENLARGED_BY, size.factor).above_zero().show(ui) {
            queue.edit(Edit::SetSize(Size { factor, ..size }));
        }
        ui.end_row();
    });
    if let Some(words) = sized_by_words(&state.recipe().sized_by) {
        remark(ui, words);
    }
}

/// How the factor was arrived at.
fn sized_by_words(by: &SizedBy) -> Option<String> {
    match by {
        SizedBy::AsMade | SizedBy::Factor => None,
        SizedBy::Dimension { axis, mm } => Some(text::size::by_dimension(*mm, axis.name())),
        SizedBy::Distance { mm } => Some(text::size::by_distance(*mm)),
        SizedBy::Wearer { measure, wearer_mm, gap_mm } => Some(text::size::by_wearer(measure, *wearer_mm, *gap_mm)),
    }
}

fn distance(ui: &mut Ui, state: &State, queue: &mut Queue) {
    let Tool::Distance(points) = &state.tool else {
        ui.horizontal_wrapped(|ui| {
            command_button(ui, state, queue, Command::MeasureDistance, text::size::BY_TWO_POINTS);
            command_button(ui, state, queue, Command::StandOnFace, text::size::STAND_ON_FACE);
        });
        if state.tool == Tool::StandOn {
            ui.label(text::size::CLICK_FACE);
            leave(ui, queue);
        }
        return;
    };
    match points.as_slice() {
        [] => ui.label(text::size::CLICK_POINTS),
        [_] => ui.label(text::size::ONE_MORE),
        [a, b, ..] => true_distance(ui, state, queue, *a, *b),
    };
    leave(ui, queue);
}

fn true_distance(ui: &mut Ui, state: &State, queue: &mut Queue, a: Point, b: Point) -> egui::Response {
    let now_mm = (b - a).norm();
    Grid::new("distance")
        .num_columns(2)
        .show(ui, |ui| {
            let entry =
                Entry::length(text::size::TRUE_DISTANCE, now_mm).hint(text::size::TRUE_DISTANCE_HINT).above_zero();
            if let Typed::Done(mm) = entry.show(ui) {
                resize(state, queue, now_mm, mm, SizedBy::Distance { mm });
                queue.push(Action::Run(Command::LayDown));
            }
        })
        .response
}

fn leave(ui: &mut Ui, queue: &mut Queue) {
    if ui.button(text::common::LEAVE_IT).on_hover_text(Command::LayDown.tooltip(ui.ctx())).clicked() {
        queue.push(Action::Run(Command::LayDown));
    }
}

fn command_button(ui: &mut Ui, state: &State, queue: &mut Queue, command: Command, words: &str) {
    let button = ui.add_enabled(command.is_possible(state), egui::Button::new(words));
    if button.on_hover_text(command.tooltip(ui.ctx())).clicked() {
        queue.push(Action::Run(command));
    }
}

fn standing(ui: &mut Ui, state: &State, queue: &mut Queue) {
    let stance = state.recipe().stance;
    ui.horizontal_wrapped(|ui| {
        ui.label(text::size::MIRRORED);
        for axis in Axis::ALL {
            let on = stance.mirrored == Some(axis);
            if ui
                .add(choice(&Paper::of(ui.visuals()), on, axis.name()))
                .on_hover_text(text::size::MIRRORED_HINT)
                .clicked()
            {
                queue.edit(Edit::SetStance(stance.mirrored_along((!on).then_some(axis))));
            }
        }
    });
    ui.horizontal_wrapped(|ui| {
        ui.label(text::size::QUARTER_TURN);
        for (axis, back) in Axis::ALL.into_iter().flat_map(|axis| [(axis, false), (axis, true)]) {
            let button = ui.button(text::size::way(axis.name(), back));
            let name = text::size::quarter_turn(axis.name(), back);
            button.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, true, &name));
            if button.on_hover_text(text::size::QUARTER_TURN_HINT).clicked() {
                let turned = state.with_corners(|corners| stance.quarter_turned(axis, back, corners));
                queue.edit(Edit::SetStance(turned));
            }
        }
        if stance.is_turned() && ui.button(text::size::STAND_AS_MADE).clicked() {
            queue.edit(Edit::SetStance(stance.turned_back()));
        }
    });
}
