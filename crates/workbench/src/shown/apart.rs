//! Where pieces are drawn while they are pulled apart.
//!
//! Each seam asks that its two sides be drawn one step farther from each other along its normal, and not beside each other.
//! Not every asks can be met: where a piece is glued to two that are parted from each other, these two go to the left and
//! to the right of it. So the displacements `u` of all pieces are those that make
//!
//! ```text
//! Σ ((u_above - u_below) · n - step)² + SIDEWAYS · share · |(u_above - u_below) - along n|²  +  HELD · Σ |u - u_lone|²
//! ```
//!
//! least, `share` being the area of the seam against the largest: all seams open alike, and what must go sideways is shared out
//! so that large seams keep straight. `u_lone` is what the cuts alone tell of a piece, without its neighbours: it decides
//! where no seam ties pieces, as in a part of several shells. The sum is a quadratic with one least place, found by
//! conjugate gradients, so that the same pieces always come to the same places.

use std::collections::{BTreeSet, HashMap};

use seamwright_geometry::{Bounds, Side, Vector};
use seamwright_project::{CutId, Outcome, Piece, PieceId, Recipe};

/// How far a cut pulls its sides apart when exploded in full, as a share of the part's diagonal.
const EXPLODED_SHARE: f64 = 0.12;

/// How much less it matters that sides go sideways than how far a seam opens. Small, so that seams open alike wherever they
/// can; our own choice, no source.
const SIDEWAYS: f64 = 0.05;
/// How little it matters where pieces are that no seam ties. Far below the rest, so that it decides only there; our own
/// choice, no source.
const HELD: f64 = 1e-5;

/// Where the pieces of `outcome` are drawn when they are exploded in full, relative to where they are, mm.
pub fn fully_apart(outcome: &Outcome) -> Vec<Vector> {
    let step_mm = EXPLODED_SHARE * outcome.bounds().map_or(0.0, |part| part.diagonal());
    let lone: Vec<Vector> = outcome.pieces.iter().map(|piece| lone(&outcome.recipe, piece, step_mm)).collect();
    let pulls = pulls(outcome, step_mm);
    if pulls.is_empty() { lone } else { settled(&pulls, &lone) }
}

/// The same for `exploded` between 0, together, and 1, as far as it goes. All are lifted alike, so that nothing sinks below what is
/// the lowest while they are together: the bed.
pub fn exploded_offsets(pieces: &[Piece], fully_apart: &[Vector], exploded: f64) -> Vec<Vector> {
    let mut offsets: Vec<Vector> = fully_apart.iter().map(|apart| apart * exploded).collect();
    let boxes = || pieces.iter().map(|piece| &piece.facts.bounds);
    let least = |heights: &mut dyn Iterator<Item = f64>| heights.fold(f64::INFINITY, f64::min);
    let low = |(bounds, offset): (&Bounds, &Vector)| bounds.min.z + offset.z;
    let sunk_mm = least(&mut boxes().map(|bounds| bounds.min.z)) - least(&mut boxes().zip(&offsets).map(low));
    if sunk_mm > 0.0 && sunk_mm.is_finite() {
        offsets.iter_mut().for_each(|offset| offset.z += sunk_mm);
    }
    offsets
}

/// What the cuts alone tell of a piece: along the normals of those that parted it and what it was cut from, to its side of
/// each.
fn lone(recipe: &Recipe, piece: &Piece, step_mm: f64) -> Vector {
    let parted: BTreeSet<(CutId, Side)> =
        piece.lineage.iter().chain([&piece.id]).flat_map(|id| id.path.iter().copied()).collect();
    let along = |(cut, side): &(CutId, Side)| {
        let half_mm = if *side == Side::Above { step_mm / 2.0 } else { -step_mm / 2.0 };
        Some(normal(recipe, *cut)? * half_mm)
    };
    parted.iter().filter_map(along).sum()
}

fn normal(recipe: &Recipe, cut: CutId) -> Option<Vector> {
    Some(recipe.cut(cut)?.plane.plane().ok()?.normal())
}

/// What a seam asks of the two pieces at it.
#[derive(Clone, Copy, Debug)]
struct Pull {
    /// Below and above, by their places among the pieces.
    ends: [usize; 2],
    normal: Vector,
    step_mm: f64,
    /// How much it matters that they go sideways.
    sideways: f64,
}

