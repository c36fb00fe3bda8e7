//! Ways to join fields, and to turn a rough implicit function into a distance.
use super::V3;

/// Step of the numerical gradients, mm: far above rounding in `f64`, far below the finest detail.
const GRADIENT_STEP_MM: f64 = 0.02;

/// Union with a fillet of about `k` mm.
pub fn smooth_union(a: f64, b: f64, k: f64) -> f64 {
    let h = (k - (a - b).abs()).max(0.0) / k;
    a.min(b) - h * h * k / 4.0
}

/// Intersection with a rounded edge of about `k` mm.
pub fn smooth_intersection(a: f64, b: f64, k: f64) -> f64 {
    -smooth_union(-a, -b, k)
}

/// `a` without `b`, the new edges rounded by about `k` mm.
pub fn smooth_difference(a: f64, b: f64, k: f64) -> f64 {
    smooth_intersection(a, -b, k)
}

/// The wall between the surface of `form` and the same surface moved inwards by `wall_mm`.
pub fn shell(form: f64, wall_mm: f64) -> f64 {
    (form + wall_mm / 2.0).abs() - wall_mm / 2.0
}

/// A flat shape `d2` raised over a surface: present where the height above that surface, `w`, lies in `low..high`.
/// All edges are rounded by `round_mm`.
pub fn raised(d2: f64, w: f64, low: f64, high: f64, round_mm: f64) -> f64 {
    let a = d2 + round_mm;
    let b = (w - (low + high) / 2.0).abs() - (high - low) / 2.0 + round_mm;
    a.max(b).min(0.0) + a.max(0.0).hypot(b.max(0.0)) - round_mm
}

/// Distance to the zero level of `f` near it, to first order: f / |∇f|.
pub fn first_order(p: V3, f: impl Fn(V3) -> f64) -> f64 {
    let v = f(p);
    v / gradient(p, GRADIENT_STEP_MM, f).norm().max(1e-9)
}

/// The gradient of `f` by four values at the corners of a tetrahedron of size `step`.
pub fn gradient(p: V3, step: f64, f: impl Fn(V3) -> f64) -> V3 {
    const CORNERS: [[f64; 3]; 4] = [[1.0, -1.0, -1.0], [-1.0, -1.0, 1.0], [-1.0, 1.0, -1.0], [1.0, 1.0, 1.0]];
    CORNERS.iter().map(|&c| V3::from(c)).map(|c| c * f(p + c * step)).sum::<V3>() / (4.0 * step)
}

/// 0 below `a`, 1 above `b`, a smooth cubic between.
pub fn ramp(a: f64, b: f64, x: f64) -> f64 {
    let t = ((x - a) / (b - a)).clamp(0.0, 1.0);
    t * t * (3.0 - 2.0 * t)
}
