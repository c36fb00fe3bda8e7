//! Simple shapes.
use super::{V2, V3};

/// A ball around the origin.
pub fn ball(p: V3, radius: f64) -> f64 {
    p.norm() - radius
}

/// An ellipsoid around the origin with half-axes `r`; a first-order estimate, exact in sign.
pub fn ellipsoid(p: V3, r: V3) -> f64 {
    let k0 = p.component_div(&r).norm();
    let k1 = p.component_div(&r.component_mul(&r)).norm();
    if k1 < 1e-12 { -r.min() } else { k0 * (k0 - 1.0) / k1 }
}

/// A ring about the z axis at height 0: circle of radius `major`, thickness radius `minor`.
pub fn ring(p: V3, major: f64, minor: f64) -> f64 {
    (p.xy().norm() - major).hypot(p.z) - minor
}

/// A stick with round ends from `a` to `b`, its radius going from `ra` to `rb`.
pub fn stick(p: V3, a: V3, b: V3, ra: f64, rb: f64) -> f64 {
    let t = ((p - a).dot(&(b - a)) / (b - a).norm_squared()).clamp(0.0, 1.0);
    (p - a - (b - a) * t).norm() - (ra + (rb - ra) * t)
}

/// A flat stick with round ends.
pub fn stick2(p: V2, a: V2, b: V2, radius: f64) -> f64 {
    let t = ((p - a).dot(&(b - a)) / (b - a).norm_squared()).clamp(0.0, 1.0);
    (p - a - (b - a) * t).norm() - radius
}

/// Distance to the nearest arm of the logarithmic spiral r = `start` · exp(`growth` · angle) around the origin.
pub fn spiral_arm(p: V2, start: f64, growth: f64) -> f64 {
    let r = p.norm().max(1e-9);
    let pitch = std::f64::consts::TAU * growth;
    let turns = ((r / start).ln() - growth * p.y.atan2(p.x)) / pitch;
    r * ((turns - turns.round()) * pitch).abs() / 1.0f64.hypot(growth)
}
