//! Measures as they are given to machines.

use seamwright_geometry::{Bounds, Point};
use serde::Serialize;

/// An upright box, mm.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Box3 {
    /// Lowest corner.
    pub min: [f64; 3],
    /// Highest corner.
    pub max: [f64; 3],
}

impl From<Bounds> for Box3 {
    fn from(bounds: Bounds) -> Box3 {
        Box3 { min: place(&bounds.min), max: place(&bounds.max) }
    }
}

impl Box3 {
    /// Edge lengths, mm.
    pub fn size(&self) -> [f64; 3] {
        std::array::from_fn(|i| self.max[i] - self.min[i])
    }
}

/// A place as three numbers. Adding zero turns −0 into 0, which nobody types.
pub fn place(p: &Point) -> [f64; 3] {
    [p.x + 0.0, p.y + 0.0, p.z + 0.0]
}
