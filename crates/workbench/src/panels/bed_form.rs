//! One bed: its plan drawn to scale, and its numbers.

use egui::{ComboBox, Grid, Ui};
use seamwright_geometry::{Bed, KeepOut, Outline};
use seamwright_project::adhesion;

use super::bed_plan::bed_plan;
use super::corners::corners_entry;
use super::entry::{Entry, Typed};
use super::line::remark;
use super::name_entry::name_entry;
use crate::app::Queue;
use crate::app::beds::{changed, own_name, renamed, reshaped};
use crate::app::state::State;
use crate::app::style::{Paper, choice};
use crate::text::{self, terms};

/// Shows the bed with this place among those of the project.
pub fn bed_form(ui: &mut Ui, state: &State, queue: &mut Queue, at: usize) {
    let recipe = state.recipe();
    let Some(bed) = recipe.beds().nth(at) else { return };
    bed_plan(ui, state, at, bed);
    ui.push_id(("bed", at), |ui| {
        let mut next: Option<Bed> = None;
        Grid::new("bed").num_columns(2).show(ui, |ui| {
            if let Some(name) = name_entry(ui, text::bed_form::NAME, &own_name(recipe, at), 150.0) {
                queue.edit(renamed(recipe, at, &name));
            }
            ui.end_row();
            shape(ui, bed, &mut next);
            sizes(ui, bed, &mut next);
        });
        held_down(ui, bed, &mut next);
        keep_outs(ui, bed, &mut next);
        if let Some(bed) = next {
            queue.edit(changed(recipe, at, bed));
        }
    });

    remark(ui, text::bed_form::room(bed.room_mm()));
}

fn shape(ui: &mut Ui, bed: &Bed, next: &mut Option<Bed>) {
    let now = match bed.outline {
        Outline::Rectangle { .. } => 0,
        Outline::Circle { .. } => 1,
        Outline::Polygon { .. } => 2,
    };
    let label = ui.label(text::bed_form::SHAPE);
    let combo =
        ComboBox::from_id_salt("shape").selected_text(text::bed_form::SHAPES[now]).width(120.0).show_ui(ui, |ui| {
            for (i, name) in text::bed_form::SHAPES.into_iter().enumerate() {
                if ui.selectable_label(i == now, name).clicked() && i != now {
                    *next = Some(reshaped(bed, i));
                }
            }
        });
    combo.response.labelled_by(label.id);
    ui.end_row();
}

/// Shows a length; `change` makes the bed that it would be with another.
fn length(ui: &mut Ui, bed: &Bed, next: &mut Option<Bed>, entry: Entry<'_>, change: impl Fn(&mut Bed, f64)) {
    let changed = |value: f64| {
        let mut other = bed.clone();
        change(&mut other, value);
        other
    };
    // What would leave nothing of the bed is told where it was typed.
    let check = |value: f64| changed(value).check().map_err(|error| error.to_string());
    if let Typed::Done(value) = entry.checked(&check).show(ui) {
        *next = Some(changed(value));
    }
    ui.end_row();
}

fn sizes(ui: &mut Ui, bed: &Bed, next: &mut Option<Bed>) {
    match &bed.outline {
        &Outline::Rectangle { x_mm, y_mm } => {
            length(ui, bed, next, Entry::length(text::bed_form::WIDTH, x_mm).above_zero(), |bed, v| {
                bed.outline = Outline::Rectangle { x_mm: v, y_mm };
            });
            length(ui, bed, next, Entry::length(text::bed_form::DEPTH, y_mm).above_zero(), |bed, v| {
                bed.outline = Outline::Rectangle { x_mm, y_mm: v };
            });
        }
        &Outline::Circle { diameter_mm } => {
            length(ui, bed, next, Entry::length(text::bed_form::DIAMETER, diameter_mm).above_zero(), |bed, v| {
                bed.outline = Outline::Circle { diameter_mm: v };
            });
        }
        Outline::Polygon { corners_mm } => {
            if let Some(corners_mm) = corners_entry(ui, text::bed_form::CORNERS, corners_mm) {
                *next = Some(Bed { outline: Outline::Polygon { corners_mm }, ..bed.clone() });
            }
            ui.end_row();
        }
    }
    length(ui, bed, next, Entry::length(text::common::HEIGHT, bed.height_mm).above_zero(), |bed, v| bed.height_mm = v);
    let margin = Entry::length(text::bed_form::MARGIN, bed.margin_mm).hint(text::bed_form::MARGIN_HINT);
    length(ui, bed, next, margin, |bed, v| bed.margin_mm = v);
    let around = Entry::length(text::bed_form::AROUND, bed.around_mm).hint(text::bed_form::AROUND_HINT);
    length(ui, bed, next, around, |bed, v| bed.around_mm = v);
    length(
        ui,
        bed,
        next,
        Entry::length(text::bed_form::RAFT, bed.raft_mm).step(0.1).hint(text::bed_form::RAFT_HINT),
        |bed, v| {
            bed.raft_mm = v;
        },
    );
}

