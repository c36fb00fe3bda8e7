//! The notes: what the program noticed, each with a place to go to.

use egui::{Panel, ProgressBar, RichText, ScrollArea, Ui};

use super::line_stock::relocation;
use super::summary::line_of;
use crate::app::advice::show_edit;
use crate::app::command::Command;
use crate::app::state::State;
use crate::app::style::Paper;
use crate::app::{Action, BoreAction, Failure, Note, Outcome, Queue, Stage, Weight};
use crate::text;

/// More notes than this are counted, not listed.
const MOST_NOTES: usize = 200;
/// Room for one note, points.
const ROW: f32 = 26.0;
/// What the strip takes beside its notes, points.
const AROUND: f32 = 10.0;
/// So many rows are always there in a window so high, points, or less: whatever comes and goes in the strip, the bench keeps
/// its height. Our own choice, no source.
const ROWS: [(f32, f32); 3] = [(600.0, 1.0), (900.0, 2.0), (f32::INFINITY, 3.0)];
/// Opened to see more, the strip takes what its notes need then, up to this share of the window. Our own choice, no source.
const OPEN_SHARE: f32 = 0.3;

/// Shows the strip of notes, once there is something that they could be about.
pub fn notes(ui: &mut Ui, state: &State, queue: &mut Queue) {
    let has_model = state.recipe().stock.is_some();
    let noted = state.outcome.as_ref().filter(|_| has_model);
    // On the start sheet it stands where one begins anew.
    let unopened = state.unopened.as_ref().filter(|_| !state.shows_start());
    if !has_model && unopened.is_none() {
        return;
    }
    let paper = Paper::of(ui.visuals());
    let frame = egui::Frame::new().fill(paper.sheet).inner_margin(egui::Margin::symmetric(12, 5));
    let window = ui.ctx().content_rect().height();
    // How high it was opened; it stays so until it is closed.
    let key = egui::Id::unique("height of the opened notes");
    let opened = ui.data(|d| d.get_temp::<Option<f32>>(key)).flatten();
    let is_open = opened.is_some();
    let rows = ROWS.iter().find(|(height, _)| window <= *height).map_or(1.0, |(_, rows)| *rows);
    let height = opened.unwrap_or(rows * ROW);
    let mut next = opened;
    Panel::bottom("notes").exact_size(height + AROUND).frame(frame).show(ui, |ui| {
        ui.horizontal_top(|ui| {
            ui.label(RichText::new(text::notes::TITLE).color(paper.ink));
            let more = egui::Id::unique("notes take more room than they have");
            let has_more = ui.data(|d| d.get_temp::<bool>(more)).unwrap_or(false);
            let room = ui.available_width() - if has_more || is_open { TOGGLE } else { 0.0 };
            let strip = egui::vec2(room, ui.available_height());
            let needed = ui.allocate_ui(strip, |ui| {
                let scrolled = ScrollArea::vertical().auto_shrink(false).min_scrolled_height(0.0).show(ui, |ui| {
                    ui.vertical(|ui| told(ui, state, queue, (noted.map(AsRef::as_ref), unopened)));
                });
                scrolled.content_size.y
            });
            let takes_more = needed.inner > rows * ROW + 1.0;
            if takes_more != has_more {
                ui.data_mut(|d| d.insert_temp(more, takes_more));
                ui.ctx().request_repaint();
            }
            if has_more || is_open {
                let words = if is_open { text::notes::FEWER } else { text::notes::MORE };
                let hint = if is_open { text::notes::FEWER_HINT } else { text::notes::MORE_HINT };
                if ui.link(words).on_hover_text(hint).clicked() {
                    let most = (window * OPEN_SHARE).max((rows + 1.0) * ROW);
                    let needed = (needed.inner / ROW).ceil() * ROW + ROW / 2.0;
                    next = (!is_open).then(|| needed.clamp((rows + 1.0) * ROW, most));
                }
            }
        });
    });
    ui.data_mut(|d| d.insert_temp(key, next));
}

/// What opens and closes the strip has so much room, points.
const TOGGLE: f32 = 84.0;

/// All that there is to tell, what to do first: it is what one looks for.
fn told(ui: &mut Ui, state: &State, queue: &mut Queue, (noted, unopened): (Option<&Outcome>, Option<&String>)) {
    if let Some(why) = unopened {
        unopened_row(ui, why, queue);
    }
    let failure = noted.and_then(|outcome| outcome.failure.as_ref());
    if let Some(failure) = failure {
        failure_row(ui, state, failure, queue);
    }
    let advised = state.advised();
    let told = unopened.is_some() || failure.is_some() || state.is_advice_open();
    let mut notes: Vec<&Note> = noted.iter().flat_map(|outcome| &outcome.notes).collect();
    if notes.is_empty() && advised.is_empty() && !told && noted.is_some() {
        ui.label(RichText::new(text::notes::NONE).color(Paper::of(ui.visuals()).ink_soft));
    }
    advised.iter().for_each(|note| advice_row(ui, note, state, queue));
    sought(ui, state, queue);
    notes.sort_by_key(|note| std::cmp::Reverse(note.weight));
    for note in notes.iter().take(MOST_NOTES) {
        row(ui, state, note, queue);
    }
    if notes.len() > MOST_NOTES {
        ui.label(text::notes::more(notes.len() - MOST_NOTES));
    }
}

