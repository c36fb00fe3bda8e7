//! Line 1: the model file, what it holds, and what to do when it is gone.

use egui::{TextStyle, Ui};
use seamwright_project::Edit;

use super::health::health;
use super::line::remark;
use super::middle::{NAME_GAP, shortened, small_width};
use super::summary::{failure_at, file_name};
use crate::app::command::Command;
use crate::app::files::Purpose;
use crate::app::state::{Line, State};
use crate::app::{Action, Failure, Queue};
use crate::text::{self, terms};

/// Shows the line's content.
pub fn show(ui: &mut Ui, state: &State, queue: &mut Queue) {
    let Some(source) = &state.recipe().stock else {
        remark(ui, text::stock::NONE_YET);
        choose(ui, queue, text::stock::CHOOSE);
        return;
    };
    if let Some(failure) = failure_at(state, Line::Stock).filter(|failure| failure.stock_moved) {
        let source = state.recipe().sources().nth(failure.source).unwrap_or(source);
        ui.horizontal_wrapped(|ui| {
            if ui.button(text::stock::POINT_AT).clicked() {
                queue.push(Action::Ask(relocation(failure)));
            }
            if ui.button(text::stock::LOOK_AGAIN).on_hover_text(text::stock::LOOK_AGAIN_HINT).clicked() {
                queue.push(Action::EvaluateAgain);
            }
        });
        remark(ui, text::stock::it_was(&source.path, source.bytes));
    }
    if let Some(stock) = state.outcome.as_ref().and_then(|o| o.stock.as_ref()) {
        facts(ui, state, stock, file_name(&source.path));
    }
    health(ui, state, queue);
    files(ui, state, queue);
    choose(ui, queue, text::stock::CHOOSE_ANOTHER);
}

/// What is asked for where a file of the model is not at its place.
pub(super) fn relocation(failure: &Failure) -> Purpose {
    failure.source.checked_sub(1).map_or(Purpose::RelocateStock, Purpose::RelocateSource)
}

/// The files of the model, where there are several, and a way to add one.
fn files(ui: &mut Ui, state: &State, queue: &mut Queue) {
    let beside = &state.recipe().beside;
    for (at, source) in beside.iter().enumerate() {
        ui.horizontal(|ui| {
            let room = ui.available_width() - small_width(ui, text::common::TAKE_AWAY) - NAME_GAP;
            let words = text::stock::with_file(file_name(&source.path));
            let shown = shortened(ui, &words, &TextStyle::Body.resolve(ui.style()), room);
            ui.label(shown).on_hover_text(&source.path);
            let take = ui.add(egui::Button::new(text::common::TAKE_AWAY).small());
            if take.on_hover_text(text::stock::TAKE_AWAY_HINT).clicked() {
                queue.edit(Edit::RemoveSource(at));
            }
        });
    }
    let add = ui.button(text::stock::ADD_FILE);
    if add.on_hover_text(text::stock::ADD_FILE_HINT).clicked() {
        queue.push(Action::Ask(Purpose::AddSource));
    }
}

fn choose(ui: &mut Ui, queue: &mut Queue, words: &str) {
    if ui.button(words).on_hover_text(Command::OpenStock.tooltip(ui.ctx())).clicked() {
        queue.push(Action::Run(Command::OpenStock));
    }
}

fn facts(ui: &mut Ui, state: &State, stock: &crate::app::Stock, file: &str) {
    let report = &stock.report;
    let counts = ui.label(text::stock::faces_and_shells(report.triangles, report.shells.len()));
    counts.on_hover_text([terms::FACE.means, terms::SHELL.means].join("\n"));
    let closed = |ui: &mut Ui, words: &str| drop(ui.label(words).on_hover_text(terms::CLOSED.means));
    let open = || text::stock::not_closed(report.open_edges, report.over_used_edges, report.misturned_edges);
    // What is dropped may be open; until the parts are made there is only the file to go by.
    let made = state.outcome.as_ref().filter(|outcome| !outcome.parts.is_empty());
    let (mended, still_open) = made.map_or((false, None), |made| (made.is_mended(), Some(made.open_shells())));
    match (still_open.as_deref(), mended) {
        (Some([]), _) if report.closed => closed(ui, text::stock::CLOSED),
        // What the mends closed is no trouble any more.
        (Some([]), mended) => {
            closed(ui, if mended { text::stock::CLOSED_AFTER_MENDING } else { text::stock::KEPT_IS_CLOSED });
            remark(ui, text::stock::in_file(&open()));
        }
        (Some(shells), true) => {
            let which = text::stock::which_open(shells, report.shells.len());
            super::line::trouble(ui, &text::stock::still_open(&which, &open()));
        }
        (None, _) if report.closed => closed(ui, text::stock::CLOSED),
        _ => super::line::trouble(ui, &text::stock::pieces_stay_open(&open())),
    }
    let odd = [
        (report.zero_area_faces, text::stock::without_area as fn(usize) -> String),
        (report.duplicate_faces, text::stock::doubled),
        (stock.set_aside, text::stock::set_aside),
    ];
    for (count, said) in odd.into_iter().filter(|(count, _)| *count > 0) {
        remark(ui, said(count));
    }
    remark(ui, text::stock::read_in(file, stock.read_s + stock.merge_s));
}