fn pulls(outcome: &Outcome, step_mm: f64) -> Vec<Pull> {
    let at: HashMap<&PieceId, usize> = outcome.pieces.iter().enumerate().map(|(i, piece)| (&piece.id, i)).collect();
    let largest_mm2 = outcome.seams.iter().map(|seam| seam.area_mm2).fold(0.0, f64::max);
    let pull = |seam: &seamwright_project::Seam| {
        let ends = [*at.get(&seam.below)?, *at.get(&seam.above)?];
        let share = if largest_mm2 > 0.0 { seam.area_mm2 / largest_mm2 } else { 1.0 };
        Some(Pull { ends, normal: normal(&outcome.recipe, seam.cut)?, step_mm, sideways: SIDEWAYS * share })
    };
    outcome.seams.iter().filter_map(pull).collect()
}

impl Pull {
    /// How strongly it pulls where the upper end is `apart` from the lower one, beyond what it asks for nothing.
    fn on(&self, apart: &Vector) -> Vector {
        let along = self.normal * self.normal.dot(apart);
        along + (apart - along) * self.sideways
    }
}

/// The displacements that meet the asks best.
fn settled(pulls: &[Pull], lone: &[Vector]) -> Vec<Vector> {
    // Half the gradient is `A u - b`: A adds up what each pull does to both its ends.
    let times_a = |u: &[Vector]| {
        let mut sum: Vec<Vector> = u.iter().map(|u| u * HELD).collect();
        for pull in pulls {
            let [below, above] = pull.ends;
            let on = pull.on(&(u[above] - u[below]));
            sum[above] += on;
            sum[below] -= on;
        }
        sum
    };
    let mut b: Vec<Vector> = lone.iter().map(|u| u * HELD).collect();
    for pull in pulls {
        let [below, above] = pull.ends;
        b[above] += pull.normal * pull.step_mm;
        b[below] -= pull.normal * pull.step_mm;
    }
    let dot = |x: &[Vector], y: &[Vector]| -> f64 { x.iter().zip(y).map(|(x, y)| x.dot(y)).sum() };
    let added = |x: &[Vector], share: f64, y: &[Vector]| -> Vec<Vector> {
        x.iter().zip(y).map(|(x, y)| x + y * share).collect()
    };
    // What the cuts alone tell is near it.
    let mut u = lone.to_vec();
    let mut left = added(&b, -1.0, &times_a(&u));
    let mut way = left.clone();
    let mut miss = dot(&left, &left);
    let enough = ENOUGH * ENOUGH * dot(&b, &b);
    for _ in 0..ROUNDS_EACH * u.len() {
        if miss <= enough {
            break;
        }
        let ahead = times_a(&way);
        let far = miss / dot(&way, &ahead);
        u = added(&u, far, &way);
        left = added(&left, -far, &ahead);
        let before = std::mem::replace(&mut miss, dot(&left, &left));
        way = added(&left, miss / before, &way);
    }
    u
}

/// It is looked for until no more than this share of the asks is left: no eye sees it.
const ENOUGH: f64 = 1e-9;
/// In exact numbers three rounds for each piece find it; some more make up for rounding.
const ROUNDS_EACH: usize = 12;

#[cfg(test)]
mod tests {
    use seamwright_geometry::exchange::{Overwrite, write_stl};
    use seamwright_geometry::{Point, Progress, solids};
    use seamwright_project::{Axis, Cache, CutForm, CutPlane, Edit, PartId, Scope, evaluate, store};

    use super::*;

    /// A bar of 40 × 30 × 200 mm, cut by these planes in turn: which axis, where, and what of it.
    fn bar_cut(cuts: &[(Axis, f64, Scope)]) -> Outcome {
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("bar.stl");
        let bar = solids::cuboid(Point::new(0.0, 0.0, 5.0), Point::new(40.0, 30.0, 205.0));
        write_stl(&file, &bar, "bar", Overwrite::Refuse).unwrap();
        let source = store::describe_source(&file, folder.path()).unwrap();
        let mut recipe = Edit::SetStock(source).apply(&Recipe::new("bar")).unwrap();
        for (axis, offset, scope) in cuts.iter().cloned() {
            let (plane, name) = (CutPlane::square(axis, offset), String::new());
            let cut = Edit::AddCut { name, part: PartId::MAIN, plane, form: CutForm::Flat, scope };
            recipe = cut.apply(&recipe).unwrap();
        }
        evaluate(&recipe, folder.path(), &Cache::default(), &Progress::new()).unwrap()
    }

    /// Of each seam: how far it opens along its normal, and how far its sides go sideways, mm.
    fn opened(outcome: &Outcome) -> Vec<(f64, f64)> {
        let apart = fully_apart(outcome);
        let of = |id: &PieceId| apart[outcome.pieces.iter().position(|piece| piece.id == *id).unwrap()];
        let seam = |seam: &seamwright_project::Seam| {
            let n = normal(&outcome.recipe, seam.cut).unwrap();
            let opened = of(&seam.above) - of(&seam.below);
            (opened.dot(&n), (opened - n * opened.dot(&n)).norm())
        };
        outcome.seams.iter().map(seam).collect()
    }

