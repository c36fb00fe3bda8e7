//! Fit of both sides of a plane while it moves.

use crate::{Bed, Cancelled, Mesh, Plane, Point, Progress, Search, Side, Verdict};

/// A mesh prepared so that the hulls of both halves under any plane are found in a fraction of a frame.
#[derive(Clone, Debug, Default)]
pub struct HalfSupport {}

impl HalfSupport {
    /// Prepares `mesh`: once per mesh, on a worker.
    pub fn build(mesh: &Mesh, progress: &Progress) -> Result<HalfSupport, Cancelled> {
        let _ = mesh;
        progress.check()?;
        Ok(HalfSupport {})
    }

    /// The points that span the two halves of the mesh under `plane`.
    pub fn split(&self, plane: &Plane) -> Halves {
        Halves { plane: *plane, below: Vec::new(), above: Vec::new() }
    }
}

/// Points with the hulls of the two halves of a mesh, section included.
#[derive(Clone, Debug)]
pub struct Halves {
    plane: Plane,
    below: Vec<Point>,
    above: Vec<Point>,
}

/// What is known of one half while the plane moves.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HalfFit {
    /// The verdict: as it stands, turned, or tilted, which here means lying on the cut. *Too big* speaks of those
    /// poses only when the search was for them; with [`Search::AnyPose`] it is proven, and *undecided* otherwise.
    pub verdict: Verdict,
    /// Width, depth and height as it stands, mm.
    pub sizes_mm: [f64; 3],
    /// Spare room of the best of those poses, mm; negative when none fits.
    pub slack_mm: f64,
}

impl Halves {
    /// The points that span one half; none when the plane misses it.
    pub fn points(&self, side: Side) -> &[Point] {
        match side {
            Side::Below => &self.below,
            Side::Above => &self.above,
        }
    }

    /// The verdict for one half; `None` when there is nothing on that side.
    pub fn fit(&self, side: Side, bed: &Bed, search: Search) -> Option<HalfFit> {
        let _ = (bed, search, self.plane);
        if self.points(side).is_empty() { None } else { None }
    }
}
