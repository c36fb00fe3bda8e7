//! The crest fin along the middle, and the fins behind the ears.
use super::Place;
use super::face::EAR_MM;
use super::form::WIDEST_MM;
use crate::demo::relief::{ray, scallop};
use crate::demo::sdf::V3;
use crate::demo::sdf::curve::Curve;
use crate::demo::sdf::operations::{first_order, ramp, smooth_intersection};

/// Height of the crest over the dome, by the angle from the front (radians, over the top to the neck).
const HEIGHT: Curve<9> = Curve::through([
    (0.25, 0.0),
    (0.55, 22.0),
    (1.0, 52.0),
    (1.55, 74.0),
    (2.1, 78.0),
    (2.7, 60.0),
    (3.2, 36.0),
    (3.6, 12.0),
    (3.75, 0.0),
]);
/// Angle between two rays, and how far they lean back over the height of the crest, radians.
const SPACING: f64 = 0.27;
const LEAN: f64 = 0.40;
/// Depth of the cuts between the rays, as a share of the height.
const CUT: f64 = 0.24;

/// The crest.
pub fn fin(at: &Place) -> f64 {
    const REACH_MM: f64 = 14.0;
    if at.p.x > REACH_MM || at.w > 110.0 {
        return (at.p.x - REACH_MM).max(0.0) + 8.0;
    }
    let outline = first_order(V3::new(0.0, at.p.y, at.p.z), |q| {
        let c = Crest::new(q);
        c.over - c.height * (1.0 - CUT * scallop(c.rays))
    });
    let c = Crest::new(at.p);
    let t = (c.over / c.height.max(1.0)).clamp(0.0, 1.0);
    let half_width = 1.9 + 3.4 * (1.0 - t).powi(2) + 2.2 * ray(c.rays, 0.28) * (1.0 - 0.5 * t);
    smooth_intersection(outline, at.p.x - half_width, 2.0)
}

struct Crest {
    /// Height over the dome.
    over: f64,
    /// Full height of the crest there.
    height: f64,
    /// Counts the rays: whole on each.
    rays: f64,
}

impl Crest {
    fn new(p: V3) -> Crest {
        let (f, z) = (-p.y, p.z - WIDEST_MM);
        let r = f.hypot(z).max(1e-6);
        let angle = z.atan2(f);
        // Behind and below the ears the angle goes on growing.
        let angle = if angle < -1.4 { angle + std::f64::consts::TAU } else { angle };
        let dome = 1.0 / (f / r / 114.0).hypot(z / r / 105.0);
        let over = r - dome;
        let base = angle - LEAN * (over / 75.0).max(0.0);
        Crest { over, height: HEIGHT.at(angle), rays: base / SPACING }
    }
}

/// The fin behind an ear, a fan of rays that stands a little off the head.
pub fn side_fin(at: &Place) -> f64 {
    const SPACING: f64 = 0.27;
    const LENGTH: Curve<4> = Curve::through([(-0.54, 66.0), (0.0, 88.0), (0.54, 92.0), (0.81, 74.0)]);
    const FIRST: f64 = -0.54;
    const LAST: f64 = 0.81;
    let along = V3::new(0.26, 0.86, 0.40).normalize();
    let up = V3::new(0.05, -0.45, 0.9);
    let up = (up - along * up.dot(&along)).normalize();
    let q = at.p - EAR_MM;
    let (a, b, n) = (q.dot(&along), q.dot(&up), q.dot(&along.cross(&up)));
    // Beside the fin a bound will do; behind its root the angle has no meaning.
    if n.abs() > 12.0 || a < -10.0 {
        return (n.abs() - 6.0).max(-a);
    }
    let outline = first_order(V3::new(a, b, 0.0), |q| {
        let (r, angle) = (q.x.hypot(q.y), q.y.atan2(q.x));
        let edge = r - LENGTH.at(angle) * (1.0 - 0.18 * scallop(angle / SPACING));
        edge.max(r * (angle - LAST)).max(r * (FIRST - angle))
    });
    let (r, angle) = (a.hypot(b), b.atan2(a));
    let half_width = 1.8 + 2.0 * ray(angle / SPACING, 0.3) * ramp(110.0, 30.0, r) + 0.2;
    smooth_intersection(outline, n.abs() - half_width, 2.0)
}
