//! The bore in hand: how it is drawn, what a drag of it asks for, and which way is up in the pieces that it crosses.

use std::sync::Arc;

use seamwright_geometry::{Point, Vector};
use seamwright_project::{BoreChange, BoreId, BoringNow, Edit, Placed, kit};

use super::bores::BoreAction;
use super::engine::Piece;
use super::state::{State, Tool};
use crate::bench::{BoreHandle, BoreInHand, DragPhase, WallSpot, WallTone};
use crate::text;

/// What a drag of a handle asks for.
pub(super) fn dragged(state: &State, line: &[Point], handle: BoreHandle, phase: DragPhase) -> Option<BoreDragged> {
    let bore = state.held_bore()?;
    let tidy = |p: &Point| -> [f64; 3] { p.coords.map(|x| (x * 100.0).round() / 100.0).into() };
    let change = match handle {
        BoreHandle::Point(at) => BoreChange::Point { at, to_mm: tidy(line.get(at)?) },
        BoreHandle::Whole => BoreChange::Line { line_mm: line.iter().map(tidy).collect(), placed: Placed::Typed },
    };
    Some(match phase {
        DragPhase::Begun | DragPhase::Moved => BoreDragged::Preview(BoreAction::Preview(bore.id, Some(change))),
        DragPhase::Released => BoreDragged::Edit(Edit::ChangeBore { bore: bore.id, change }),
        DragPhase::Cancelled => BoreDragged::Preview(BoreAction::Preview(bore.id, None)),
    })
}

/// A preview, or an edit.
pub(super) enum BoreDragged {
    Preview(BoreAction),
    Edit(Edit),
}

/// The bore in hand as the bench draws it.
pub(super) fn in_hand(state: &State) -> Option<BoreInHand> {
    let bore = state.shown_bore()?;
    let now = state.bore.now.as_ref().and_then(|now| now.as_ref().ok());
    // Where it breaks through, that is worse than any wall.
    let broken = now.and_then(|now| now.profile.broken.first());
    let broken = broken.map(|broken| (broken.place, broken.place, text::bores::BREAKS_THROUGH.to_owned()));
    let least = broken.or_else(|| {
        let least = now?.profile.least.as_ref()?;
        let words = text::bores::least_wall(least.wall_mm.max(0.0));
        Some((least.place, least.towards, words))
    });
    let together = state.exploded == 0.0 || state.bore.preview.is_some();
    Some(BoreInHand {
        line: bore.line_mm.iter().map(|p| Point::from(*p)).collect(),
        radius_mm: bore.diameter_mm() / 2.0,
        walls: Arc::new(now.map_or_else(Vec::new, |now| spots(now, bore.least_wall_mm))),
        least,
        held: together && state.tool == Tool::Look,
    })
}

/// The wall along the line, stretches without one included.
fn spots(now: &BoringNow, asked_mm: f64) -> Vec<WallSpot> {
    let cells = now.profile.cells.iter().map(|cell| (cell.at_mm, WallTone::of(cell.wall_mm, asked_mm)));
    let ends = now.profile.broken.iter().flat_map(|broken| [broken.from_mm, broken.to_mm]);
    let mut along: Vec<(f64, WallTone)> = cells.chain(ends.map(|at| (at, WallTone::Broken))).collect();
    along.sort_by(|a, b| a.0.total_cmp(&b.0));
    along.into_iter().map(|(at, tone)| WallSpot { place: now.channel.place_at(at), tone }).collect()
}

/// Ways that differ by less are one, rad: a roof turned by so little is off by a hundredth of a millimetre at most (our own
/// choice, no source).
const ONE_WAY_RAD: f64 = 1e-3;

impl State {
    /// Once the bore rests and the results are about it, the wall is that of the results; with whether it is.
    pub(super) fn take_exact_wall(&mut self) -> bool {
        if self.bore.preview.is_some() || self.is_out_of_date() {
            return false;
        }
        let done = self.held_bore().zip(self.outcome.as_ref());
        let done = done.and_then(|(bore, outcome)| outcome.bores.iter().find(|done| done.bore == bore.id));
        let Some(Ok(facts)) = done.map(|done| &done.result) else { return false };
        let profile = facts.profile.clone();
        let Some(Ok(now)) = &mut self.bore.now else { return false };
        now.profile = profile;
        true
    }

    /// The different ways up in the pieces that a bore crosses.
    pub(super) fn ups_across(&self, bore: BoreId) -> Vec<[f64; 3]> {
        let mut ups: Vec<[f64; 3]> = Vec::new();
        for (_, up) in self.lays_across(bore) {
            let is_known = |known: &[f64; 3]| Vector::from(*known).angle(&Vector::from(up)) < ONE_WAY_RAD;
            if !ups.iter().any(is_known) {
                ups.push(up);
            }
        }
        ups
    }

    /// Where up is, in the frame of the whole, as the pieces lie that a bore crosses: their marks, and the directions.
    pub fn lays_across(&self, bore: BoreId) -> Vec<(String, [f64; 3])> {
        let Some(outcome) = &self.outcome else { return Vec::new() };
        let crossed = outcome.pieces.iter().filter(|piece| piece.facts.bores.iter().any(|within| within.bore == bore));
        let up = |piece: &Piece| {
            let lay = kit::lay(outcome, piece);
            (piece.mark.clone(), lay.pose.rotation.inverse_transform_vector(&Vector::z()).into())
        };
        crossed.map(up).collect()
    }
}
