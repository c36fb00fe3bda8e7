//! Line 2: the unit of the file, how large the real thing is, and how the model stands.

use egui::{ComboBox, Grid, Ui};
use seamwright_geometry::Point;
use seamwright_project::wearer::factor_for;
use seamwright_project::{Axis, Edit, Size, SizedBy, Stance, Unit, UnitGuess, guess_unit};

use super::entry::{Entry, Typed};
use super::line::{remark, trouble};
use super::measures::measures;
use super::summary::unit_words;
use super::wearer::wearer;
use crate::app::command::Command;
use crate::app::state::{State, Tool};
use crate::app::{Action, Queue, words};

/// Shows the line's content.
pub fn show(ui: &mut Ui, state: &State, queue: &mut Queue) {
    unit_and_factor(ui, state, queue);
    guess(ui, state, queue);
    if let Some(bounds) = state.part_bounds() {
        let sides = bounds.size();
        ui.add_space(4.0);
        remark(ui, "The whole measures, and can be made to measure:");
        Grid::new("whole").num_columns(2).show(ui, |ui| {
            for (axis, name) in Axis::ALL.into_iter().zip(["width", "depth", "height"]) {
                let now_mm = sides[axis.index()];
                if now_mm <= 0.0 {
                    continue;
                }
                // To the hundredth: what the file has beyond that is rounding.
                let shown_mm = (now_mm * 100.0).round() / 100.0;
                let entry =
                    Entry::length(name, shown_mm).hint("Type what it should measure; all of it is enlarged alike");
                if let Typed::Done(mm) = entry.show(ui) {
                    resize(state, queue, now_mm, mm, SizedBy::Dimension { axis, mm });
                }
                ui.end_row();
            }
        });
        distance(ui, state, queue);
        egui::CollapsingHeader::new("to fit a wearer").show(ui, |ui| wearer(ui, state, queue));
        measures(ui, state, queue);
        standing(ui, state, queue);
        remark(ui, "Cuts and measures stay at their place on the model when it is resized or turned.");
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
        let label = ui.label("modelled in");
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
        if let Typed::Done(factor) = Entry::plain("enlarged by", size.factor).show(ui) {
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
        SizedBy::Dimension { axis, mm } => {
            Some(format!("so that it measures {} mm along {}", words::mm(*mm), axis.name()))
        }
        SizedBy::Distance { mm } => Some(format!("so that two points lie {} mm apart", words::mm(*mm))),
        SizedBy::Wearer { measure, wearer_mm, gap_mm } => {
            let (wearer, gap) = (words::mm(*wearer_mm), words::mm(*gap_mm));
            Some(format!("for a wearer with a {measure} of {wearer} mm, and {gap} mm of padding"))
        }
    }
}

/// STL and OBJ files tell no unit: where the size makes no sense another one is proposed, with the reason.
fn guess(ui: &mut Ui, state: &State, queue: &mut Queue) {
    let Some(stock) = state.outcome.as_ref().and_then(|outcome| outcome.stock.as_ref()) else { return };
    let Some(bounds) = stock.mesh.bounds() else { return };
    let size = state.recipe().size;
    let Some(guess) = guess_unit(bounds.size().max() * size.factor, size.unit) else { return };
    trouble(ui, &guess_words(&guess, size.unit));
    let button = format!("read it in {}", unit_words(guess.unit));
    if ui.button(button).clicked() {
        queue.edit(Edit::SetSize(Size { unit: guess.unit, ..size }));
    }
}

/// The guess, with its reason.
pub fn guess_words(guess: &UnitGuess, now: Unit) -> String {
    format!(
        "{} {} long would be {} mm. Perhaps {}? That would be {} mm",
        words::entry(guess.in_file),
        unit_words(now),
        words::entry(guess.now_mm),
        unit_words(guess.unit),
        words::mm(guess.then_mm)
    )
}

fn distance(ui: &mut Ui, state: &State, queue: &mut Queue) {
    let Tool::Distance(points) = &state.tool else {
        ui.horizontal_wrapped(|ui| {
            command_button(ui, state, queue, Command::MeasureDistance, "by two points");
            command_button(ui, state, queue, Command::StandOnFace, "stand on a face");
        });
        if state.tool == Tool::StandOn {
            ui.label("Click the face that it is to stand on.");
            leave(ui, queue);
        }
        return;
    };
    match points.as_slice() {
        [] => ui.label("Click two points whose distance you know on the real thing."),
        [_] => ui.label("One point picked; one more."),
        [a, b, ..] => true_distance(ui, state, queue, *a, *b),
    };
    leave(ui, queue);
}

fn true_distance(ui: &mut Ui, state: &State, queue: &mut Queue, a: Point, b: Point) -> egui::Response {
    let now_mm = (b - a).norm();
    let shown_mm = (now_mm * 100.0).round() / 100.0;
    Grid::new("distance")
        .num_columns(2)
        .show(ui, |ui| {
            let entry =
                Entry::length("true distance", shown_mm).hint("What the two points measure on the real thing, mm");
            if let Typed::Done(mm) = entry.show(ui) {
                resize(state, queue, now_mm, mm, SizedBy::Distance { mm });
                queue.push(Action::Run(Command::LayDown));
            }
        })
        .response
}

fn leave(ui: &mut Ui, queue: &mut Queue) {
    if ui.button("leave it").on_hover_text(Command::LayDown.tooltip(ui.ctx())).clicked() {
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
        ui.label("mirrored along");
        for axis in Axis::ALL {
            let on = stance.mirrored == Some(axis);
            if ui.selectable_label(on, axis.name()).on_hover_text("Left becomes right along this axis").clicked() {
                queue.edit(Edit::SetStance(Stance { mirrored: (!on).then_some(axis), ..stance }));
            }
        }
        if stance.down.is_some() && ui.button("stand as made").clicked() {
            queue.edit(Edit::SetStance(Stance { down: None, ..stance }));
        }
    });
}
