//! *Will it fit?*: a verdict with a pose, or with a proof that there is none.
//!
//! A body fits in an upright box under a rotation exactly when its three widths along the box's axes are at most the
//! box's sides, so that only the convex hull matters.
//!
//! * **As it stands** and **turned about the vertical** are exact, in both directions, with no sampling.
//! * **Any pose**: a pose shown is checked on every point given; *too big* is given only with a proof (measures that
//!   grow with a convex body, or the exclusion of every cell of the space of rotations); anything between is
//!   *undecided*, with the gap that is left.
//!
//! *Too big* always speaks of the poses asked for with [`Search`]; the [`Reason`] says which were not tried.

mod explore;
mod look;
mod place;
mod proof;
mod tilt;
mod turn;
mod verdict;

pub(crate) use look::{Look, seen_from_above};
pub use place::sticks_out_mm;
pub(crate) use place::{Levelled, Placement};
pub(crate) use turn::{Outline2, Turn};
pub use verdict::{Axis, Excess, Fit, Reason, Search, Verdict};

use crate::{Bed, Point, Vector};
use nalgebra::UnitQuaternion;

/// How much a piece may stick out of the room and still be said to fit, mm.
///
/// Files hold 32-bit floats, whose rounding at 1 m is 0.00003 mm at each end of a piece: a 220 mm cube somewhere in
/// such a file must still fit in 220 mm. A tenth of a micrometre is far below what a printer can place.
pub const ROUNDING_MM: f64 = 1e-4;

/// Says whether the body spanned by `points` (piece frame, mm) fits in `bed`, looking as far as `search` says.
///
/// Any points with the same convex hull give the same answer, so that hull vertices do as well as a whole mesh.
///
/// ```
/// use seamwright_geometry::{Bed, Point, Search, Verdict, fit, solids};
/// let rod = solids::cuboid(Point::origin(), Point::new(250.0, 10.0, 10.0));
/// let bed = Bed::rectangle(200.0, 200.0, 200.0);
/// assert_eq!(fit(&rod.vertices, &bed, Search::AsItStands).verdict, Verdict::TooBig);
/// assert_eq!(fit(&rod.vertices, &bed, Search::Turned).verdict, Verdict::Turned);
/// ```
pub fn fit(points: &[Point], bed: &Bed, search: Search) -> Fit {
    fit_preferring(points, bed, search, &[])
}

/// Like [`fit`], and among tilted poses first tries those that bring a direction of `preferred_down` (piece frame, of
/// any length; the outward normals of caps) to point down.
pub fn fit_preferring(points: &[Point], bed: &Bed, search: Search, preferred_down: &[Vector]) -> Fit {
    if let Err(error) = bed.check() {
        return Fit::undecided(error.into());
    }
    if points.iter().any(|p| p.iter().any(|x| !x.is_finite())) {
        return Fit::undecided(Reason::NotFinite);
    }
    let Some(standing) = Placement::of(points, UnitQuaternion::identity(), bed) else {
        return Fit::undecided(Reason::Nothing);
    };
    if standing.slack_mm() >= -ROUNDING_MM {
        return Fit::given(Verdict::AsItStands, standing, Reason::Stands);
    }
    if search == Search::AsItStands {
        return Fit::refused(Verdict::TooBig, standing, Reason::NotAsItStands);
    }
    let Some((turned, turn_rad)) = best_turn(points, bed) else { return Fit::undecided(Reason::Nothing) };
    if turned.slack_mm() >= -ROUNDING_MM {
        return Fit::given(Verdict::Turned, turned, Reason::Turns { turn_deg: turn_rad.to_degrees() });
    }
    match search {
        Search::AsItStands | Search::Turned => Fit::refused(Verdict::TooBig, turned, Reason::NoTurn),
        Search::AnyPose => tilt::any_pose(points, bed, preferred_down, turned),
    }
}

fn best_turn(points: &[Point], bed: &Bed) -> Option<(Placement, f64)> {
    let look = Look::at(points, &-Vector::z(), bed.room_mm())?;
    Some((Placement::of(points, look.rotation(), bed)?, look.turn.turn_rad))
}

impl Fit {
    fn given(verdict: Verdict, placement: Placement, reason: Reason) -> Fit {
        let (slack_mm, sizes_mm) = (placement.slack_mm(), placement.sizes_mm);
        Fit { verdict, pose: Some(placement.pose), slack_mm, excess: None, sizes_mm, reason }
    }

    fn refused(verdict: Verdict, least: Placement, reason: Reason) -> Fit {
        let (slack_mm, sizes_mm) = (least.slack_mm(), least.sizes_mm);
        Fit { verdict, pose: None, slack_mm, excess: Some(least.excess()), sizes_mm, reason }
    }

    /// Nothing could be placed at all.
    fn undecided(reason: Reason) -> Fit {
        Fit { verdict: Verdict::Undecided, pose: None, slack_mm: 0.0, excess: None, sizes_mm: [0.0; 3], reason }
    }
}

#[cfg(test)]
mod tests;
