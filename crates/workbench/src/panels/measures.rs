//! The measures taken on the model, in the line of the size: ways to take one, and the list.

use egui::{RichText, Ui};
use seamwright_project::{Edit, Measure};

use super::line::remark;
use crate::app::command::Command;
use crate::app::measuring::MeasureKind;
use crate::app::state::{State, Tool};
use crate::app::style::{Paper, choice};
use crate::app::{Action, Queue};
use crate::text;

const WAYS: [(MeasureKind, &str); 4] = [
    (MeasureKind::Distance, text::measures::DISTANCE),
    (MeasureKind::Angle, text::measures::ANGLE),
    (MeasureKind::Thickness, text::measures::THICKNESS),
    (MeasureKind::Girth, text::measures::GIRTH),
];

/// Shows both.
pub fn measures(ui: &mut Ui, state: &State, queue: &mut Queue) {
    ui.add_space(4.0);
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 4.0;
        ui.label(text::measures::MEASURE);
        for (kind, words) in WAYS {
            let command = Command::Measure(kind);
            let begun = matches!(&state.tool, Tool::Measure(measuring) if measuring.kind == kind);
            let button = choice(&Paper::of(ui.visuals()), begun, words);
            let button = ui.add_enabled(command.is_possible(state), button);
            button.widget_info(|| {
                egui::WidgetInfo::selected(egui::Role::Button, true, begun, text::measures::measure(words))
            });
            if button.on_hover_text(command.tooltip(ui.ctx())).clicked() {
                queue.push(Action::Run(command));
            }
        }
    });
    if let Tool::Measure(measuring) = &state.tool {
        ui.label(measuring.kind.hint(measuring.points.len()));
        if ui.button(text::common::LEAVE_IT).on_hover_text(Command::LayDown.tooltip(ui.ctx())).clicked() {
            queue.push(Action::Run(Command::LayDown));
        }
    }
    let taken = &state.recipe().measures;
    if taken.is_empty() {
        return;
    }
    let mut shown = state.shows_measures;
    if ui.checkbox(&mut shown, text::measures::ARE_SHOWN).changed() {
        queue.push(Action::ShowMeasures(shown));
    }
    for measure in taken {
        row(ui, queue, measure);
    }
}

fn row(ui: &mut Ui, queue: &mut Queue, measure: &Measure) {
    let measured = text::measures::measured(measure.what.kind(), &measure.what.value_words());
    let small = |ui: &mut Ui, words: &str, hint: &str| {
        let button = ui.add(egui::Button::new(words).small());
        let name = text::common::told_apart(words, &measured);
        button.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, true, &name));
        button.on_hover_text(hint).clicked()
    };
    ui.horizontal(|ui| {
        ui.label(RichText::new(&measured).color(Paper::of(ui.visuals()).ink));
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            if small(ui, text::common::FORGET, text::measures::FORGET_HINT) {
                queue.edit(Edit::RemoveMeasure(measure.id));
            }
            if small(ui, text::common::SHOW, text::common::INTO_THE_PICTURE) {
                queue.push(Action::ShowMeasure(measure.id));
            }
        });
    });
    let details = measure.what.details();
    if !details.is_empty() {
        remark(ui, details);
    }
}
