//! The convex hull of a set of points.

mod flats;
mod measure;
mod polygon;
mod quickhull;

pub use flats::Flat;
pub(crate) use polygon::{Point2, convex_polygon, convex_polygon_indices, turns_left};

use crate::Point;
use quickhull::{Span, span};
use rayon::prelude::*;

/// A convex hull. Flat, straight and single-point sets have one too.
///
/// Which points are corners is decided by exact predicates, so that duplicates, slivers and points in one plane are
/// ordinary cases. A point in the middle of an edge or a face may be kept as a corner.
///
/// ```
/// use seamwright_geometry::{Hull, Point, solids};
/// let cube = solids::cuboid(Point::origin(), Point::new(10.0, 10.0, 10.0));
/// let hull = Hull::of(&cube.vertices);
/// assert_eq!(hull.vertices.len(), 8);
/// assert_eq!(hull.volume_mm3(), 1000.0);
/// ```
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Hull {
    /// The corners, all of them points that were given, mm.
    pub vertices: Vec<Point>,
    /// Triangles, counter-clockwise from outside. A flat hull has both of its sides; a segment and a point none.
    pub faces: Vec<[u32; 3]>,
}

/// More points than this are reduced in chunks of this size, in parallel, before the hull of all is made: a chunk of
/// a mesh's vertices is a patch of its surface, of which few are corners.
const CHUNK: usize = 8192;

impl Hull {
    /// The hull of `points`. Points with a coordinate that is not finite are left out.
    pub fn of(points: &[Point]) -> Hull {
        Hull::within(points, 0.0)
    }

    /// A hull of some of `points` that leaves none farther outside than `tolerance_mm`: at most that much smaller in
    /// every direction than the hull of all. With tolerance 0 it is the hull of all.
    pub fn within(points: &[Point], tolerance_mm: f64) -> Hull {
        let finite: Vec<Point> = points.iter().copied().filter(is_finite).collect();
        if finite.len() <= 2 * CHUNK {
            return whole(&finite, tolerance_mm);
        }
        // The tolerance is spent in the last step only, so that it is spent once. A chunk without faces may have
        // failed, and is handed on as it is.
        let kept: Vec<Point> = finite
            .par_chunks(CHUNK)
            .flat_map_iter(|chunk| {
                let hull = whole(chunk, 0.0);
                if hull.faces.is_empty() { chunk.to_vec() } else { hull.vertices }
            })
            .collect();
        whole(&kept, tolerance_mm)
    }
}

fn is_finite(p: &Point) -> bool {
    p.iter().all(|x| x.is_finite())
}

fn whole(points: &[Point], tolerance_mm: f64) -> Hull {
    match span(points, tolerance_mm) {
        Span::Nothing => Hull::default(),
        Span::Ends(ends) => Hull { vertices: pick(points, &ends), faces: Vec::new() },
        Span::Flat(outline) => Hull { vertices: pick(points, &outline), faces: both_sides(outline.len() as u32) },
        Span::Solid(faces) => compact(points, &faces),
        // Coordinates so large or small that products leave the range of numbers: every point is kept.
        Span::OutOfRange => Hull { vertices: points.to_vec(), faces: Vec::new() },
    }
}

fn pick(points: &[Point], which: &[u32]) -> Vec<Point> {
    which.iter().map(|&i| points[i as usize]).collect()
}

/// A fan over a convex outline of `n` corners and the same fan from behind.
fn both_sides(n: u32) -> Vec<[u32; 3]> {
    (2..n).flat_map(|i| [[0, i - 1, i], [0, i, i - 1]]).collect()
}

fn compact(points: &[Point], faces: &[[u32; 3]]) -> Hull {
    let mut corners: Vec<u32> = faces.iter().flatten().copied().collect();
    corners.sort_unstable();
    corners.dedup();
    let mut renamed = vec![0; points.len()];
    for (new, &old) in corners.iter().enumerate() {
        renamed[old as usize] = new as u32;
    }
    let faces = faces.iter().map(|f| f.map(|i| renamed[i as usize])).collect();
    Hull { vertices: pick(points, &corners), faces }
}

#[cfg(test)]
mod tests;
