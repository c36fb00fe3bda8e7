//! Line 1: the model file, what it holds, and what to do when it is gone.

use egui::Ui;

use super::line::remark;
use super::summary::{failure_at, file_name};
use crate::app::command::Command;
use crate::app::files::Purpose;
use crate::app::state::{Line, State};
use crate::app::{Action, Queue, words};

/// Shows the line's content.
pub fn show(ui: &mut Ui, state: &State, queue: &mut Queue) {
    let Some(source) = &state.recipe().stock else {
        remark(ui, "A model as STL, in one file. Drop it on the window, or choose it here.");
        choose(ui, queue, "choose a model");
        return;
    };
    if failure_at(state, Line::Stock).is_some_and(|failure| failure.stock_moved) {
        ui.horizontal_wrapped(|ui| {
            if ui.button("point at its new place").clicked() {
                queue.push(Action::Ask(Purpose::RelocateStock));
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
    choose(ui, queue, "choose another model");
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
