//! The guard: a wave curling up on either side of the socket.
use crate::demo::relief::leaf;
use crate::demo::sdf::operations::{raised, smooth_intersection, smooth_union};
use crate::demo::sdf::primitives::{ball, ellipsoid, spiral_arm};
use crate::demo::sdf::{V2, V3};

/// Where the guard begins.
pub const FROM_MM: f64 = 1240.0;
/// Middle and radius of each wave.
const WAVE: V2 = V2::new(58.0, 1296.0);
const RADIUS_MM: f64 = 35.0;

/// Signed distance to the guard.
pub fn guard(p: V3) -> f64 {
    let q = V2::new(p.x.abs(), p.z) - WAVE;
    // Seen so, the spiral leaves the socket below and curls in from outside.
    let q = V2::new(-q.x, q.y);
    let r = q.norm();
    let arm = spiral_arm(q, 5.0, 0.23).hypot(p.y) - 3.2 - 0.13 * r;
    let arm = smooth_intersection(arm, r - RADIUS_MM, 3.0);
    let web = raised(r - RADIUS_MM + 7.0, p.y, -3.0, 3.0, 1.0);
    let eye = ball(V3::new(q.x, p.y, q.y), 6.5);
    let collar = ellipsoid(p - V3::new(0.0, 0.0, 1292.0), V3::new(41.0, 22.0, 14.0));
    let root = ellipsoid(p - V3::new(0.0, 0.0, 1316.0), V3::new(24.0, 14.0, 22.0));
    [arm, web, eye, root, tongue(p)].into_iter().fold(collar, |a, b| smooth_union(a, b, 3.0))
}

/// A leaf that runs from the socket up the blade's faces.
fn tongue(p: V3) -> f64 {
    let along = V2::new(p.z - 1330.0, p.x - 4.0);
    let shape = leaf(along, 72.0, 15.0, 15.0);
    let vein = 2.6 * (1.0 - along.y.abs() / 5.0).max(0.0);
    smooth_intersection(shape, (p.y - 9.2 - vein) / 1.1, 2.0)
}
