//! The form under the ornament, the same for the outer and the inner side of the wall.
use crate::demo::sdf::V3;
use crate::demo::sdf::curve::Curve;
use crate::demo::sdf::operations::{first_order, ramp};

/// Height at which the helm is widest, and the height of the dome above it, mm.
pub const WIDEST_MM: f64 = 180.0;
const DOME_MM: f64 = 105.0;

// Half-widths and depths over the height. Inside, at the brow, 183 × 222 mm: ANSUR II (2012; NATICK/TR-15/007) gives
// the 95th percentile of men a head of 163 × 211 mm; the rest is padding.
const HALF_WIDTH: Curve<4> = Curve::through([(0.0, 84.0), (40.0, 86.0), (100.0, 92.0), (WIDEST_MM, 95.0)]);
const FRONT: Curve<4> = Curve::through([(0.0, 92.0), (40.0, 98.0), (100.0, 108.0), (WIDEST_MM, 113.0)]);
const BACK: Curve<5> = Curve::through([(0.0, 140.0), (22.0, 124.0), (60.0, 110.0), (110.0, 110.0), (WIDEST_MM, 116.0)]);
/// How far the bow stands out before the face, and half its width.
const BOW: Curve<6> =
    Curve::through([(0.0, 16.0), (60.0, 22.0), (110.0, 24.0), (165.0, 12.0), (215.0, 3.0), (270.0, 0.0)]);
const BOW_HALF_WIDTH_MM: f64 = 62.0;
/// Rounding of the bow's edge.
const BOW_ROUND_MM: f64 = 3.0;

/// Signed distance to the form; `p.x` ≥ 0.
pub fn form(p: V3) -> f64 {
    first_order(p, implicit) - ribs(p)
}

fn implicit(p: V3) -> f64 {
    let bow = BOW.at(p.z) * (1.0 - p.x.hypot(BOW_ROUND_MM) / BOW_HALF_WIDTH_MM).max(0.0).powi(2);
    let y = p.y + bow * ramp(10.0, -50.0, p.y);
    let depth = if y < 0.0 { FRONT.at(p.z) } else { BACK.at(p.z) };
    let up = (p.z - WIDEST_MM).max(0.0) / DOME_MM;
    (p.x / HALF_WIDTH.at(p.z)).hypot(y / depth).hypot(up) - 1.0
}

/// The dome's flutes, spreading from the ear like those of a scallop.
fn ribs(p: V3) -> f64 {
    const COUNT: f64 = 13.0;
    const HEIGHT_MM: f64 = 1.8;
    let (y, z) = (p.y, p.z - super::face::EAR_MM.z);
    let r = y.hypot(z);
    let fade = ramp(9.0, 20.0, p.x) * ramp(30.0, 60.0, r) * super::face::above_brow(p);
    if fade == 0.0 {
        return 0.0;
    }
    let wave = (COUNT * z.atan2(-y)).sin();
    HEIGHT_MM * fade * (wave * wave + 0.01).sqrt()
}