/// What holds a piece on the bed: widths from the table, by material.
fn held_down(ui: &mut Ui, bed: &Bed, next: &mut Option<Bed>) {
    let materials = adhesion::all();
    let id = ui.make_persistent_id("material");
    let at = ui.data(|d| d.get_temp::<usize>(id)).unwrap_or(0).min(materials.len().saturating_sub(1));
    let Some(material) = materials.get(at) else { return };
    ui.horizontal(|ui| {
        let label = ui.label(text::bed_form::PRINTED_IN).on_hover_text(text::bed_form::PRINTED_IN_HINT);
        let shown = text::bed_form::material(&material.name);
        let combo = ComboBox::from_id_salt("material").selected_text(shown).width(64.0).show_ui(ui, |ui| {
            for (i, known) in materials.iter().enumerate() {
                if ui.selectable_label(i == at, text::bed_form::material(&known.name)).clicked() {
                    ui.data_mut(|d| d.insert_temp(id, i));
                }
            }
        });
        combo.response.labelled_by(label.id);
    });
    ui.label(text::bed_form::HELD_BY);
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 3.0;
        let ways = [
            (text::bed_form::NOTHING, text::bed_form::NOTHING_HINT, 0.0, 0.0),
            (text::bed_form::SKIRT, terms::SKIRT.means, material.skirt_mm, 0.0),
            (text::bed_form::BRIM, terms::BRIM.means, material.brim_mm, 0.0),
            (text::bed_form::A_RAFT, terms::RAFT.means, material.raft_around_mm, material.raft_height_mm),
        ];
        for (words, means, around_mm, raft_mm) in ways {
            let is_so = bed.around_mm == around_mm && bed.raft_mm == raft_mm;
            let button = ui.add(choice(&Paper::of(ui.visuals()), is_so, words));
            button.widget_info(|| {
                egui::WidgetInfo::selected(egui::Role::Button, true, is_so, text::bed_form::room_for(words))
            });
            let hint = match around_mm + raft_mm {
                0.0 => means.to_owned(),
                _ => text::bed_form::takes(means, &material.name, around_mm, raft_mm),
            };
            if button.on_hover_text(hint).clicked() {
                *next = Some(Bed { around_mm, raft_mm, ..bed.clone() });
            }
        }
    });
}

fn keep_outs(ui: &mut Ui, bed: &Bed, next: &mut Option<Bed>) {
    for (i, zone) in bed.keep_outs.iter().enumerate() {
        let with = |change: &dyn Fn(&mut Vec<KeepOut>)| {
            let mut other = bed.clone();
            change(&mut other.keep_outs);
            other
        };
        ui.push_id(i, |ui| {
            Grid::new("zone").num_columns(2).show(ui, |ui| {
                if let Some(corners_mm) = corners_entry(ui, &text::bed_form::keep_out(i + 1), &zone.corners_mm) {
                    *next = Some(with(&|zones| zones[i].corners_mm = corners_mm.clone()));
                }
                ui.end_row();
                let from = text::bed_form::from_height(i + 1);
                let entry = Entry::length(&from, zone.from_mm).hint(text::bed_form::FROM_HEIGHT_HINT);
                ui.horizontal(|ui| {
                    if let Typed::Done(from_mm) = entry.show(ui) {
                        *next = Some(with(&|zones| zones[i].from_mm = from_mm));
                    }
                });
                let away = ui.add(egui::Button::new(text::common::TAKE_AWAY).small());
                away.widget_info(|| {
                    egui::WidgetInfo::labeled(egui::Role::Button, true, text::bed_form::take_keep_out_away(i + 1))
                });
                if away.clicked() {
                    *next = Some(with(&|zones| drop(zones.remove(i))));
                }
                ui.end_row();
            });
        });
    }
    let add = ui.button(text::bed_form::ADD_KEEP_OUT);
    if add.on_hover_text(text::bed_form::ADD_KEEP_OUT_HINT).clicked() {
        let mut other = bed.clone();
        other.keep_outs.push(first_zone(bed));
        *next = Some(other);
    }
}

/// Side of a zone when it is added, mm: about that of a clip (common practice, no source).
const ZONE_MM: f64 = 20.0;

/// At the middle of the front edge, where clips often sit.
fn first_zone(bed: &Bed) -> KeepOut {
    let [[x0, y0], [x1, _]] = bed.extent_mm();
    let (left, half) = ((x0 + x1) / 2.0, ZONE_MM / 2.0);
    let corner = |dx: f64, dy: f64| [left + dx, y0 + dy];
    KeepOut {
        corners_mm: vec![corner(-half, 0.0), corner(half, 0.0), corner(half, ZONE_MM), corner(-half, ZONE_MM)],
        from_mm: 0.0,
    }
}
