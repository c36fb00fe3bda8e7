//! What lies between two parallel planes.

use super::half::Half;
use super::portion::Portion;
use super::{HalfFit, HalfSupport, TOUCHING_MM};
use crate::fit::room_of;
use crate::{Bed, Bounds, Search, Vector};

/// What lies between two parallel planes of a mesh.
#[derive(Clone, Debug)]
pub struct Slab<'a> {
    pub(super) half: Half<'a>,
    caps: Vec<Vector>,
    tolerance_mm: f64,
}

impl HalfSupport {
    /// What lies at heights from `low_mm` to `high_mm` along the unit vector `normal`; either may be infinite.
    pub fn slab(&self, normal: &Vector, low_mm: f64, high_mm: f64) -> Slab<'_> {
        let caps = [(low_mm, -normal), (high_mm, *normal)];
        Slab {
            half: Half::between(self.root.as_ref(), *normal, low_mm, high_mm),
            caps: caps.into_iter().filter(|(height, _)| height.is_finite()).map(|(_, cap)| cap).collect(),
            tolerance_mm: self.tolerance_mm,
        }
    }

    /// Least and largest height of the mesh along the unit vector `normal`, mm; `None` for an empty one.
    pub fn extent_mm(&self, normal: &Vector) -> Option<[f64; 2]> {
        let all = Half::between(self.root.as_ref(), *normal, f64::NEG_INFINITY, f64::INFINITY);
        let [low, high] = [-all.farthest(&-normal)?, all.farthest(normal)?];
        // The farthest points may be short by the tolerance.
        Some([low - self.tolerance_mm, high + self.tolerance_mm])
    }
}

impl Slab<'_> {
    /// The upright box, exact; `None` where nothing lies between the planes.
    pub fn bounds(&self) -> Option<Bounds> {
        let bounds = self.half.bounds()?;
        (bounds.diagonal() > TOUCHING_MM).then_some(bounds)
    }

    /// The verdict, with the poses of [`Halves::fit`](super::Halves::fit): as it stands, turned, and lying on either
    /// cut. `None` where nothing lies between the planes, or when the bed holds nothing.
    pub fn fit(&self, bed: &Bed, search: Search) -> Option<HalfFit> {
        let room = room_of(bed).ok()?;
        let size = self.bounds()?.size();
        Portion { half: &self.half, caps: &self.caps, tolerance_mm: self.tolerance_mm }.fit(&room, search, size)
    }
}
