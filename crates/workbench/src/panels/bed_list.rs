//! The beds of the project in short, and the maker's own list.

use egui::{Label, RichText, Role, TextStyle, Ui, WidgetInfo};
use seamwright_geometry::{Bed, Outline};
use seamwright_project::{NamedBed, default_bed};

use super::line::remark;
use super::middle::{NAME_GAP, shortened, small_width};
use crate::app::beds::{added, brought_first, named, replaced, shown_at, without};
use crate::app::state::State;
use crate::app::style::{Paper, choice};
use crate::app::{Action, BedAction, Queue};
use crate::cli::is_own_name;
use crate::text;

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
            let told = text::beds::size_and_fit(&size_words(bed), &fit_words(state, i));
            let row = ui.available_width();
            let room = (row - small_width(ui, &told) - NAME_GAP).max(row / 3.0);
            let shown = shortened(ui, &name, &TextStyle::Button.resolve(ui.style()), room);
            let paper = Paper::of(ui.visuals());
            let button = ui.add(choice(&paper, i == at, RichText::new(shown).strong()));
            button.widget_info(|| WidgetInfo::selected(Role::Button, true, i == at, &name));
            if button.on_hover_text(text::beds::look_at(&name)).clicked() {
                queue.push(Action::Bed(BedAction::Show(i)));
            }
            let soft = paper.ink_soft;
            ui.add(Label::new(RichText::new(told).small().color(soft)).truncate());
        });
    }
    ui.horizontal_wrapped(|ui| {
        if at == 0 {
            remark(ui, text::beds::CUTS_ARE_FOR_FIRST);
            return;
        }
        let first = ui.button(text::beds::MAKE_FIRST);
        if first.on_hover_text(text::beds::MAKE_FIRST_HINT).clicked() {
            queue.edit(brought_first(recipe, at));
            queue.push(Action::Bed(BedAction::Show(0)));
        }
    });
}

/// `220 × 220 × 250`, `⌀ 180 × 200`.
pub fn size_words(bed: &Bed) -> String {
    let ([x, y], z) = (bed.size_mm(), bed.height_mm);
    match bed.outline {
        Outline::Circle { .. } => text::beds::round(x, z),
        Outline::Rectangle { .. } => text::beds::rectangle([x, y, z]),
        Outline::Polygon { .. } => text::beds::outline([x, y, z]),
    }
}

fn fit_words(state: &State, bed: usize) -> String {
    let fits: Vec<bool> =
        state.pieces().iter().filter_map(|piece| piece.fits.get(bed)).map(|fit| fit.verdict.fits()).collect();
    match fits.len() {
        0 => text::common::ELLIPSIS.into(),
        all => text::common::some_fit(fits.iter().filter(|fits| **fits).count(), all),
    }
}

/// Adds and takes away beds of the project.
pub fn ways_to_add(ui: &mut Ui, state: &State, queue: &mut Queue, at: usize) {
    let recipe = state.recipe();
    ui.horizontal_wrapped(|ui| {
        let add = ui.button(text::beds::ADD);
        if add.on_hover_text(text::beds::ADD_HINT).clicked() {
            queue.edit(added(recipe, NamedBed { name: String::new(), bed: default_bed() }));
            queue.push(Action::Bed(BedAction::Show(recipe.more_beds.len() + 1)));
        }
        let several = !recipe.more_beds.is_empty();
        if several && ui.button(text::beds::TAKE_AWAY).clicked() {
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
    let button = ui.add_enabled(may && !kept, egui::Button::new(text::beds::KEEP));
    let button = button.on_hover_text(text::beds::KEEP_HINT);
    let why = match (kept, may) {
        (true, _) => text::beds::KEPT_ALREADY,
        (false, true) => "",
        (false, false) if state.beds.kept_in.is_none() => text::beds::NO_SETTINGS,
        (false, false) => text::beds::NAME_FIRST,
    };
    if button.on_disabled_hover_text(why).clicked() {
        queue.push(Action::Bed(BedAction::Keep(at)));
    }
}

/// The maker's own list: each can be taken for this project, or forgotten.
pub fn own_beds(ui: &mut Ui, state: &State, queue: &mut Queue, at: usize) {
    let Some(own) = state.beds.own.as_ref().filter(|own| !own.is_empty()) else { return };
    let title = text::beds::my_beds(own.len());
    egui::CollapsingHeader::new(title).id_salt("my beds").show(ui, |ui| {
        for bed in own {
            let shown = shortened(ui, &bed.name, &TextStyle::Body.resolve(ui.style()), ui.available_width());
            ui.label(RichText::new(shown).color(Paper::of(ui.visuals()).ink)).on_hover_text(&bed.name);
            ui.horizontal_wrapped(|ui| {
                remark(ui, size_words(&bed.bed));
                let name = &bed.name;
                if small(ui, text::beds::USE, &text::beds::use_here(name), text::beds::USE_HINT) {
                    queue.edit(replaced(state.recipe(), at, bed.clone()));
                }
                if small(ui, text::beds::ADD_OWN, &text::beds::add_own(name), text::beds::ADD_OWN_HINT) {
                    queue.edit(added(state.recipe(), bed.clone()));
                    queue.push(Action::Bed(BedAction::Show(state.recipe().more_beds.len() + 1)));
                }
                if small(ui, text::common::FORGET, &text::beds::forget(name), text::beds::FORGET_HINT) {
                    queue.push(Action::Bed(BedAction::Forget(name.clone())));
                }
            });
        }
    });
}

fn small(ui: &mut Ui, words: &str, name: &str, hint: &str) -> bool {
    let button = ui.add(egui::Button::new(words).small());
    button.widget_info(|| WidgetInfo::labeled(Role::Button, true, name));
    button.on_hover_text(hint).clicked()
}
