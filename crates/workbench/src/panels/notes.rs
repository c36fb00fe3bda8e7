//! The notes: what the program noticed, each with a place to go to.

use egui::{Panel, RichText, ScrollArea, Ui};

use crate::app::advice::show_edit;
use crate::app::state::State;
use crate::app::style::Paper;
use crate::app::{Action, BoreAction, Note, Queue, Weight, words};

/// More notes than this are counted, not listed.
const MOST_NOTES: usize = 200;

/// So many are in sight at once; the others are scrolled to.
const MOST_IN_SIGHT: usize = 3;

/// Shows the strip of notes; nothing where there are none.
pub fn notes(ui: &mut Ui, state: &State, queue: &mut Queue) {
    let Some(outcome) = state.outcome.as_ref().filter(|o| !o.notes.is_empty()) else { return };
    let advised = state.advised();
    let paper = Paper::of(ui.visuals());
    let frame = egui::Frame::new().fill(paper.sheet).inner_margin(egui::Margin::symmetric(12, 5));
    let rows = (outcome.notes.len() + advised.len()).min(MOST_IN_SIGHT) as f32 + if is_open(state) { 1.0 } else { 0.0 };
    Panel::bottom("notes").exact_size(rows * 26.0 + 10.0).frame(frame).show(ui, |ui| {
        ui.horizontal_top(|ui| {
            ui.label(RichText::new("Notes").color(paper.ink));
            ScrollArea::vertical().auto_shrink(false).min_scrolled_height(0.0).show(ui, |ui| {
                ui.vertical(|ui| {
                    // What to do comes first: it is what one looks for.
                    advised.iter().for_each(|note| advice_row(ui, note, queue));
                    sought(ui, state, queue);
                    let mut notes: Vec<&Note> = outcome.notes.iter().collect();
                    notes.sort_by_key(|note| std::cmp::Reverse(note.weight));
                    for note in notes.iter().take(MOST_NOTES) {
                        row(ui, state, note, queue);
                    }
                    if notes.len() > MOST_NOTES {
                        ui.label(words::count(notes.len() - MOST_NOTES, "more", "more"));
                    }
                });
            });
        });
    });
}

/// What to do, with a way to look at it and one to do it.
fn advice_row(ui: &mut Ui, note: &Note, queue: &mut Queue) {
    ui.horizontal(|ui| {
        ui.label(RichText::new(&note.text).color(Paper::of(ui.visuals()).ink));
        let Some(edit) = &note.edit else { return };
        if link(ui, "show me", note).on_hover_text("Look at it first; nothing is changed yet").clicked() {
            show_edit(edit, note, queue);
        }
        if link(ui, "do it", note).on_hover_text("One step: undo takes it back").clicked() {
            queue.edit(edit.clone());
        }
    });
}

/// Links of several notes say the same, and are told apart by their note.
fn link(ui: &mut Ui, words: &str, note: &Note) -> egui::Response {
    let link = ui.link(words);
    link.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Link, true, format!("{words}: {}", note.text)));
    link
}

/// Whether it is open what to do about pieces that do not fit.
fn is_open(state: &State) -> bool {
    let unfit = state.pieces().iter().any(|piece| !piece.fit.verdict.fits());
    state.advice.is_sought || (unfit && !state.is_out_of_date() && !state.is_advised())
}

/// Advice that is on its way, or that can be asked for.
fn sought(ui: &mut Ui, state: &State, queue: &mut Queue) {
    if state.advice.is_sought {
        ui.label(
            RichText::new("looking for what to do about what does not fit…").color(Paper::of(ui.visuals()).ink_soft),
        );
    } else if is_open(state) {
        let link = ui.link("what can be done?");
        if link.on_hover_text("Looks for the least moves of cuts with which all pieces fit").clicked() {
            queue.push(Action::Advise);
        }
    }
}

fn row(ui: &mut Ui, state: &State, note: &Note, queue: &mut Queue) {
    let paper = Paper::of(ui.visuals());
    ui.horizontal(|ui| {
        let ink = if note.weight == Weight::Warning { paper.warning } else { paper.ink };
        ui.label(RichText::new(&note.text).color(ink));
        if let Some(action) = go_to(state, note)
            && ui.link("show").on_hover_text("Bring it into the picture").clicked()
        {
            if let Some(cut) = note.cut.filter(|cut| state.recipe().cut(*cut).is_some()) {
                queue.push(Action::TakeCut(Some(cut)));
            }
            if let Some(bore) = note.bore.filter(|bore| state.recipe().bore(*bore).is_some()) {
                queue.push(Action::Bore(BoreAction::Take(Some(bore))));
            }
            queue.push(action);
        }
        let words = crate::text::notes::DO_IT;
        if let Some(edit) = &note.edit
            && link(ui, words, note).on_hover_text(crate::text::notes::DO_IT_HINT).clicked()
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
