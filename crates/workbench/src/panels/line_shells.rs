//! Line 3: the shells of the stock: kept, set aside as a loose part, or dropped.

use std::collections::BTreeSet;

use egui::{ComboBox, Grid, RichText, Role, ScrollArea, TextStyle, Ui, WidgetInfo};
use seamwright_project::{Edit, Part, PartId, Recipe, ShellNow};

use super::line::remark;
use super::middle::shortened;
use super::name_entry::name_entry;
use super::reliefs::reliefs;
use crate::app::state::State;
use crate::app::style::{Paper, choice};
use crate::app::{Action, Queue, Stock, words};
use crate::text;

/// More rows than this are not drawn; a list that long is worked through by size, largest first.
const MOST_ROWS: usize = 60;
/// The list is as high as this at most, points.
const LIST_HEIGHT: f32 = 260.0;
/// Room for the name of a shell, points.
const NAME_ROOM: f32 = 112.0;

/// Shows the line's content.
pub fn show(ui: &mut Ui, state: &State, queue: &mut Queue) {
    let Some(stock) = state.outcome.as_ref().and_then(|o| o.stock.as_ref()) else {
        remark(ui, text::shells::NONE_YET);
        return;
    };
    let recipe = state.recipe();
    let order = order(stock);
    ScrollArea::vertical().max_height(LIST_HEIGHT).auto_shrink([false, true]).show(ui, |ui| {
        Grid::new("shells").num_columns(2).striped(true).show(ui, |ui| {
            for &i in order.iter().take(MOST_ROWS) {
                row(ui, state, queue, stock, i);
                ui.end_row();
            }
        });
    });
    if let Some(rest @ [_, ..]) = order.get(MOST_ROWS..) {
        let dropped = rest.iter().filter(|&&i| recipe.dropped_shells.contains(&(i as u32))).count();
        remark(ui, text::shells::rest(rest.len() - dropped, dropped));
    }
    loose_parts(ui, recipe, queue);
    reliefs(ui, state, queue, stock);
}

/// The largest solids first, each with the walls of its cavities beneath it.
fn order(stock: &Stock) -> Vec<usize> {
    let faces = |i: u32| stock.report.shells[i as usize].triangles;
    let mut order: Vec<u32> = (0..).take(stock.report.shells.len()).collect();
    order.sort_by_key(|&i| {
        let solid = stock.solid_of(i);
        (std::cmp::Reverse(faces(solid)), solid, solid != i, std::cmp::Reverse(faces(i)), i)
    });
    order.into_iter().map(|i| i as usize).collect()
}

fn row(ui: &mut Ui, state: &State, queue: &mut Queue, stock: &Stock, i: usize) {
    let (shell, number) = (&stock.report.shells[i], i as u32);
    let lit = state.selected_shell == Some(number);
    ui.vertical(|ui| {
        let called = stock.names.iter().find(|(shell, _)| *shell == number);
        let called = called.map(|(_, name)| name.as_str());
        let name = text::shells::shell(i as u64 + 1, called);
        // As wide as the choice of what becomes of it, so that the figures beside it keep their place.
        let shown = shortened(ui, &name, &TextStyle::Button.resolve(ui.style()), NAME_ROOM);
        let button = ui.add(choice(&Paper::of(ui.visuals()), lit, shown));
        button.widget_info(|| WidgetInfo::selected(Role::Button, true, lit, &name));
        let name = button.on_hover_text([name.as_str(), text::shells::SHOW_HINT].join("\n"));
        if name.clicked() {
            queue.push(Action::SelectShell((!lit).then_some(number)));
        }
        fate(ui, state.recipe(), queue, stock, number);
    });
    let paper = Paper::of(ui.visuals());
    // Of a dropped shell, and before the parts are made, there is only the file to go by.
    let open = state.outcome.as_ref().and_then(|outcome| outcome.shell_now(number)).map(|now| now == ShellNow::Open);
    let ink = if open.unwrap_or(!shell.closed) { paper.warning } else { paper.ink_soft };
    let text = RichText::new(facts(state, stock, number)).small().color(ink);
    ui.add(egui::Label::new(text).wrap());
}

