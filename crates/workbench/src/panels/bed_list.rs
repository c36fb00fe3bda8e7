//! The beds of the project in short, and the maker's own list.

use egui::{RichText, Ui};
use seamwright_geometry::{Bed, Outline};
use seamwright_project::{NamedBed, default_bed};

use super::line::remark;
use crate::app::beds::{added, brought_first, named, replaced, shown_at, without};
use crate::app::state::State;
use crate::app::style::Paper;
use crate::app::{Action, BedAction, Queue, words};
use crate::cli::is_own_name;

/// Shows a row for each bed, where there are several: which one is looked at, and how many pieces fit it.
pub fn bed_list(ui: &mut Ui, state: &State, queue: &mut Queue) {
    let recipe = state.recipe();
    if recipe.more_beds.is_empty() {
        return;
    }
    let at = shown_at(state);
    for (i, bed) in recipe.beds().enumerate() {
        ui.horizontal(|ui| {
            let name = recipe.bed_name(i);
            let button = ui.selectable_label(i == at, RichText::new(&name).strong());
            if button.on_hover_text("Look at this bed: on the bench too").clicked() {
                queue.push(Action::Bed(BedAction::Show(i)));
            }
            remark(ui, format!("{} · {}", size_words(bed), fit_words(state, i)));
        });
    }
    ui.horizontal_wrapped(|ui| {
        if at == 0 {
            remark(ui, "Cuts are placed for this bed. A piece may be printed on any that takes it.");
            return;
        }
        let first = ui.button("place cuts for this bed");
        if first.on_hover_text("It becomes the first: the stretch along a cut and its verdicts speak of it").clicked() {
            queue.edit(brought_first(recipe, at));
            queue.push(Action::Bed(BedAction::Show(0)));
        }
    });
}

/// `220 × 220 × 250`, `⌀ 180 × 200`.
pub fn size_words(bed: &Bed) -> String {
    let [x, y] = bed.size_mm().map(words::entry);
    let z = words::entry(bed.height_mm);
    match bed.outline {
        Outline::Circle { .. } => format!("round {x} × {z}"),
        Outline::Rectangle { .. } => format!("{x} × {y} × {z}"),
        Outline::Polygon { .. } => format!("outline {x} × {y} × {z}"),
    }
}

fn fit_words(state: &State, bed: usize) -> String {
    let fits: Vec<bool> =
        state.pieces().iter().filter_map(|piece| piece.fits.get(bed)).map(|fit| fit.verdict.fits()).collect();
    match fits.len() {
        0 => "…".into(),
        all => format!("{} of {all} fit", fits.iter().filter(|fits| **fits).count()),
    }
}

/// Adds and takes away beds of the project.
pub fn ways_to_add(ui: &mut Ui, state: &State, queue: &mut Queue, at: usize) {
    let recipe = state.recipe();
    ui.horizontal_wrapped(|ui| {
        let add = ui.button("add a bed");
        if add.on_hover_text("A further printer: a piece that fits any of the beds can be printed").clicked() {
            queue.edit(added(recipe, NamedBed { name: String::new(), bed: default_bed() }));
            queue.push(Action::Bed(BedAction::Show(recipe.more_beds.len() + 1)));
        }
        let several = !recipe.more_beds.is_empty();
        if several && ui.button("take this bed away").clicked() {
            queue.edit(without(recipe, at));
            queue.push(Action::Bed(BedAction::Show(at.saturating_sub(1))));
        }
        keep(ui, state, queue, at);
    });
}

/// Keeps the bed in the maker's own list.
fn keep(ui: &mut Ui, state: &State, queue: &mut Queue, at: usize) {
    let Some(bed) = named(state.recipe()).into_iter().nth(at) else { return };
    let may = state.beds.kept_in.is_some() && is_own_name(&bed.name);
    let kept = state.beds.own.iter().flatten().any(|own| *own == bed);
    let button = ui.add_enabled(may && !kept, egui::Button::new("keep in my list"));
    let button = button.on_hover_text("Kept on this machine, for every project; one of the same name is replaced");
    let why = match (kept, may) {
        (true, _) => "It is in your list as it is here",
        (false, true) => "",
        (false, false) if state.beds.kept_in.is_none() => "This machine names no folder for settings",
        (false, false) => "Give it a name first that begins with a letter",
    };
    if button.on_disabled_hover_text(why).clicked() {
        queue.push(Action::Bed(BedAction::Keep(at)));
    }
}

/// The maker's own list: each can be taken for this project, or forgotten.
pub fn own_beds(ui: &mut Ui, state: &State, queue: &mut Queue, at: usize) {
    let Some(own) = state.beds.own.as_ref().filter(|own| !own.is_empty()) else { return };
    let title = format!("my beds: {}", own.len());
    egui::CollapsingHeader::new(title).id_salt("my beds").show(ui, |ui| {
        for bed in own {
            ui.label(RichText::new(&bed.name).color(Paper::of(ui.visuals()).ink));
            ui.horizontal_wrapped(|ui| {
                remark(ui, size_words(&bed.bed));
                let name = &bed.name;
                if small(ui, "use", &format!("use {name} here"), "In place of the bed that is shown above") {
                    queue.edit(replaced(state.recipe(), at, bed.clone()));
                }
                if small(ui, "add", &format!("add {name}"), "As a further bed of this project") {
                    queue.edit(added(state.recipe(), bed.clone()));
                    queue.push(Action::Bed(BedAction::Show(state.recipe().more_beds.len() + 1)));
                }
                if small(ui, "forget", &format!("forget {name}"), "Takes it off the list; projects keep theirs") {
                    queue.push(Action::Bed(BedAction::Forget(name.clone())));
                }
            });
        }
    });
}

fn small(ui: &mut Ui, words: &str, name: &str, hint: &str) -> bool {
    let button = ui.add(egui::Button::new(words).small());
    button.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, true, name));
    button.on_hover_text(hint).clicked()
}
