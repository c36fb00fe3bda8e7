//! Neck with its collar, arm openings, hem and back edge.
use super::Place;
use crate::demo::sdf::V3;
use crate::demo::sdf::curve::Curve;
use crate::demo::sdf::operations::{ramp, smooth_intersection, smooth_union};
use crate::demo::sdf::primitives::ellipsoid;

/// Height of the lower edge over u.
const HEM: Curve<5> = Curve::through([(0.0, 0.0), (90.0, 10.0), (190.0, 22.0), (270.0, 10.0), (330.0, 0.0)]);
/// Where the plate ends towards the back, over z: before the neck, so that the collar opens and the head goes through.
const BACK_EDGE: Curve<5> = Curve::through([(0.0, 92.0), (240.0, 92.0), (330.0, 84.0), (430.0, 44.0), (480.0, 30.0)]);
/// Where the neck's axis passes the shoulders, and its lean to the front, degrees.
const NECK_MM: V3 = V3::new(0.0, 6.0, 452.0);
const NECK_LEAN_DEG: f64 = 16.0;
/// Inner radius at the collar's foot: ANSUR II (2012) gives the 95th percentile of men a neck circumference of 443 mm,
/// a radius of 71 mm.
const NECK_RADIUS_MM: f64 = 80.0;
const COLLAR_HEIGHT_MM: f64 = 34.0;
const COLLAR_WALL_MM: f64 = 3.8;

/// Where there is wall: negative; positive in the openings, below the hem and behind the back edge.
pub fn plate(at: &Place) -> f64 {
    let openings = [-hem(at), -back(at), -arm(at)];
    let neck = Neck::new(at.p);
    openings.into_iter().fold(-neck.opening(), f64::max)
}

/// Height over the hem.
pub fn hem(at: &Place) -> f64 {
    HEM.height_above(at.uv.x, at.uv.y)
}

/// Distance before the back edge.
pub fn back(at: &Place) -> f64 {
    -BACK_EDGE.height_above(at.p.z, at.p.y)
}

/// Distance from the arm opening.
pub fn arm(at: &Place) -> f64 {
    ellipsoid(at.p - V3::new(220.0, -14.0, 336.0), V3::new(84.0, 76.0, 104.0))
}

/// Distance from the neck opening.
pub fn neck(at: &Place) -> f64 {
    Neck::new(at.p).opening()
}

/// The standing collar, solid: the neck opening is taken out of it.
pub fn collar(at: &Place) -> f64 {
    let n = Neck::new(at.p);
    let wall =
        smooth_intersection(n.opening() - COLLAR_WALL_MM, (n.up - COLLAR_HEIGHT_MM + n.dip).max(-40.0 - n.up), 1.5);
    let bead = (n.opening() - 2.2).hypot(n.up - COLLAR_HEIGHT_MM + n.dip) - 3.4;
    smooth_union(wall, bead, 1.5)
}

/// A place against the neck's axis.
struct Neck {
    /// Height along the axis.
    up: f64,
    /// Distance from the axis.
    out: f64,
    /// How much lower the collar is there: it dips in front.
    dip: f64,
}

impl Neck {
    fn new(p: V3) -> Neck {
        let (sin, cos) = NECK_LEAN_DEG.to_radians().sin_cos();
        let q = p - NECK_MM;
        let up = q.z * cos - q.y * sin;
        let front = q.y * cos + q.z * sin;
        Neck { up, out: q.x.hypot(front), dip: 10.0 * ramp(20.0, -80.0, front) }
    }

    fn opening(&self) -> f64 {
        let flare = 10.0 * ramp(0.0, COLLAR_HEIGHT_MM + 10.0, self.up);
        self.out - NECK_RADIUS_MM - flare
    }
}
