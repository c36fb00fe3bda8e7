//! The pieces as they are drawn in a frame: in which colours, where, and how much they are meant to be looked at.

use std::sync::Arc;

use seamwright_geometry::Vector;
use seamwright_project::{CutForm, PieceId};

use super::beds;
use super::engine::{Piece, PlacedSide, Placement};
use super::state::{State, tone_of};
use crate::bench::{Drawn, Emphasis, HeldAgainst, MeshId, Tone};
use crate::shown;

pub(super) fn drawn_pieces(state: &State) -> Vec<Drawn> {
    let apart = state.outcome.as_ref().map_or_else(Vec::new, |outcome| shown::told_apart(outcome));
    let flat = state.shown_cut().is_some_and(|shown| shown.form == CutForm::Flat);
    let offsets = exploded_offsets(state);
    let follows = flat && (state.preview.is_some() || state.is_out_of_date());
    state
        .pieces()
        .iter()
        .zip(&state.bodies.pieces)
        .zip(offsets)
        .enumerate()
        .map(|(i, ((piece, body), offset))| {
            let follows_cut = follows && is_crossed(state, &piece.id);
            Drawn {
                id: MeshId(i as u64),
                body: body.clone(),
                tone: if state.recipe().stock.is_some() { shown::tone_of_piece(piece) } else { Tone::Bare },
                offset,
                emphasis: emphasis(state, &piece.id),
                follows_cut,
                side_tones: follows_cut.then(|| side_tones(state, &piece.id)),
                held_against: if follows_cut { None } else { held_against(state, piece) },
                apart: apart.get(i).copied().unwrap_or_default(),
            }
        })
        .collect()
}

/// Where pieces are drawn, relative to where they are. Together while a cut is being placed.
fn exploded_offsets(state: &State) -> Vec<Vector> {
    if state.preview.is_none() && state.exploded > 0.0 {
        shown::exploded_offsets(state.pieces(), &state.bodies.apart, f64::from(state.exploded))
    } else {
        vec![Vector::zeros(); state.pieces().len()]
    }
}

/// The bed that a piece is held against, if it is too big for it: the bed that is looked at, else the one that takes it
/// best.
fn held_against(state: &State, piece: &Piece) -> Option<Arc<HeldAgainst>> {
    let recipe = &state.outcome.as_ref()?.recipe;
    shown::held_against(recipe, piece, beds::looked_at(state).unwrap_or(piece.bed))
}

/// Whether this piece may come from a body that the cut in hand parts.
fn is_crossed(state: &State, piece: &PieceId) -> bool {
    let may_come_from = |side: &PlacedSide| !lie_apart(&side.piece, piece);
    state.cut_in_hand().is_some() && state.placement.iter().flat_map(|p| &p.sides).any(may_come_from)
}

/// The tones of what this piece becomes below and above the cut in hand. Where it may belong to several parts of a side,
/// that of the worst.
fn side_tones(state: &State, piece: &PieceId) -> [Tone; 2] {
    let of_piece = |side: &&PlacedSide| !lie_apart(&side.piece, piece) && !lie_apart(&side.part, piece);
    let sides = state.placed_sides().iter().filter(of_piece).cloned().collect();
    let (below, above) = Placement { sides, ..Placement::default() }.worst();
    [below, above].map(|verdict| verdict.map_or(Tone::Undecided, tone_of))
}

/// Whether two bodies lie on different sides of some cut, so that neither comes from the other. The caps of a piece need
/// not name every cut that its body was made by, and later cuts add to them.
fn lie_apart(a: &PieceId, b: &PieceId) -> bool {
    a.path.iter().any(|(cut, side)| b.path.contains(&(*cut, side.other())))
}

fn emphasis(state: &State, piece: &PieceId) -> Emphasis {
    if state.sets.hidden.contains(piece) {
        Emphasis::Hidden
    } else if state.sets.through.contains(piece) {
        Emphasis::Ghost
    } else if state.is_selected(piece) {
        Emphasis::Selected
    } else if state.lit_piece.as_ref() == Some(piece) {
        Emphasis::Hovered
    } else {
        Emphasis::Plain
    }
}

#[cfg(test)]
mod tests {
    use seamwright_geometry::{Side, Verdict};
    use seamwright_project::{CutId, Document, PartId, Recipe};

    use super::*;

    fn piece(path: &[(u32, Side)]) -> PieceId {
        PieceId { part: PartId::MAIN, path: path.iter().map(|(cut, side)| (CutId(*cut), *side)).collect(), body: 0 }
    }

    fn placed(whole: &PieceId, part: &PieceId, side: Side, verdict: Verdict) -> PlacedSide {
        let (piece, part) = (whole.clone(), part.clone());
        PlacedSide { piece, part, side, bed: 0, verdict, sizes_mm: [1.0; 3], slack_mm: 0.0, error_mm: 0.0 }
    }

    #[test]
    fn each_piece_that_a_cut_crosses_shows_how_its_own_sides_fit() {
        use Side::{Above, Below};
        let (left, right) = (piece(&[(1, Below)]), piece(&[(1, Above)]));
        // Cut 3 is limited to what lies above the moving cut, 2, on the right.
        let (near, far) = (piece(&[(1, Above), (3, Below)]), piece(&[(1, Above), (3, Above)]));
        let mut state = State::new(Document::new(Recipe::new("part")));
        let sides = vec![
            placed(&left, &left, Below, Verdict::TooBig),
            placed(&left, &left, Above, Verdict::AsItStands),
            placed(&right, &right, Below, Verdict::AsItStands),
            placed(&right, &near, Above, Verdict::Turned),
            placed(&right, &far, Above, Verdict::TooBig),
        ];
        state.placement = Some(Placement { sides, ..Placement::default() });
        let tones = |path: &[(u32, Side)]| side_tones(&state, &piece(path));
        assert_eq!(tones(&[(1, Below)]), [Tone::TooBig, Tone::AsItStands]);
        assert_eq!(tones(&[(1, Below), (2, Above)]), [Tone::TooBig, Tone::AsItStands]);
        assert_eq!(tones(&[(1, Above), (2, Above), (3, Below)]), [Tone::AsItStands, Tone::Turned]);
        assert_eq!(tones(&[(1, Above), (2, Above), (3, Above)]), [Tone::AsItStands, Tone::TooBig]);
        assert_eq!(
            tones(&[(1, Above), (2, Below)]),
            [Tone::AsItStands, Tone::TooBig],
            "either part: the worst is said"
        );
    }
}