    fn step_mm(outcome: &Outcome) -> f64 {
        EXPLODED_SHARE * outcome.bounds().unwrap().diagonal()
    }

    #[test]
    fn pulled_apart_nothing_sinks_below_where_the_lowest_piece_lay() {
        let cuts = [(Axis::Z, 60.0), (Axis::Z, 120.0), (Axis::X, 20.0)].map(|(axis, at)| (axis, at, Scope::All));
        let outcome = bar_cut(&cuts);
        let apart = fully_apart(&outcome);
        let offsets = exploded_offsets(&outcome.pieces, &apart, 1.0);
        let lows = outcome.pieces.iter().zip(&offsets).map(|(piece, offset)| piece.facts.bounds.min.z + offset.z);
        let lowest = lows.fold(f64::INFINITY, f64::min);
        assert_eq!(outcome.pieces.len(), 6);
        assert!((lowest - 5.0).abs() < 1e-9, "{lowest}");
        let rises = offsets.iter().map(|offset| offset.z).fold(0.0, f64::max);
        assert!(rises > 30.0, "the others go up instead: {offsets:?}");
        let together = exploded_offsets(&outcome.pieces, &apart, 0.0);
        assert!(together.iter().all(|offset| offset.norm() == 0.0));
    }

    #[test]
    fn cuts_that_go_through_everything_open_straight_and_alike() {
        let cuts = [(Axis::Z, 60.0), (Axis::Z, 120.0), (Axis::X, 20.0)].map(|(axis, at)| (axis, at, Scope::All));
        let outcome = bar_cut(&cuts);
        assert_eq!(outcome.seams.len(), 7);
        for (open_mm, sideways_mm) in opened(&outcome) {
            assert!((open_mm - step_mm(&outcome)).abs() < 1e-3 && sideways_mm < 1e-3, "{open_mm} {sideways_mm}");
        }
    }

    #[test]
    fn a_piece_beside_two_that_were_parted_stays_between_them() {
        // The lower half is cut twice more, into three beside each other: the upper one stands over the middle of them.
        let halves = bar_cut(&[(Axis::Z, 100.0, Scope::All)]);
        let lower = halves.pieces.iter().find(|piece| piece.facts.bounds.min.z < 6.0).unwrap().id.clone();
        let lower = Scope::Pieces([lower].into());
        let outcome = bar_cut(&[(Axis::Z, 100.0, Scope::All), (Axis::X, 12.0, lower.clone()), (Axis::X, 28.0, lower)]);
        assert_eq!((outcome.pieces.len(), outcome.seams.len()), (4, 5));
        let step_mm = step_mm(&outcome);
        let apart = fully_apart(&outcome);
        let at = |is: &dyn Fn(&Bounds) -> bool| apart[outcome.pieces.iter().position(|p| is(&p.facts.bounds)).unwrap()];
        let upper = at(&|b| b.min.z > 99.0);
        let [left, middle, right] = [0.0, 12.0, 28.0].map(|x| at(&|b| b.max.z < 101.0 && b.min.x == x));
        let sideways = |piece: Vector| (piece - upper).x;
        assert!(sideways(middle).abs() < 1e-3 * step_mm, "the middle one goes straight down: {}", sideways(middle));
        assert!((sideways(left) + sideways(right)).abs() < 1e-3 * step_mm, "{left:?} {right:?}");
        for (open_mm, _) in opened(&outcome) {
            assert!((0.9..1.1).contains(&(open_mm / step_mm)), "all open alike: {open_mm} of {step_mm}");
        }
        let again = fully_apart(&outcome);
        assert_eq!(again, apart);
    }

    #[test]
    fn of_two_that_were_parted_the_one_with_the_larger_seam_keeps_straight() {
        let halves = bar_cut(&[(Axis::Z, 100.0, Scope::All)]);
        let lower = halves.pieces.iter().find(|piece| piece.facts.bounds.min.z < 6.0).unwrap().id.clone();
        // A tenth of it is cut off at the side.
        let outcome = bar_cut(&[(Axis::Z, 100.0, Scope::All), (Axis::X, 4.0, Scope::Pieces([lower].into()))]);
        let mut sideways: Vec<f64> = opened(&outcome).into_iter().map(|(_, sideways_mm)| sideways_mm).collect();
        sideways.sort_by(f64::total_cmp);
        let step_mm = step_mm(&outcome);
        assert!(
            sideways[0] < 1e-3 * step_mm && sideways[1] < 0.15 * step_mm && sideways[2] > 0.8 * step_mm,
            "{sideways:?}"
        );
    }
}
