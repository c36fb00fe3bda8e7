//! What the grown solid takes up is taken away.

use super::ReliefError;
use crate::booleans::{self, Made, Overlaps, Refusal};
use crate::{Cancelled, Hull, Mesh, Point, Progress, Vector, drop_unused_vertices, solids};

/// What is left of a solid, with the faces that its faces are part of.
pub(super) fn away(solid: &Mesh, grown: &Mesh, progress: &Progress) -> Result<Made, ReliefError> {
    let mut left = booleans::without(solid, grown, Overlaps::Solid, progress).map_err(|why| match why {
        Refusal::Cancelled => ReliefError::Cancelled(Cancelled),
        Refusal::Because(reason) => ReliefError::Library(reason),
    })?;
    if left.mesh.triangles.is_empty() {
        return Err(ReliefError::NothingLeft);
    }
    drop_unused_vertices(&mut left.mesh);
    Ok(left)
}

/// These faces, each grown by `by_mm` by itself: the hull of three balls. They overlap.
pub(super) fn grown_one_by_one(mesh: &Mesh, faces: &[u32], by_mm: f64) -> Mesh {
    let ball = around_a_ball(by_mm);
    let hulls: Vec<Mesh> = faces
        .iter()
        .map(|&face| {
            let corners = mesh.corners(face as usize);
            let places: Vec<Point> =
                corners.iter().flat_map(|corner| ball.iter().map(move |off| corner + off)).collect();
            let hull = Hull::of(&places);
            Mesh { vertices: hull.vertices, triangles: hull.faces }
        })
        .collect();
    solids::joined(&hulls.iter().collect::<Vec<_>>())
}

/// How finely a ball is made of faces: 92 corners, 2 % larger than the ball at most.
const BALL_DIVISIONS: u32 = 3;

/// Corners of a solid that the ball of this radius about the origin touches from within.
fn around_a_ball(radius_mm: f64) -> Vec<Vector> {
    let ball = solids::sphere(Point::origin(), 1.0, BALL_DIVISIONS);
    let depth = |t: usize| {
        let [a, b, c] = ball.corners(t);
        (b - a).cross(&(c - a)).normalize().dot(&a.coords)
    };
    let least = (0..ball.triangles.len()).map(depth).fold(f64::INFINITY, f64::min);
    ball.vertices.iter().map(|p| p.coords * (radius_mm / least)).collect()
}
