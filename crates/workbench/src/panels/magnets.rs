//! Magnets at a cut: which cut, what magnets, and where they go.

use egui::{ComboBox, Grid, Ui};
use seamwright_project::{CutForm, MAGNET_PLAY_MM};

use super::entry::{Entry, Typed};
use super::line::remark;
use crate::app::command::Command;
use crate::app::state::State;
use crate::app::{Action, BoreAction, Queue, words};

/// Shows the form, where there is a cut to hold together.
pub fn magnets(ui: &mut Ui, state: &State, queue: &mut Queue) {
    let cuts: Vec<_> = state.recipe().cuts.iter().filter(|cut| cut.enabled && is_flat(&cut.form)).collect();
    let Some(first) = cuts.first() else { return };
    let mut form = state.bore.magnets;
    let chosen = cuts.iter().find(|cut| Some(cut.id) == form.cut).unwrap_or(first);
    form.cut = Some(chosen.id);
    ui.collapsing("Magnets at a cut", |ui| {
        Grid::new("magnets").num_columns(2).show(ui, |ui| {
            let label = ui.label("at cut");
            let combo = ComboBox::from_id_salt("magnets at").selected_text(&chosen.name).width(150.0);
            let combo = combo.show_ui(ui, |ui| {
                for cut in &cuts {
                    if ui.selectable_label(cut.id == chosen.id, &cut.name).clicked() {
                        form.cut = Some(cut.id);
                    }
                }
            });
            combo.response.labelled_by(label.id);
            ui.end_row();
            let across = Entry::length("magnet across", form.diameter_mm).step(0.5).hint("Diameter of the magnets, mm");
            typed(ui, across, &mut form.diameter_mm);
            let thick = Entry::length("magnet thick", form.thickness_mm).step(0.5).hint("How thick each is, mm");
            typed(ui, thick, &mut form.thickness_mm);
            let mut count = form.count as f64;
            typed(ui, Entry::plain("how many places", count).step(1.0), &mut count);
            form.count = (count.round().max(1.0) as usize).min(MOST_MAGNETS);
        });
        let ready = !state.is_out_of_date() && !state.pieces().is_empty();
        ui.horizontal_wrapped(|ui| {
            let spread = ui.add_enabled(ready, egui::Button::new("spread evenly"));
            if spread.on_hover_text("Evenly along the middle of the seam").clicked() {
                queue.push(Action::Bore(BoreAction::AddMagnets));
            }
            let pick = ui.add_enabled(ready, egui::Button::new("pick places"));
            if pick.on_hover_text("Click the model near the seam: each place is moved to where there is room").clicked() {
                queue.push(Action::Bore(BoreAction::PickMagnets));
            }
        });
        remark(
            ui,
            format!(
                "Pockets for two at each place, one in either piece, {} mm deeper than a magnet. Check which way round they \
                 go before you glue them in, and keep small magnets from children: swallowed magnets hurt badly.",
                words::entry(MAGNET_PLAY_MM)
            ),
        );
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
    ui.label("Click the model near the seam, once for each two magnets; a click on a place takes it back.");
    ui.horizontal(|ui| {
        let words = format!("make {}", words::count(picked, "place", "places"));
        if ui.add_enabled(picked > 0, egui::Button::new(words)).clicked() {
            queue.push(Action::Bore(BoreAction::AddMagnets));
        }
        if ui.button("leave it").on_hover_text(Command::LayDown.tooltip(ui.ctx())).clicked() {
            queue.push(Action::Run(Command::LayDown));
        }
    });
}
