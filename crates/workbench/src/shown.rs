//! How a piece is shown on the bench: in the window and in pictures alike.

mod apart;

use std::collections::HashMap;
use std::sync::Arc;

use seamwright_geometry::{Fit, Motion, Solid, Verdict};
use seamwright_project::{Outcome, Piece, PieceId, Recipe};

pub use self::apart::{exploded_offsets, fully_apart};
use crate::bench::{APART, BedUnderneath, Body, Drawn, HeldAgainst, Label, MeshId, Scene, Tone};

/// The tone that says `verdict`.
pub fn tone_of(verdict: Verdict) -> Tone {
    match verdict {
        Verdict::AsItStands => Tone::AsItStands,
        Verdict::Turned => Tone::Turned,
        Verdict::Tilted => Tone::Tilted,
        Verdict::TooBig => Tone::TooBig,
        Verdict::Undecided => Tone::Undecided,
    }
}

/// The tone of a piece: what nobody meant is not judged.
pub fn tone_of_piece(piece: &Piece) -> Tone {
    tone_on_bed(piece, &piece.fit)
}

/// The same for its fit on one of several beds.
pub fn tone_on_bed(piece: &Piece, fit: &Fit) -> Tone {
    if piece.is_crumb() { Tone::Crumb } else { tone_of(fit.verdict) }
}

/// `solid` made ready for the bench; `closed` says that it is known to be.
pub fn body_of(solid: &Arc<Solid>, closed: bool) -> Body {
    let body = Body::of_solid(Arc::clone(solid));
    if closed { body.known_closed() } else { body }
}

/// The pose of a verdict, from the frame of the piece to that of the bed: the one in which it fits, else the one in which
/// it sticks out least.
pub fn pose_of(fit: &Fit) -> Option<Motion> {
    fit.pose.or(fit.excess.as_ref().map(|excess| excess.pose))
}

/// What a piece that is too big is held against, so that what sticks out can be marked: the bed with this place among
/// those of the recipe.
pub fn held_against(recipe: &Recipe, piece: &Piece, bed: usize) -> Option<Arc<HeldAgainst>> {
    let fit = piece.fits.get(bed).filter(|fit| fit.verdict == Verdict::TooBig && !piece.is_crumb())?;
    let bed_from_piece = pose_of(fit)?;
    Some(Arc::new(HeldAgainst { bed: recipe.beds().nth(bed)?.clone(), bed_from_piece }))
}

/// For each piece a number that no piece has that it meets at a seam, as far as [`APART`] numbers go round.
pub fn told_apart(outcome: &Outcome) -> Vec<u8> {
    let at: HashMap<&PieceId, usize> = outcome.pieces.iter().enumerate().map(|(i, piece)| (&piece.id, i)).collect();
    let mut beside = vec![Vec::new(); outcome.pieces.len()];
    for seam in &outcome.seams {
        if let (Some(&a), Some(&b)) = (at.get(&seam.below), at.get(&seam.above)) {
            beside[a].push(b);
            beside[b].push(a);
        }
    }
    let mut numbers: Vec<Option<u8>> = vec![None; beside.len()];
    for (i, others) in beside.iter().enumerate() {
        let is_free = |number: &u8| others.iter().all(|other| numbers[*other] != Some(*number));
        numbers[i] = Some((0..APART).find(is_free).unwrap_or_default());
    }
    numbers.into_iter().map(Option::unwrap_or_default).collect()
}

/// The pieces of `outcome` in the colours of their fit, with their marks, over the bed; `exploded` is 0 for together and 1 for
/// as far apart as it goes.
pub fn pieces_on_bed(outcome: &Outcome, exploded: f64) -> Scene {
    let Some(part) = outcome.bounds() else { return Scene::default() };
    let offsets = exploded_offsets(&outcome.pieces, &fully_apart(outcome), exploded);
    let drawn: Vec<Drawn> = (0..)
        .zip(&outcome.pieces)
        .zip(offsets.into_iter().zip(told_apart(outcome)))
        .map(|((i, piece), (offset, apart))| Drawn {
            apart,
            tone: tone_of_piece(piece),
            offset,
            follows_cut: false,
            held_against: held_against(&outcome.recipe, piece, piece.bed),
            ..Drawn::new(MeshId(i), Arc::new(body_of(&piece.solid, piece.facts.closed)))
        })
        .collect();
    let label = |(piece, drawn): (&Piece, &Drawn)| Label {
        at: piece.facts.bounds.centre() + drawn.offset,
        text: piece.mark.clone(),
        strong: false,
        of: Some(drawn.id),
    };
    let labels = outcome.pieces.iter().zip(&drawn).map(label).collect();
    Scene {
        // A single piece needs no mark.
        labels: if drawn.len() > 1 { labels } else { Vec::new() },
        drawn,
        bed: Some(BedUnderneath::under(outcome.recipe.bed.clone(), &part)),
        ..Scene::default()
    }
}
