//! How a piece is shown on the bench: in the window and in pictures alike.

use std::collections::BTreeSet;
use std::sync::Arc;

use seamwright_geometry::{Bounds, Fit, Motion, Side, Solid, Vector, Verdict};
use seamwright_project::{CutId, Piece, Recipe};

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

/// Where pieces are drawn, relative to where they are: see below. All are lifted alike, so that nothing sinks below what is the
/// lowest while they are together: the bed.
pub fn exploded_offsets(recipe: &Recipe, pieces: &[Piece], part: &Bounds, exploded: f64) -> Vec<Vector> {
    let offset = |piece: &Piece| exploded_offset(recipe, piece, part, exploded);
    let mut offsets: Vec<Vector> = pieces.iter().map(offset).collect();
    let lowest = |offsets: &[Vector]| {
        let z = pieces.iter().zip(offsets).map(|(piece, offset)| piece.facts.bounds.min.z + offset.z);
        z.fold(f64::INFINITY, f64::min)
    };
    let sunk_mm = lowest(&vec![Vector::zeros(); pieces.len()]) - lowest(&offsets);
    if sunk_mm > 0.0 {
        offsets.iter_mut().for_each(|offset| offset.z += sunk_mm);
    }
    offsets
}

/// Where a piece is drawn, relative to where it is: along the normals of the cuts that parted it and what it was cut
/// from, to its side of each; a cut that parted neither does not move them apart. `exploded` is 0 for
/// together and 1 for as far as it goes; `part` is the box around the uncut part.
fn exploded_offset(recipe: &Recipe, piece: &Piece, part: &Bounds, exploded: f64) -> Vector {
    let step_mm = exploded * EXPLODED_SHARE * part.diagonal();
    if step_mm == 0.0 {
        return Vector::zeros();
    }
    let parted: BTreeSet<(CutId, Side)> =
        piece.lineage.iter().chain([&piece.id]).flat_map(|id| id.path.iter().copied()).collect();
    let along = |(cut, side): &(CutId, Side)| {
        let normal = recipe.cut(*cut)?.plane.plane().ok()?.normal();
        let half_mm = if *side == Side::Above { step_mm / 2.0 } else { -step_mm / 2.0 };
        Some(normal * half_mm)
    };
    parted.iter().filter_map(along).sum()
}

#[cfg(test)]
mod tests {
    use seamwright_geometry::exchange::{Overwrite, write_stl};
    use seamwright_geometry::{Point, Progress, solids};
    use seamwright_project::{Axis, Cache, CutForm, CutPlane, Edit, PartId, Scope, evaluate, store};

    use super::*;

    #[test]
    fn pulled_apart_nothing_sinks_below_where_the_lowest_piece_lay() {
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("bar.stl");
        let bar = solids::cuboid(Point::new(0.0, 0.0, 5.0), Point::new(40.0, 30.0, 205.0));
        write_stl(&file, &bar, "bar", Overwrite::Refuse).unwrap();
        let source = store::describe_source(&file, folder.path()).unwrap();
        let mut recipe = Edit::SetStock(source).apply(&Recipe::new("bar")).unwrap();
        for (axis, offset) in [(Axis::Z, 60.0), (Axis::Z, 120.0), (Axis::X, 20.0)] {
            let (plane, name) = (CutPlane::square(axis, offset), String::new());
            let cut = Edit::AddCut { name, part: PartId::MAIN, plane, form: CutForm::Flat, scope: Scope::All };
            recipe = cut.apply(&recipe).unwrap();
        }
        let outcome = evaluate(&recipe, folder.path(), &Cache::default(), &Progress::new()).unwrap();
        let part = outcome.bounds().unwrap();
        let offsets = exploded_offsets(&recipe, &outcome.pieces, &part, 1.0);
        let lows = outcome.pieces.iter().zip(&offsets).map(|(piece, offset)| piece.facts.bounds.min.z + offset.z);
        let lowest = lows.fold(f64::INFINITY, f64::min);
        assert_eq!(outcome.pieces.len(), 6);
        assert!((lowest - 5.0).abs() < 1e-9, "{lowest}");
        let rises = offsets.iter().map(|offset| offset.z).fold(0.0, f64::max);
        assert!(rises > 30.0, "the others go up instead: {offsets:?}");
        assert!(exploded_offsets(&recipe, &outcome.pieces, &part, 0.0).iter().all(|offset| offset.norm() == 0.0));
    }
}