/// A file that could not be opened: it stands here until another one is.
fn unopened_row(ui: &mut Ui, why: &str, queue: &mut Queue) {
    ui.horizontal_wrapped(|ui| {
        ui.label(RichText::new(why).color(Paper::of(ui.visuals()).warning));
        if link(ui, text::notes::OPEN_ANOTHER, why).on_hover_text(Command::Open.tooltip(ui.ctx())).clicked() {
            queue.push(Action::Run(Command::Open));
        }
        if link(ui, text::bench::DISMISS, why).on_hover_text(text::bench::DISMISS_HINT).clicked() {
            queue.push(Action::DismissUnopened);
        }
    });
}

/// What is in the way of the pieces, and where it is mended.
fn failure_row(ui: &mut Ui, state: &State, failure: &Failure, queue: &mut Queue) {
    ui.horizontal_wrapped(|ui| {
        ui.label(RichText::new(&failure.text).color(Paper::of(ui.visuals()).warning));
        let line = line_of(failure.stage);
        if failure.stage == Stage::Stock {
            let (words, action) = if failure.stock_moved {
                (text::stock::POINT_AT, Action::Ask(relocation(failure)))
            } else {
                (text::stock::CHOOSE_ANOTHER, Action::Run(Command::OpenStock))
            };
            if link(ui, words, &failure.text).clicked() {
                queue.push(action);
            }
        }
        if state.open_line != Some(line) && link(ui, text::notes::SEE_LINE, &failure.text).clicked() {
            queue.push(Action::OpenLine(line));
        }
    });
}

/// What to do, with a way to look at it and one to do it.
fn advice_row(ui: &mut Ui, note: &Note, state: &State, queue: &mut Queue) {
    ui.horizontal_wrapped(|ui| {
        ui.label(RichText::new(&note.text).color(Paper::of(ui.visuals()).ink));
        let Some(edit) = &note.edit else { return };
        if link(ui, text::common::SHOW_ME, &note.text).on_hover_text(text::notes::LOOK_FIRST).clicked() {
            show_edit(edit, note, state, queue);
        }
        if link(ui, text::notes::DO_IT, &note.text).on_hover_text(text::notes::DO_IT_HINT).clicked() {
            queue.edit(edit.clone());
        }
    });
}

/// Links of several notes say the same, and are told apart by their note.
fn link(ui: &mut Ui, words: &str, note: &str) -> egui::Response {
    let link = ui.link(words);
    link.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Link, true, text::common::told_apart(words, note)));
    link
}

/// Advice that is on its way, or that can be asked for.
fn sought(ui: &mut Ui, state: &State, queue: &mut Queue) {
    let paper = Paper::of(ui.visuals());
    if let Some(share) = state.advice.sought {
        ui.horizontal_wrapped(|ui| {
            ui.label(RichText::new(text::notes::LOOKING).color(paper.ink_soft));
            ui.add(ProgressBar::new(share as f32).desired_width(120.0).desired_height(8.0).fill(paper.accent));
            let stop = ui.link(text::bench::STOP);
            stop.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Link, true, text::notes::STOP_LOOKING));
            if stop.on_hover_text(text::notes::STOP_LOOKING).clicked() {
                queue.push(Action::StopAdvice);
            }
        });
    } else if state.is_advice_open() {
        let link = ui.link(text::notes::WHAT_CAN_BE_DONE);
        if link.on_hover_text(text::notes::WHAT_CAN_BE_DONE_HINT).clicked() {
            queue.push(Action::Advise);
        }
    }
}

fn row(ui: &mut Ui, state: &State, note: &Note, queue: &mut Queue) {
    let paper = Paper::of(ui.visuals());
    ui.horizontal_wrapped(|ui| {
        let ink = if note.weight == Weight::Warning { paper.warning } else { paper.ink };
        ui.label(RichText::new(&note.text).color(ink));
        if let Some(action) = go_to(state, note)
            && ui.link(text::common::SHOW).on_hover_text(text::common::INTO_THE_PICTURE).clicked()
        {
            if let Some(cut) = note.cut.filter(|cut| state.recipe().cut(*cut).is_some()) {
                queue.push(Action::TakeCut(Some(cut)));
            }
            if let Some(bore) = note.bore.filter(|bore| state.recipe().bore(*bore).is_some()) {
                queue.push(Action::Bore(BoreAction::Take(Some(bore))));
            }
            queue.push(action);
        }
        let words = text::notes::DO_IT;
        if let Some(edit) = &note.edit
            && link(ui, words, &note.text).on_hover_text(text::notes::DO_IT_HINT).clicked()
        {
            queue.edit(edit.clone());
        }
    });
}

/// Where a note leads: to the whole piece where that is what it is about, to the place on an open one, or to its cut.
fn go_to(state: &State, note: &Note) -> Option<Action> {
    let piece = note.piece.as_ref().and_then(|id| state.piece(id));
    if let Some(piece) = piece.filter(|piece| piece.facts.closed || note.place.is_none()) {
        return Some(Action::ShowPiece(piece.id.clone()));
    }
    if let Some(place) = note.place {
        return Some(Action::ShowPlace(place));
    }
    let bore = note.bore.filter(|bore| state.recipe().bore(*bore).is_some());
    let cut = note.cut.filter(|cut| state.recipe().cut(*cut).is_some());
    bore.map(|bore| Action::Bore(BoreAction::Take(Some(bore)))).or(cut.map(|cut| Action::TakeCut(Some(cut))))
}
