//! What a cut's card says of its two sides.

use egui::{RichText, Ui};
use seamwright_geometry::{Side, Verdict};
use seamwright_project::{Cut, PieceId};

use super::line::remark;
use super::swatch::swatch;
use crate::app::state::{State, tone_of};
use crate::app::style::Paper;
use crate::app::{Action, Piece, Queue, outline, words};

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
        remark(ui, if stopped { "Stopped: both sides are not worked out." } else { "working out both sides…" });
        return;
    };
    if !placement.sides_known {
        remark(ui, "Which pieces this makes, and whether they fit, shows when you let go.");
        return;
    }
    if placement.sides.is_empty() {
        remark(ui, "It crosses nothing here.");
        return;
    }
    let several = placement.sides.len() > 2;
    let exact = state.found.exact.is_some();
    for side in state.placed_sides() {
        let marks = if several { marks_on_side(state, cut, &side.part, side.side) } else { String::new() };
        let which = format!("{}{marks}", words_of(side.side));
        if side.verdict == Verdict::Undecided && !exact {
            side_row(ui, &which, side.verdict, "perhaps tilted", side.slack_mm).on_hover_text(
                "It fits neither upright, turned nor on its cut here. Other tilts are tried as soon as the hand rests.",
            );
        } else {
            side_row(ui, &which, side.verdict, tone_of(side.verdict).words(), side.slack_mm);
        }
        ui.horizontal(|ui| {
            ui.add_space(28.0);
            let sizes = words::sizes(&side.sizes_mm.into());
            let recipe = state.recipe();
            let on =
                if recipe.more_beds.is_empty() { String::new() } else { format!(", {}", recipe.bed_name(side.bed)) };
            remark(ui, format!("{sizes} mm{on}"));
        });
    }
    let known = if exact { "exact" } else { "quick, as it moves" };
    let said = ui.horizontal(|ui| remark(ui, known));
    let hint = if exact {
        "The hand rests: both sides were looked at point by point, in any pose"
    } else {
        "Upright, turned and lying on the cut, to a few hundredths of a millimetre. The exact answer comes as soon as the hand rests"
    };
    said.response.on_hover_text(hint);
}

/// What the outline is like, and what would be hard to print about it, each with its place.
pub(super) fn outline_told(ui: &mut Ui, state: &State, queue: &mut Queue) {
    let Some(placement) = state.placement.as_ref().filter(|placement| !placement.outline.is_empty()) else { return };
    if placement.sides_known {
        remark(ui, format!("outline {}", outline::facts(placement, state.at_rest.is_none())));
    }
    for warning in outline::warnings(state) {
        ui.horizontal_wrapped(|ui| {
            ui.label(RichText::new(&warning.text).small().color(Paper::of(ui.visuals()).warning));
            let show = ui.add(egui::Button::new("show").small());
            show.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, true, format!("show: {}", warning.text)));
            if show.on_hover_text("Look at the place").clicked() {
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
            remark(ui, format!("thinnest wall {} mm", words::mm(wall.mm)));
            let show = ui.add(egui::Button::new("show").small());
            if show.on_hover_text("Look at the place where the material of the cut is thinnest").clicked() {
                queue.push(Action::ShowPlace(seamwright_geometry::Point::from(
                    (wall.from.coords + wall.to.coords) / 2.0,
                )));
            }
        });
    }
    if rest.bodies.iter().any(|bodies| *bodies > 1) {
        let [below, above] = rest.bodies.map(|bodies| words::count(bodies, "body", "bodies"));
        remark(ui, format!("{below} below, {above} above"));
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
    pieces.sort_by(|a, b| a.fit.slack_mm.total_cmp(&b.fit.slack_mm));
    for piece in pieces.iter().take(MOST_PIECES) {
        side_row(
            ui,
            &format!("{} {}", words_of(side), piece.mark),
            piece.fit.verdict,
            tone_of(piece.fit.verdict).words(),
            piece.fit.slack_mm,
        );
    }
    if pieces.len() > MOST_PIECES {
        remark(ui, format!("and {} with more room", pieces.len() - MOST_PIECES));
    }
}

pub(super) fn words_of(side: Side) -> &'static str {
    if side == Side::Above { "above" } else { "below" }
}

/// Room for a signed number of millimetres at the end of a row, points.
const NUMBER_WIDTH: f32 = 64.0;

fn side_row(ui: &mut Ui, which: &str, verdict: Verdict, words: &str, slack_mm: f64) -> egui::Response {
    let row = ui.horizontal(|ui| {
        swatch(ui, tone_of(verdict));
        let room = ui.available_width() - NUMBER_WIDTH;
        ui.scope(|ui| {
            ui.set_max_width(room);
            ui.add(egui::Label::new(format!("{which}: {words}")).truncate());
        });
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| ui.label(words::signed_mm(slack_mm)));
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
