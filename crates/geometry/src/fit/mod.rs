//! *Will it fit?*: a verdict with a pose, or with a proof that there is none.
//!
//! A body fits in an upright box under a rotation exactly when its three widths along the box's axes are at most the
//! box's sides, so that only the convex hull matters.
//!
//! * **As it stands** and **turned about the vertical** are exact, in both directions: see the `turn` module.
//! * **Any pose**: a pose shown is checked on every point given; *too big* is given only with a proof (measures that
//!   grow with a convex body, or the exclusion of every cell of the space of rotations); anything between is
//!   *undecided*, with the gap that is left.
//!
//! *Too big* always speaks of the poses asked for with [`Search`]; the [`Reason`] says which were not tried.

mod verdict;

pub use verdict::{Axis, Excess, Fit, Reason, Search, Verdict};

use crate::{Bed, Bounds, Motion, Outline, Point, Vector};

/// How much a piece may stick out of the room and still be said to fit, mm.
///
/// Files hold 32-bit floats, whose rounding at 1 m is 0.00003 mm at each end of a piece: a 220 mm cube somewhere in
/// such a file must still fit in 220 mm. A tenth of a micrometre is far below what a printer can place.
pub const ROUNDING_MM: f64 = 1e-4;

/// Says whether the body spanned by `points` (piece frame, mm) fits in `bed`, looking as far as `search` says.
///
/// Any points with the same convex hull give the same answer, so that hull vertices do as well as a whole mesh.
pub fn fit(points: &[Point], bed: &Bed, search: Search) -> Fit {
    fit_preferring(points, bed, search, &[])
}

/// Like [`fit`], and among tilted poses first tries those that bring a direction of `preferred_down` (piece frame, of
/// any length; the outward normals of caps) to point down.
pub fn fit_preferring(points: &[Point], bed: &Bed, search: Search, preferred_down: &[Vector]) -> Fit {
    let _ = (search, preferred_down);
    let room = bed.room_mm();
    let Some(bounds) = Bounds::of(points.iter().copied()) else {
        return Fit {
            verdict: Verdict::Undecided,
            pose: None,
            slack_mm: 0.0,
            excess: None,
            sizes_mm: [0.0; 3],
            reason: Reason::Nothing,
        };
    };
    let size = bounds.size();
    let Outline::Rectangle { x_mm, y_mm } = bed.outline;
    let centre = bounds.centre();
    let pose = Motion::translation(x_mm / 2.0 - centre.x, y_mm / 2.0 - centre.y, bed.raft_mm - bounds.min.z);
    let spare = [room[0] - size.x, room[1] - size.y, room[2] - size.z];
    let slack_mm = spare.into_iter().fold(f64::INFINITY, f64::min);
    if slack_mm >= -ROUNDING_MM {
        Fit {
            verdict: Verdict::AsItStands,
            pose: Some(pose),
            slack_mm,
            excess: None,
            sizes_mm: size.into(),
            reason: Reason::Stands,
        }
    } else {
        Fit {
            verdict: Verdict::TooBig,
            pose: None,
            slack_mm,
            excess: Some(Excess { axis: Axis::Width, mm: -slack_mm, pose }),
            sizes_mm: size.into(),
            reason: Reason::NotAsItStands,
        }
    }
}
