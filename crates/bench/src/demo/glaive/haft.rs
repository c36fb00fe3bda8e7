//! Pommel, haft, rings, grips and socket: all turned about the z axis.
use crate::demo::sdf::V3;
use crate::demo::sdf::curve::Curve;
use crate::demo::sdf::operations::{ramp, smooth_intersection, smooth_union};
use crate::demo::sdf::primitives::ring;
use std::f64::consts::{PI, TAU};

/// Radius over the height: pommel, a haft of 32 mm, the socket.
const RADIUS: Curve<12> = Curve::through([
    (0.0, 5.0),
    (14.0, 17.0),
    (38.0, 26.0),
    (66.0, 19.0),
    (84.0, 15.5),
    (110.0, 16.0),
    (1160.0, 16.0),
    (1200.0, 17.5),
    (1256.0, 20.5),
    (1310.0, 20.0),
    (1336.0, 13.0),
    (1350.0, 6.0),
]);
const TOP_MM: f64 = 1352.0;
/// Middles of the rings.
const RINGS_MM: [f64; 13] =
    [86.0, 96.0, 322.0, 332.0, 502.0, 512.0, 752.0, 762.0, 972.0, 982.0, 1180.0, 1190.0, 1254.0];
/// Lower and upper ends of the rope grips.
const GRIPS_MM: [[f64; 2]; 2] = [[336.0, 498.0], [766.0, 968.0]];
const ROPE_MM: f64 = 9.0;
/// The raised band of kelp that winds up to the socket.
const KELP_MM: [f64; 2] = [984.0, 1178.0];
const KELP_PITCH_MM: f64 = 97.0;

/// Signed distance to the turned parts.
pub fn haft(p: V3) -> f64 {
    let (r, angle) = (p.x.hypot(p.y), p.y.atan2(p.x));
    let (radius, slope) = RADIUS.value_and_slope(p.z);
    let turned = (r - radius - relief(p.z, angle)) / 1.0f64.hypot(slope.clamp(-1.5, 1.5));
    let body = smooth_intersection(turned, (-p.z).max(p.z - TOP_MM), 3.0);
    let rings = RINGS_MM.iter().map(|&z| ring(p - V3::z() * z, RADIUS.at(z) + 0.5, 4.0));
    rings.fold(body, |d, ring| smooth_union(d, ring, 1.5))
}

fn relief(z: f64, angle: f64) -> f64 {
    let ends = |[low, high]: [f64; 2], soft: f64| ramp(low, low + soft, z) * ramp(high, high - soft, z);
    // p.y was mirrored: both halves wind up from the edge to the back, like plaited cord.
    let rope: f64 = GRIPS_MM.iter().map(|&g| ends(g, 3.0)).sum();
    let strand = (PI * (z / ROPE_MM + angle / TAU * 2.0)).sin().abs();
    let whelk = ramp(6.0, 24.0, z) * ramp(72.0, 52.0, z) * (4.0 * angle + z / 9.0).sin().abs();
    let turn = z / KELP_PITCH_MM - angle / PI;
    let off = (turn - turn.round()).abs() * KELP_PITCH_MM;
    let kelp = ends(KELP_MM, 8.0) * ramp(7.0, 4.5, off);
    1.7 * rope * strand + 2.2 * whelk + 1.8 * kelp
}
