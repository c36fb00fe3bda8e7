//! A plane that ends.

use crate::{Plane, Point, SurfaceError, Vector};

/// A plane that parts only on one side of a line drawn in it, its edge: where `(p − through) · inwards > 0`.
///
/// What the plane meets there is parted only if it does not reach over the edge: a cut never ends in the material.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FinitePlane {
    plane: Plane,
    through: Point,
    inwards: Vector,
}

impl FinitePlane {
    /// The part of `plane` that lies from the edge through `edge_through` towards `inwards`. Of `inwards` only the part
    /// along the plane counts, and only its direction; `edge_through` need not lie in the plane.
    pub fn new(plane: Plane, edge_through: Point, inwards: Vector) -> Result<FinitePlane, SurfaceError> {
        if let Some(&bad) = edge_through.iter().chain(inwards.iter()).find(|x| !x.is_finite()) {
            return Err(SurfaceError::NotFinite(bad));
        }
        let inwards = super::profile::square_to(inwards, plane.normal()).ok_or(SurfaceError::NoDirection)?;
        Ok(FinitePlane { plane, through: plane.project(&edge_through), inwards })
    }

    /// The plane without its end.
    pub fn plane(&self) -> Plane {
        self.plane
    }

    /// The same moved along the plane's normal.
    pub(crate) fn moved(&self, mm: f64) -> FinitePlane {
        FinitePlane { plane: self.plane.moved(mm), through: self.through + self.plane.normal() * mm, ..*self }
    }

    /// A point of the edge.
    pub fn edge_through(&self) -> Point {
        self.through
    }

    /// Unit vector within the plane, square to the edge, towards where it parts.
    pub fn inwards(&self) -> Vector {
        self.inwards
    }

    /// How far `p` lies from the edge towards where the plane parts, mm; negative beyond the edge.
    pub fn inside_mm(&self, p: &Point) -> f64 {
        (p - self.through).dot(&self.inwards)
    }
}
