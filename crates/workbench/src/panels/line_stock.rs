//! Line 1: the model file, what it holds, and what to do when it is gone.

use egui::Ui;
use seamwright_project::Edit;

use super::health::health;
use super::line::remark;
use super::summary::{failure_at, file_name};
use crate::app::command::Command;
use crate::app::files::Purpose;
use crate::app::state::{Line, State};
use crate::app::{Action, Queue, words};

/// Shows the line's content.
pub fn show(ui: &mut Ui, state: &State, queue: &mut Queue) {
    let Some(source) = &state.recipe().stock else {
        remark(ui, "A model as STL, OBJ, PLY or 3MF. Drop it on the window, or choose it here.");
        choose(ui, queue, "choose a model");
        return;
    };
    if let Some(failure) = failure_at(state, Line::Stock).filter(|failure| failure.stock_moved) {
        let purpose = failure.source.checked_sub(1).map_or(Purpose::RelocateStock, Purpose::RelocateSource);
        let source = state.recipe().sources().nth(failure.source).unwrap_or(source);
        ui.horizontal_wrapped(|ui| {
            if ui.button("point at its new place").clicked() {
                queue.push(Action::Ask(purpose));
            }
            if ui.button("look again").on_hover_text("After you have put the file back in its place").clicked() {
                queue.push(Action::EvaluateAgain);
            }
        });
        remark(ui, format!("It was {}, {}.", source.path, words::bytes(source.bytes)));
    }
    if let Some(stock) = state.outcome.as_ref().and_then(|o| o.stock.as_ref()) {
        facts(ui, stock, file_name(&source.path));
    }
    health(ui, state, queue);
    files(ui, state, queue);
    choose(ui, queue, "choose another model");
}

/// The files of the model, where there are several, and a way to add one.
fn files(ui: &mut Ui, state: &State, queue: &mut Queue) {
    let beside = &state.recipe().beside;
    for (at, source) in beside.iter().enumerate() {
        ui.horizontal(|ui| {
            ui.label(format!("with {}", file_name(&source.path)));
            let take = ui.add(egui::Button::new("take away").small());
            if take.on_hover_text("It is no longer part of this model. Shells are chosen anew").clicked() {
                queue.edit(Edit::RemoveSource(at));
            }
        });
    }
    let add = ui.button("add a file of the same model");
    if add.on_hover_text("A file that was modelled in the same place and unit: it stays where it is").clicked() {
        queue.push(Action::Ask(Purpose::AddSource));
    }
}

fn choose(ui: &mut Ui, queue: &mut Queue, words: &str) {
    if ui.button(words).on_hover_text(Command::OpenStock.tooltip(ui.ctx())).clicked() {
        queue.push(Action::Run(Command::OpenStock));
    }
}

fn facts(ui: &mut Ui, stock: &crate::app::Stock, file: &str) {
    let report = &stock.report;
    ui.label(format!("{}, {}", words::count(report.triangles, "face", "faces"), shells(report.shells.len())));
    if report.closed {
        ui.label("closed: every edge joins two faces");
    } else {
        super::line::trouble(ui, &open_words(report));
    }
    let odd = [
        (report.zero_area_faces, "face without area", "faces without area"),
        (report.duplicate_faces, "doubled face", "doubled faces"),
        (stock.set_aside, "face with numbers that are none, set aside", "faces with numbers that are none, set aside"),
    ];
    for (count, one, many) in odd.into_iter().filter(|(count, ..)| *count > 0) {
        remark(ui, words::count(count, one, many));
    }
    remark(ui, format!("{file}: read in {:.1} s", stock.read_s + stock.merge_s));
}

fn shells(count: usize) -> String {
    words::count(count, "shell", "shells")
}

fn open_words(report: &seamwright_geometry::Report) -> String {
    let parts = [
        (report.open_edges, "open edge", "open edges"),
        (report.over_used_edges, "edge with more than two faces", "edges with more than two faces"),
        (
            report.misturned_edges,
            "edge between faces turned against each other",
            "edges between faces turned against each other",
        ),
    ];
    let said: Vec<String> =
        parts.into_iter().filter(|(n, ..)| *n > 0).map(|(n, one, many)| words::count(n, one, many)).collect();
    format!("Not closed: {}. Pieces may stay open there", said.join(", "))
}
