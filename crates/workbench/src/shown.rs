//! How a piece is shown on the bench: in the window and in pictures alike.

use std::sync::Arc;

use seamwright_geometry::{Bounds, Fit, Motion, Solid, Vector, Verdict};
use seamwright_project::{Piece, Recipe};

use crate::bench::{Body, HeldAgainst, Tone};

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
    let fit = piece.fits.get(bed).filter(|fit| fit.verdict == Verdict::TooBig)?;
    let bed_from_piece = pose_of(fit)?;
    Some(Arc::new(HeldAgainst { bed: recipe.beds().nth(bed)?.clone(), bed_from_piece }))
}

/// How far a cut pulls its sides apart when exploded in full, as a share of the part's diagonal.
const EXPLODED_SHARE: f64 = 0.12;

/// Where a piece is drawn, relative to where it is: away from every cut, to its side of it. `exploded` is 0 for
/// together and 1 for as far as it goes; `part` is the box around the uncut part.
pub fn exploded_offset(recipe: &Recipe, piece: &Piece, part: &Bounds, exploded: f64) -> Vector {
    let step_mm = exploded * EXPLODED_SHARE * part.diagonal();
    if step_mm == 0.0 {
        return Vector::zeros();
    }
    let centre = piece.facts.bounds.centre();
    let planes = recipe.cuts.iter().filter(|cut| cut.enabled).filter_map(|cut| cut.plane.plane().ok());
    planes.map(|plane| plane.normal() * (step_mm / 2.0).copysign(plane.distance_mm(&centre))).sum()
}
