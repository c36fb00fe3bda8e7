//! Fit of both sides of a plane while it moves.

mod exact;
mod half;
mod nearby;
mod portion;
mod silhouette;
mod slab;
mod step_off;
mod stretch;
mod tight;
mod tree;

use crate::fit::room_of;
use crate::{Bed, Bounds, Cancelled, Mesh, Plane, Progress, Search, Side, Vector, Verdict};
use half::Half;
pub use nearby::{MOVE_MM, Nearby, nearest_offset, place_nearby};
use portion::Portion;
pub use slab::Slab;
pub use step_off::{LastPiece, StepOff, StepOffError, Steps};
pub use stretch::Stretch;

/// How far outside the points looked at a point of the mesh may lie, mm, unless asked otherwise: four hundredths of a
/// millimetre between two opposite walls are less than a number shown with one decimal is rounded by, and far below the
/// rounding of a printed edge. The answer at rest, and the real cut, have none of it.
pub const LIVE_TOLERANCE_MM: f64 = 0.02;

/// Tolerance of the outlines that are looked at first, mm: an answer far enough from the limit is told by them, and they
/// take less time (our own choice, no source).
const COARSE_MM: f64 = 0.1;

/// Tolerance of the outlines by which poses are left out that are surely too small, mm (our own choice, no source).
const ROUGH_MM: f64 = 1.0;

/// A mesh prepared so that the sizes and the fit of both halves under any plane are found in a fraction of a frame.
///
/// Its faces lie in a tree of boxes. A plane leaves most boxes whole. What is asked of a half (how far does it reach,
/// what is its outline seen from there) is answered by opening only the boxes that could change the answer. In boxes
/// that are whole and not large, few points stand for all vertices where an answer within a tolerance will do; those that
/// the plane crosses are looked at vertex by vertex and edge by edge, so that the section is part of both halves.
#[derive(Clone, Debug, Default)]
pub struct HalfSupport {
    root: Option<tree::Node>,
    tolerance_mm: f64,
}

impl HalfSupport {
    /// Prepares `mesh`, with [`LIVE_TOLERANCE_MM`]: once per mesh, on a worker. Faces with a vertex that is missing or
    /// not finite are left out.
    pub fn build(mesh: &Mesh, progress: &Progress) -> Result<HalfSupport, Cancelled> {
        HalfSupport::build_within(mesh, LIVE_TOLERANCE_MM, progress)
    }

    /// Prepares `mesh` with a tolerance of one's own. With 0 every answer is that of the true half, more slowly.
    pub fn build_within(mesh: &Mesh, tolerance_mm: f64, progress: &Progress) -> Result<HalfSupport, Cancelled> {
        Ok(HalfSupport { root: tree::build(mesh, tolerance_mm <= 0.0, progress)?, tolerance_mm })
    }

    /// The two halves of the mesh under `plane`.
    pub fn split(&self, plane: &Plane) -> Halves<'_> {
        Halves { plane: *plane, halves: Half::both(self.root.as_ref(), plane), tolerance_mm: self.tolerance_mm }
    }
}

/// The two halves of a mesh under a plane.
#[derive(Clone, Debug)]
pub struct Halves<'a> {
    plane: Plane,
    /// Below, above.
    halves: [Half<'a>; 2],
    tolerance_mm: f64,
}

/// What is known of one half while the plane moves.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HalfFit {
    /// The verdict: as it stands, turned, or tilted, which here means lying on the cut.
    ///
    /// *Too big* speaks of those poses alone when the search was for no others. With [`Search::AnyPose`] it is given
    /// only when the half is too long for any pose, and *undecided* stands for: not as it stands, not turned, not on
    /// the cut, other tilts not tried.
    pub verdict: Verdict,
    /// Width, depth and height as it stands, mm. Exact.
    pub sizes_mm: [f64; 3],
    /// Spare room of the pose of the verdict, mm; of the best pose tried, and negative, when none fits.
    pub slack_mm: f64,
    /// What `slack_mm` may be too large by, mm; 0 as it stands.
    pub error_mm: f64,
}

/// A half that rises less than this from the plane is none: the plane touches the mesh without cutting it.
const TOUCHING_MM: f64 = 1e-6;

impl Halves<'_> {
    /// The upright box of one half, exact; `None` when nothing lies on that side.
    pub fn bounds(&self, side: Side) -> Option<Bounds> {
        let half = self.half(side);
        if half.rises_from(&self.cap_normal(side), self.cap_offset_mm(side)) { half.bounds() } else { None }
    }

    /// Distance between the two planes square to `direction` (unit length) that enclose one half, mm; too small
    /// by twice the tolerance at most.
    pub fn width_mm(&self, side: Side, direction: &Vector) -> Option<f64> {
        self.half(side).width_mm(direction, false)
    }

    /// The verdict for one half; `None` when nothing lies on that side, or when the bed holds nothing.
    ///
    /// Poses tried, up to what `search` allows: as it stands, turned about the vertical, and with
    /// [`Search::AnyPose`] lying on the cut, each with its best turn.
    pub fn fit(&self, side: Side, bed: &Bed, search: Search) -> Option<HalfFit> {
        let room = room_of(bed).ok()?;
        let size = self.bounds(side)?.size();
        self.portion(side, &[self.cap_normal(side)]).fit(&room, search, size)
    }

    fn portion<'h>(&'h self, side: Side, caps: &'h [Vector]) -> Portion<'h> {
        Portion { half: self.half(side), caps, tolerance_mm: self.tolerance_mm }
    }

    /// The verdicts for below and above, made at the same time.
    pub fn fit_both(&self, bed: &Bed, search: Search) -> [Option<HalfFit>; 2] {
        rayon::join(|| self.fit(Side::Below, bed, search), || self.fit(Side::Above, bed, search)).into()
    }

    /// Outward unit normal of the cap that closes one half: what has to point down for it to lie on the cut.
    pub fn cap_normal(&self, side: Side) -> Vector {
        match side {
            Side::Below => self.plane.normal(),
            Side::Above => -self.plane.normal(),
        }
    }

    /// Offset of the plane along the cap's normal.
    fn cap_offset_mm(&self, side: Side) -> f64 {
        match side {
            Side::Below => self.plane.offset_mm(),
            Side::Above => -self.plane.offset_mm(),
        }
    }

    fn half(&self, side: Side) -> &Half<'_> {
        match side {
            Side::Below => &self.halves[0],
            Side::Above => &self.halves[1],
        }
    }
}

#[cfg(test)]
mod tests;