/// Size, volume and place of a shell.
fn facts(state: &State, stock: &Stock, number: u32) -> String {
    let shell = &stock.report.shells[number as usize];
    // The boxes are those of the results: so is the size.
    let outcome = state.outcome.as_ref();
    let scale = outcome.map_or(1.0, |outcome| outcome.recipe.size.scale());
    let stands = outcome.and_then(|outcome| outcome.shell_boxes.get(number as usize)).copied();
    let bounds = stands.unwrap_or(shell.bounds);
    let now = outcome.and_then(|outcome| outcome.shell_now(number));
    let mended = part_of(state, number).is_some_and(|part| part.closed.is_some());
    let said = match (shell.closed, shell.turned_inwards()) {
        _ if now == Some(ShellNow::Gone) => text::shells::GONE.to_owned(),
        (true, _) if now == Some(ShellNow::Open) => text::shells::OPEN_SINCE.to_owned(),
        (false, _) if now == Some(ShellNow::Closed) => text::shells::CLOSED_BY_MENDING.to_owned(),
        (false, _) if mended => text::shells::STILL_OPEN.to_owned(),
        (false, _) => text::shells::OPEN.to_owned(),
        (true, true) if stock.solid_of(number) == number => text::shells::INSIDE_OUT.to_owned(),
        (true, true) => text::shells::cavity_of(u64::from(stock.solid_of(number)) + 1),
        (true, false) => words::volume(shell.volume_mm3 * scale.powi(3)),
    };
    text::shells::facts(&bounds.size(), &said, shell.triangles, &bounds.centre())
}

/// The part that a shell is in, as the results have it.
fn part_of(state: &State, shell: u32) -> Option<&Part> {
    let outcome = state.outcome.as_ref()?;
    let part = outcome.recipe.part_of_shell(shell)?;
    outcome.parts.iter().find(|made| made.id == part)
}

/// The shells that go with one: the walls of its cavities, but for those of which something else was said. A cavity by itself
/// goes alone.
fn together(recipe: &Recipe, stock: &Stock, shell: u32) -> BTreeSet<u32> {
    let fate = recipe.part_of_shell(shell);
    stock.cavities_of(shell).filter(|cavity| recipe.part_of_shell(*cavity) == fate).chain([shell]).collect()
}

/// What becomes of a shell, and of its cavities.
fn fate(ui: &mut Ui, recipe: &Recipe, queue: &mut Queue, stock: &Stock, shell: u32) {
    let part = recipe.part_of_shell(shell);
    let said = match part {
        None => text::shells::DROPPED,
        Some(PartId::MAIN) => text::shells::KEPT,
        Some(part) => recipe.part_name(part),
    };
    let shells = || together(recipe, stock, shell);
    let combo = ComboBox::from_id_salt(("fate", shell)).selected_text(said).width(96.0).truncate().show_ui(ui, |ui| {
        if ui.selectable_label(part == Some(PartId::MAIN), text::shells::KEPT).clicked() && part != Some(PartId::MAIN) {
            queue.edit(Edit::SetShellsPart { shells: shells(), part: PartId::MAIN });
        }
        if ui.selectable_label(part.is_none(), text::shells::DROPPED).clicked() && part.is_some() {
            queue.edit(Edit::DropShells(shells()));
        }
        for loose in &recipe.loose {
            if ui.selectable_label(part == Some(loose.id), &loose.name).clicked() && part != Some(loose.id) {
                queue.edit(Edit::SetShellsPart { shells: shells(), part: loose.id });
            }
        }
        let aside = ui.selectable_label(false, text::shells::SET_ASIDE);
        if aside.on_hover_text(text::shells::SET_ASIDE_HINT).clicked() {
            queue.edit(Edit::AddLoosePart { name: String::new(), shells: shells() });
        }
    });
    let name = text::shells::is(u64::from(shell) + 1, said);
    let hint = match (stock.solid_of(shell) == shell, stock.cavities_of(shell).next()) {
        (false, _) => text::shells::CAVITY_HINT,
        (true, Some(_)) => text::shells::SOLID_HINT,
        (true, None) => text::shells::FATE_HINT,
    };
    combo.response.clone().on_hover_text([said, hint].join("\n"));
    combo.response.widget_info(|| WidgetInfo::labeled(Role::ComboBox, true, &name));
}

fn loose_parts(ui: &mut Ui, recipe: &Recipe, queue: &mut Queue) {
    for (i, part) in recipe.loose.iter().enumerate() {
        ui.push_id(("loose", i), |ui| {
            ui.horizontal(|ui| {
                if let Some(name) = name_entry(ui, text::shells::PART_NAME, &part.name, 120.0) {
                    queue.edit(Edit::RenameLoosePart { part: part.id, name });
                }
                let back = ui.add(egui::Button::new(text::shells::PUT_BACK).small());
                if back.on_hover_text(text::shells::PUT_BACK_HINT).clicked() {
                    queue.edit(Edit::RemoveLoosePart(part.id));
                }
            });
        });
    }
}
