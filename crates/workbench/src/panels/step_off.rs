//! Stepping off: what is chosen, what comes of it, and one button that makes the cuts.

use egui::{ComboBox, Grid, Ui};
use seamwright_geometry::Steps;
use seamwright_project::{Axis, Stepped};

use super::entry::{Entry, Typed};
use super::line::{remark, trouble};
use crate::app::command::Command;
use crate::app::state::State;
use crate::app::stepping::{StepAction, StepChoice, end_words};
use crate::app::style::{Paper, choice as tab};
use crate::app::{Action, Queue};
use crate::text;

/// Shows the slip while stepping off goes on.
pub fn step_off(ui: &mut Ui, state: &State, queue: &mut Queue) {
    let Some(stepping) = &state.stepping else { return };
    let paper = Paper::of(ui.visuals());
    let frame = paper.slip_frame().stroke(egui::Stroke::new(1.5, paper.accent));
    frame.show(ui, |ui| {
        ui.set_width(ui.available_width());
        let mark = state.stepped_piece().map_or(text::common::DASH, |piece| piece.mark.as_str());
        ui.strong(text::step_off::title(mark));
        let mut choice = stepping.choice.clone();
        chosen(ui, state, &mut choice);
        if choice != stepping.choice {
            queue.push(Action::Step(StepAction::Choose(choice)));
        }
        found(ui, state);
        ui.horizontal_wrapped(|ui| {
            let stepped = state.stepped().and_then(Result::ok);
            let count = stepped.map_or(0, |stepped| stepped.planes.len());
            let words = if count > 0 { text::step_off::make(count) } else { text::step_off::MAKE_THEM.into() };
            let make = ui.add_enabled(count > 0, egui::Button::new(words));
            if make.on_hover_text(text::step_off::MAKE_HINT).clicked() {
                queue.push(Action::Step(StepAction::Make));
            }
            if ui.button(text::common::LEAVE_IT).on_hover_text(Command::LayDown.tooltip(ui.ctx())).clicked() {
                queue.push(Action::Step(StepAction::Leave));
            }
        });
        remark(ui, text::step_off::SELECT_ANOTHER);
    });
}

fn chosen(ui: &mut Ui, state: &State, choice: &mut StepChoice) {
    ui.horizontal_wrapped(|ui| {
        ui.label(text::common::SQUARE_TO);
        for axis in Axis::ALL {
            named(ui, &mut choice.axis, axis, axis.name(), &text::step_off::along(axis.name()));
        }
    });
    ui.horizontal(|ui| {
        ui.label(text::step_off::FROM_THE);
        let [first, last] = end_words(choice.axis);
        named(ui, &mut choice.backwards, false, first, &text::step_off::begin_at(first));
        named(ui, &mut choice.backwards, true, last, &text::step_off::begin_at(last));
    });
    let recipe = state.recipe();
    if !recipe.more_beds.is_empty() {
        ui.horizontal(|ui| {
            let label = ui.label(text::step_off::TO_FIT);
            let at = choice.bed.min(recipe.more_beds.len());
            let combo = ComboBox::from_id_salt("bed")
                .selected_text(recipe.bed_name(at))
                .width(150.0)
                .truncate()
                .show_ui(ui, |ui| {
                    for i in 0..=recipe.more_beds.len() {
                        if ui.selectable_label(i == at, recipe.bed_name(i)).clicked() {
                            choice.bed = i;
                        }
                    }
                });
            combo.response.labelled_by(label.id).on_hover_text(recipe.bed_name(at));
        });
    }
    let paper = Paper::of(ui.visuals());
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 4.0;
        let equal = choice.steps == Steps::Equal;
        if ui.add(tab(&paper, equal, text::step_off::EQUAL)).on_hover_text(text::step_off::EQUAL_HINT).clicked() {
            choice.steps = Steps::Equal;
        }
        let far = choice.steps == Steps::AsLongAsFits;
        let hint = text::step_off::AS_LONG_HINT;
        if ui.add(tab(&paper, far, text::step_off::AS_LONG)).on_hover_text(hint).clicked() {
            choice.steps = Steps::AsLongAsFits;
        }
        let fixed = matches!(choice.steps, Steps::Every { .. });
        let hint = text::step_off::FIXED_HINT;
        if ui.add(tab(&paper, fixed, text::step_off::FIXED)).on_hover_text(hint).clicked() && !fixed {
            choice.steps = Steps::Every { length_mm: first_length(state) };
        }
    });
    Grid::new("steps").num_columns(2).show(ui, |ui| {
        if let Steps::Every { length_mm } = choice.steps
            && let Typed::Done(length_mm) = Entry::length(text::common::LENGTH, length_mm).show(ui)
        {
            choice.steps = Steps::Every { length_mm };
        }
        if matches!(choice.steps, Steps::Every { .. }) {
            ui.end_row();
        }
        let hint = text::step_off::LEAST_HINT;
        if let Typed::Done(least_mm) = Entry::length(text::step_off::LEAST, choice.least_mm).hint(hint).show(ui) {
            choice.least_mm = least_mm.max(0.0);
        }
        ui.end_row();
    });
}

/// One of several that exclude each other, with a name for screen readers.
fn named<T: PartialEq + Copy>(ui: &mut Ui, now: &mut T, value: T, words: &str, name: &str) {
    let on = *now == value;
    let label = ui.add(tab(&Paper::of(ui.visuals()), on, words));
    label.widget_info(|| egui::WidgetInfo::selected(egui::Role::Button, true, on, name));
    if label.clicked() {
        *now = value;
    }
}

/// What a fixed length begins with: the one that equal parts have, to the whole millimetre.
fn first_length(state: &State) -> f64 {
    let stepped = state.stepped().and_then(Result::ok);
    let longest = stepped.map_or(0.0, |stepped| stepped.lengths_mm().into_iter().fold(0.0, f64::max));
    if longest >= 1.0 { longest.floor() } else { USUAL_MM }
}

/// A length before anything is known, mm: less than most beds are wide. Our own choice, no source.
const USUAL_MM: f64 = 150.0;

fn found(ui: &mut Ui, state: &State) {
    match state.stepped() {
        None => remark(ui, text::step_off::LOOKING),
        Some(Err(why)) => trouble(ui, why),
        Some(Ok(stepped)) => {
            ui.label(parts_words(stepped));
        }
    }
}

fn parts_words(stepped: &Stepped) -> String {
    if stepped.planes.is_empty() {
        return text::step_off::FITS_WHOLE.into();
    }
    text::step_off::parts(&stepped.lengths_mm())
}
