//! Coordinates within the plane of a section.

use crate::{Plane, Point, Vector};

/// A place or a direction within the plane, mm.
pub(super) type Flat = nalgebra::Vector2<f64>;

pub(super) struct Frame {
    origin: Point,
    x: Vector,
    y: Vector,
}

impl Frame {
    /// With its origin near the section, which keeps rounding small.
    pub fn at(plane: &Plane, origin: Point) -> Frame {
        let (x, y) = plane.basis();
        Frame { origin, x, y }
    }

    pub fn flat(&self, p: &Point) -> Flat {
        let from_origin = p - self.origin;
        Flat::new(self.x.dot(&from_origin), self.y.dot(&from_origin))
    }

    pub fn place(&self, p: &Flat) -> Point {
        self.origin + self.x * p.x + self.y * p.y
    }
}
