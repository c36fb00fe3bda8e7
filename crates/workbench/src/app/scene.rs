//! What stands on the bench, made from the state in every frame.

use std::sync::Arc;

use seamwright_geometry::{Bounds, Point, Vector};
use seamwright_project::PieceId;

use super::engine::Piece;
use super::state::{State, Tool, tone_of};
use crate::bench::{BedUnderneath, CutInHand, Drawn, Emphasis, Label, MeshId, Mode, Scene, Tone};
use crate::shown;

/// The scene of this frame. Pieces have the number of their place in the outcome as [`MeshId`].
pub fn build(state: &State, outlines: &Arc<Vec<Vec<Point>>>) -> Scene {
    let Some(part) = state.part_bounds() else { return Scene::default() };
    let in_hand = cut_in_hand(state, &part);
    let picked = match &state.tool {
        Tool::PickPoints(points) => points.clone(),
        _ => Vec::new(),
    };
    let mut drawn = drawn_pieces(state, &part);
    if let (true, Some(body)) = (drawn.is_empty(), &state.bodies.part) {
        drawn.push(Drawn { follows_cut: in_hand.is_some(), ..Drawn::new(MeshId(u64::MAX), body.clone()) });
    }
    Scene {
        labels: labels(state, &drawn),
        drawn,
        outlines: if in_hand.is_some() { outlines.clone() } else { Arc::default() },
        cut: in_hand,
        picked,
        bed: Some(BedUnderneath::under(state.recipe().bed.clone(), &part)),
        dimensions: Vec::new(),
    }
}

/// What a click on the bench means now.
pub fn mode(state: &State) -> Mode {
    match state.tool {
        Tool::Look => Mode::Look,
        Tool::CutOnSurface => Mode::PlaceByClick,
        Tool::PickPoints(_) => Mode::PickPoints,
    }
}

/// The piece that a mesh of the scene stands for.
pub fn piece_of(state: &State, mesh: MeshId) -> Option<&Piece> {
    state.pieces().get(usize::try_from(mesh.0).ok()?)
}

/// Where a piece is drawn, relative to where it is. Together while a cut is being placed.
pub fn exploded_offset(state: &State, piece: &Piece, part: &Bounds) -> Vector {
    match &state.outcome {
        Some(outcome) if state.preview.is_none() => {
            shown::exploded_offset(&outcome.recipe, piece, part, f64::from(state.exploded))
        }
        _ => Vector::zeros(),
    }
}

fn drawn_pieces(state: &State, part: &Bounds) -> Vec<Drawn> {
    let follows = state.preview.is_some() || (state.cut_in_hand().is_some() && state.is_out_of_date());
    state
        .pieces()
        .iter()
        .zip(&state.bodies.pieces)
        .enumerate()
        .map(|(i, (piece, body))| Drawn {
            id: MeshId(i as u64),
            body: body.clone(),
            tone: if state.recipe().stock.is_some() { tone_of(piece.fit.verdict) } else { Tone::Bare },
            offset: exploded_offset(state, piece, part),
            emphasis: emphasis(state, &piece.id),
            follows_cut: follows && is_crossed(state, &piece.id),
        })
        .collect()
}

/// Whether this piece may come from a body that the cut in hand parts: it lies on no other side of an earlier cut than
/// that body. The caps of a piece need not name every cut that its body was made by, and later cuts add to them.
fn is_crossed(state: &State, piece: &PieceId) -> bool {
    let apart = |body: &PieceId| {
        body.path.iter().any(|(cut, side)| piece.path.iter().any(|(other, its)| other == cut && its != side))
    };
    state.cut_in_hand().is_some() && state.placement.iter().flat_map(|p| &p.sides).any(|side| !apart(&side.piece))
}

fn emphasis(state: &State, piece: &PieceId) -> Emphasis {
    if state.selected_piece.as_ref() == Some(piece) {
        Emphasis::Selected
    } else if state.lit_piece.as_ref() == Some(piece) {
        Emphasis::Hovered
    } else {
        Emphasis::Plain
    }
}

fn cut_in_hand(state: &State, part: &Bounds) -> Option<CutInHand> {
    let plane = state.plane_in_hand()?;
    let [below, above] = state.side_tones();
    let together = state.exploded == 0.0 || state.preview.is_some();
    Some(CutInHand { below, above, held: together && state.tool == Tool::Look, ..CutInHand::new(plane, part) })
}

/// Marks float over their pieces; a single piece needs none.
fn labels(state: &State, drawn: &[Drawn]) -> Vec<Label> {
    if state.pieces().len() < 2 || state.preview.is_some() || state.is_out_of_date() {
        return Vec::new();
    }
    let of = |(piece, drawn): (&Piece, &Drawn)| Label {
        at: piece.facts.bounds.centre() + drawn.offset,
        text: piece.mark.clone(),
        strong: matches!(drawn.emphasis, Emphasis::Selected | Emphasis::Hovered),
    };
    state.pieces().iter().zip(drawn).map(of).collect()
}
