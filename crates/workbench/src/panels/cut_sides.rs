//! What a cut's card says of its two sides.

use egui::{RichText, Ui};
use seamwright_geometry::{Side, Verdict};
use seamwright_project::{Cut, PieceId};

use super::line::remark;
use super::swatch::swatch;
use crate::app::state::{State, tone_of};
use crate::app::style::Paper;
use crate::app::{Action, Piece, Queue, outline, words};
use crate::bench::Tone;
use crate::shown::tone_of_piece;
use crate::text;

/// How both sides fit: the pieces themselves once they are worked out, the sides as they would be until then.
pub(super) fn sides(ui: &mut Ui, state: &State, cut: &Cut) {
    let resting = state.preview.is_none() && !state.is_out_of_date();
    let is_made = state.pieces().iter().any(|piece| side_of(piece, cut).is_some());
    if resting && is_made {
        made(ui, state, cut, Side::Below);
        made(ui, state, cut, Side::Above);
        return;
    }
    let Some(placement) = &state.placement else {
        let stopped = state.stopped || state.placing_stopped;
        remark(ui, if stopped { text::cut_sides::STOPPED } else { text::cut_sides::WORKING_OUT });
        return;
    };
    if !placement.sides_known {
        remark(ui, text::cut_sides::WHEN_LET_GO);
        return;
    }
    if placement.sides.is_empty() {
        remark(ui, text::cut_sides::CROSSES_NOTHING);
        return;
    }
    let several = placement.sides.len() > 2;
    let exact = state.found.exact.is_some();
    for side in state.placed_sides() {
        let marks = if several { marks_on_side(state, cut, &side.part, side.side) } else { String::new() };
        let which = format!("{}{marks}", words_of(side.side));
        if side.verdict == Verdict::Undecided && !exact {
            side_row(ui, &which, tone_of(side.verdict), text::cut_sides::PERHAPS_TILTED, Some(side.slack_mm))
                .on_hover_text(text::cut_sides::PERHAPS_TILTED_HINT);
        } else {
            let tone = tone_of(side.verdict);
            side_row(ui, &which, tone, tone.words(), Some(side.slack_mm));
        }
        ui.horizontal(|ui| {
            ui.add_space(28.0);
            let recipe = state.recipe();
            let bed = (!recipe.more_beds.is_empty()).then(|| recipe.bed_name(side.bed));
            remark(ui, text::cut_sides::size(&side.sizes_mm.into(), bed.as_deref()));
        });
    }
    let known = if exact { text::cut_sides::EXACT } else { text::cut_sides::QUICK };
    let said = ui.horizontal(|ui| remark(ui, known));
    let hint = if exact { text::cut_sides::EXACT_HINT } else { text::cut_sides::QUICK_HINT };
    said.response.on_hover_text(hint);
}

/// What the outline is like, and what would be hard to print about it, each with its place.
pub(super) fn outline_told(ui: &mut Ui, state: &State, queue: &mut Queue) {
    let Some(placement) = state.placement.as_ref().filter(|placement| !placement.outline.is_empty()) else { return };
    if placement.sides_known {
        remark(ui, text::cut_sides::outline(&outline::facts(placement, state.at_rest.is_none())));
    }
    for warning in outline::warnings(state) {
        ui.horizontal_wrapped(|ui| {
            ui.label(RichText::new(&warning.text).small().color(Paper::of(ui.visuals()).warning));
            let show = ui.add(egui::Button::new(text::common::SHOW).small());
            show.widget_info(|| {
                egui::WidgetInfo::labeled(
                    egui::Role::Button,
                    true,
                    text::common::told_apart(text::common::SHOW, &warning.text),
                )
            });
            if show.on_hover_text(text::common::LOOK_AT_PLACE).clicked() {
                queue.push(Action::ShowPlace(warning.place));
            }
        });
    }
}

/// What is known once the hand rests: the thinnest wall, and bodies that come apart.
pub(super) fn at_rest(ui: &mut Ui, state: &State, queue: &mut Queue) {
    let Some(rest) = &state.at_rest else { return };
    if let Some(wall) = rest.thinnest_wall {
        ui.horizontal(|ui| {
            remark(ui, text::cut_sides::thinnest_wall(wall.mm));
            let show = ui.add(egui::Button::new(text::common::SHOW).small());
            if show.on_hover_text(text::cut_sides::THINNEST_HINT).clicked() {
                queue.push(Action::ShowPlace(seamwright_geometry::Point::from(
                    (wall.from.coords + wall.to.coords) / 2.0,
                )));
            }
        });
    }
    if rest.bodies.iter().any(|bodies| *bodies > 1) {
        remark(ui, text::cut_sides::bodies(rest.bodies));
    }
}

/// The side of the cut that a piece is on, if the cut bounds it.
pub(super) fn side_of(piece: &Piece, cut: &Cut) -> Option<Side> {
    piece.id.path.iter().find(|(id, _)| *id == cut.id).map(|(_, side)| *side)
}

/// The ledger has them all; here are the tightest.
const MOST_PIECES: usize = 3;

fn made(ui: &mut Ui, state: &State, cut: &Cut, side: Side) {
    let mut pieces: Vec<&Piece> = state.pieces().iter().filter(|piece| side_of(piece, cut) == Some(side)).collect();
    // What nobody meant comes last, whether it fits or not.
    pieces.sort_by(|a, b| a.is_crumb().cmp(&b.is_crumb()).then(a.fit.slack_mm.total_cmp(&b.fit.slack_mm)));
    for piece in pieces.iter().take(MOST_PIECES) {
        let (tone, room) = (tone_of_piece(piece), (!piece.is_crumb()).then_some(piece.fit.slack_mm));
        side_row(ui, &text::cuts::side_of(words_of(side), &piece.mark), tone, tone.words(), room);
    }
    if pieces.len() > MOST_PIECES {
        remark(ui, text::cut_sides::with_more_room(pieces.len() - MOST_PIECES));
    }
}

pub(super) fn words_of(side: Side) -> &'static str {
    if side == Side::Above { text::common::ABOVE } else { text::common::BELOW }
}

/// Room for a signed number of millimetres at the end of a row, points.
const NUMBER_WIDTH: f32 = 64.0;

fn side_row(ui: &mut Ui, which: &str, tone: Tone, words: &str, slack_mm: Option<f64>) -> egui::Response {
    let row = ui.horizontal(|ui| {
        swatch(ui, tone);
        let room = ui.available_width() - NUMBER_WIDTH;
        ui.scope(|ui| {
            ui.set_max_width(room);
            let said = text::cut_sides::side(which, words);
            let said = if tone == Tone::Crumb { RichText::new(said).weak() } else { RichText::new(said) };
            ui.add(egui::Label::new(said).truncate());
        });
        if let Some(slack_mm) = slack_mm {
            ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| ui.label(words::signed_mm(slack_mm)));
        }
    });
    row.response
}

/// The marks of the pieces that one side of `piece` is now: those beyond the cut that lie on no other side of any other
/// cut than it does. With a space before them.
fn marks_on_side(state: &State, cut: &Cut, piece: &PieceId, side: Side) -> String {
    let apart = |p: &Piece| piece.path.iter().any(|(other, its)| p.id.path.contains(&(*other, its.other())));
    let on_side = |p: &&Piece| p.id.path.contains(&(cut.id, side)) && !apart(p);
    let marks: Vec<&str> = state.pieces().iter().filter(on_side).map(|p| p.mark.as_str()).collect();
    if marks.is_empty() { String::new() } else { format!(" {}", marks.join("+")) }
}
