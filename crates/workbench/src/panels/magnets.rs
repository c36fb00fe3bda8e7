//! Magnets at a cut: which cut, what magnets, and where they go.

use egui::{ComboBox, Grid, Ui};
use seamwright_project::{CutForm, MAGNET_PLAY_MM};

use super::entry::{Entry, Typed};
use super::line::remark;
use crate::app::command::Command;
use crate::app::state::State;
use crate::app::{Action, BoreAction, Queue};
use crate::text;

/// Shows the form, where there is a cut to hold together.
pub fn magnets(ui: &mut Ui, state: &State, queue: &mut Queue) {
    let cuts: Vec<_> = state.recipe().cuts.iter().filter(|cut| cut.enabled && is_flat(&cut.form)).collect();
    let Some(first) = cuts.first() else { return };
    let mut form = state.bore.magnets;
    let chosen = cuts.iter().find(|cut| Some(cut.id) == form.cut).unwrap_or(first);
    form.cut = Some(chosen.id);
    ui.collapsing(text::magnets::TITLE, |ui| {
        Grid::new("magnets").num_columns(2).show(ui, |ui| {
            let label = ui.label(text::magnets::AT_CUT);
            let combo = ComboBox::from_id_salt("magnets at").selected_text(&chosen.name).width(150.0).truncate();
            let combo = combo.show_ui(ui, |ui| {
                for cut in &cuts {
                    if ui.selectable_label(cut.id == chosen.id, &cut.name).clicked() {
                        form.cut = Some(cut.id);
                    }
                }
            });
            combo.response.labelled_by(label.id).on_hover_text(&chosen.name);
            ui.end_row();
            let across =
                Entry::length(text::magnets::ACROSS, form.diameter_mm).step(0.5).hint(text::magnets::ACROSS_HINT);
            typed(ui, across, &mut form.diameter_mm);
            let thick =
                Entry::length(text::magnets::THICK, form.thickness_mm).step(0.5).hint(text::magnets::THICK_HINT);
            typed(ui, thick, &mut form.thickness_mm);
            let mut count = form.count as f64;
            typed(ui, Entry::plain(text::magnets::HOW_MANY, count).step(1.0), &mut count);
            form.count = (count.round().max(1.0) as usize).min(MOST_MAGNETS);
        });
        let ready = !state.is_out_of_date() && !state.pieces().is_empty();
        ui.horizontal_wrapped(|ui| {
            let spread = ui.add_enabled(ready, egui::Button::new(text::magnets::SPREAD));
            if spread.on_hover_text(text::magnets::SPREAD_HINT).clicked() {
                queue.push(Action::Bore(BoreAction::AddMagnets));
            }
            let pick = ui.add_enabled(ready, egui::Button::new(text::magnets::PICK));
            if pick.on_hover_text(text::magnets::PICK_HINT).clicked() {
                queue.push(Action::Bore(BoreAction::PickMagnets));
            }
        });
        remark(ui, text::magnets::remark(MAGNET_PLAY_MM));
    });
    if form != state.bore.magnets {
        queue.push(Action::Bore(BoreAction::MagnetForm(form)));
    }
}

/// More magnets than this at one seam nobody sets. Our own choice, no source.
const MOST_MAGNETS: usize = 100;

fn is_flat(form: &CutForm) -> bool {
    !matches!(form, CutForm::Profile(_))
}

fn typed(ui: &mut Ui, entry: Entry<'_>, value: &mut f64) {
    if let Typed::Done(now) = entry.show(ui) {
        *value = now.max(0.0);
    }
    ui.end_row();
}

/// While places are picked.
pub fn picking_magnets(ui: &mut Ui, state: &State, queue: &mut Queue) {
    let picked = state.tool.picked().len();
    ui.label(text::magnets::CLICK);
    ui.horizontal(|ui| {
        let words = text::magnets::make(picked);
        if ui.add_enabled(picked > 0, egui::Button::new(words)).clicked() {
            queue.push(Action::Bore(BoreAction::AddMagnets));
        }
        if ui.button(text::common::LEAVE_IT).on_hover_text(Command::LayDown.tooltip(ui.ctx())).clicked() {
            queue.push(Action::Run(Command::LayDown));
        }
    });
}
