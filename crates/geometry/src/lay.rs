//! Laying a piece on a flat.

use crate::{Bed, Motion, Point, Vector};

/// The motion `bed_from_piece` that brings the direction `down` (piece frame, any length; the outward normal of the
/// flat to lie on) to −z and the lowest of `points` to z = `bed.raft_mm`, turned about the vertical so that it suits
/// the bed, and centred on it.
///
/// `None` when there are no points, when a number is not finite or when `down` has no length. Whether the piece is
/// then inside the bed is not asked here: see [`fit`](crate::fit()).
pub fn lay_on(points: &[Point], down: &Vector, bed: &Bed) -> Option<Motion> {
    let _ = (points, down, bed);
    None
}
