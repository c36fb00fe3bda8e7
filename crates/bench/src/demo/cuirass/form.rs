//! The form under the ornament, the same for the outer and the inner side of the wall.
use crate::demo::sdf::V3;
use crate::demo::sdf::curve::Curve;
use crate::demo::sdf::operations::{first_order, ramp};

/// Height from which the shoulders round over, and how far above it they end, mm.
const SHOULDER_FROM_MM: f64 = 300.0;
const SHOULDER_MM: f64 = 168.0;
/// Squareness of sections: 2 would be an ellipse.
const SQUARENESS: f64 = 2.5;

// Half-widths and depths over the height. Inside, at the chest, 363 mm wide: ANSUR II (2012; NATICK/TR-15/007) gives
// the 95th percentile of men a chest breadth of 320 mm and a depth of 298 mm, of which the front holds half; the rest
// is padding. Hem to collar 480 mm after its waist back length, mean 478 mm.
const HALF_WIDTH: Curve<5> =
    Curve::through([(0.0, 210.0), (45.0, 188.0), (115.0, 165.0), (230.0, 180.0), (SHOULDER_FROM_MM, 185.0)]);
const FRONT: Curve<5> =
    Curve::through([(0.0, 142.0), (40.0, 130.0), (115.0, 118.0), (230.0, 136.0), (SHOULDER_FROM_MM, 138.0)]);
const BACK_MM: f64 = 190.0;
/// How far the keel stands out before the chest, and half its width.
const KEEL: Curve<6> =
    Curve::through([(0.0, 14.0), (115.0, 14.0), (220.0, 24.0), (290.0, 24.0), (390.0, 8.0), (450.0, 0.0)]);
const KEEL_HALF_WIDTH_MM: f64 = 130.0;
const KEEL_ROUND_MM: f64 = 3.0;

/// Signed distance to the form; `p.x` ≥ 0.
pub fn form(p: V3) -> f64 {
    first_order(p, implicit) - flutes(p)
}

fn implicit(p: V3) -> f64 {
    let keel = KEEL.at(p.z) * (1.0 - p.x.hypot(KEEL_ROUND_MM) / KEEL_HALF_WIDTH_MM).max(0.0).powi(2);
    let y = p.y + keel * ramp(20.0, -60.0, p.y);
    let depth = if y < 0.0 { FRONT.at(p.z) } else { BACK_MM };
    let up = (p.z - SHOULDER_FROM_MM).max(0.0) / SHOULDER_MM;
    let sum: f64 = [p.x / HALF_WIDTH.at(p.z), y / depth, up].into_iter().map(|c| c * c * c.abs().sqrt()).sum();
    sum.powf(1.0 / SQUARENESS) - 1.0
}

/// The scallop's flutes over the chest, spreading from its hinge on the keel.
fn flutes(p: V3) -> f64 {
    const HINGE_MM: f64 = 205.0;
    const COUNT: f64 = 11.0;
    const HEIGHT_MM: f64 = 3.0;
    if p.y > 0.0 {
        return 0.0;
    }
    let (a, b) = (p.x, p.z - HINGE_MM);
    let r = a.hypot(b);
    let fade =
        ramp(6.0, 16.0, p.x) * ramp(45.0, 90.0, r) * ramp(0.0, -50.0, p.y) * super::ornament::above_chest_line(p);
    if fade == 0.0 {
        return 0.0;
    }
    let wave = (COUNT * a.atan2(b)).sin();
    HEIGHT_MM * fade * (wave * wave + 0.01).sqrt()
}
