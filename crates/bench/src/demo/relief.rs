//! Ornament in relief: flat shapes on an unrolled surface, `u` around and `v` up, in mm.
use super::sdf::operations::ramp;
use super::sdf::{V2, V3};

/// A slender leaf from -`half_length` to +`half_length` along the first axis, `up` and `down` high in the middle.
pub fn leaf(p: V2, half_length: f64, up: f64, down: f64) -> f64 {
    let s = p.x / half_length;
    let bulge = 1.0 - s * s;
    let d = (p.y - up * bulge).max(-down * bulge - p.y);
    d / 1.0f64.hypot(2.0 * s.clamp(-1.0, 1.0) * up.max(down) / half_length)
}

/// `p` in a frame with its origin at `at`, turned by `angle_deg` against the u axis.
pub fn local(p: V2, at: V2, angle_deg: f64) -> V2 {
    nalgebra::Rotation2::new(-angle_deg.to_radians()) * (p - at)
}

/// Height of overlapping lames, rows of `row_mm` with the lower edge of each standing out by `lift_mm`.
pub fn lames(v: f64, row_mm: f64, lift_mm: f64) -> f64 {
    /// Share of a row over which the step at a lame's edge slopes, so that it prints.
    const STEP: f64 = 0.1;
    let f = (v / row_mm).rem_euclid(1.0);
    lift_mm * if f < 1.0 - STEP { 1.0 - f / (1.0 - STEP) } else { (f - 1.0 + STEP) / STEP }
}

/// A row of round heads of `radius` along a line, every `spacing` mm; `along` and `across` are measured from that
/// line, `w` is the height over the surface, in which the heads are sunk by half.
pub fn rivets(along: f64, across: f64, w: f64, spacing: f64, radius: f64) -> f64 {
    let a = along - (along / spacing).round() * spacing;
    V3::new(a, across, w).norm() - radius
}

/// The concave cut between the rays of a fin: 0 at each ray (whole numbers), 1 half-way.
pub fn scallop(s: f64) -> f64 {
    let f = s.rem_euclid(1.0);
    4.0 * f * (1.0 - f)
}

/// 1 on a ray of a fin (whole numbers of `s`), falling to 0 at `half_width` beside it.
pub fn ray(s: f64, half_width: f64) -> f64 {
    1.0 - ramp(0.0, half_width, (s - s.round()).abs())
}

/// Height of overlapping fish scales, `wide_mm` broad in rows `row_mm` apart, tips standing out by `lift_mm`.
pub fn scales(u: f64, v: f64, wide_mm: f64, row_mm: f64, lift_mm: f64) -> f64 {
    /// Length of a scale in rows, and the width over which its edge slopes, so that it prints.
    const LENGTH: f64 = 1.9;
    const EDGE_MM: f64 = 1.6;
    let first = (v / row_mm).floor();
    let of_row = |row: f64| {
        let shift = if row.rem_euclid(2.0) < 0.5 { 0.0 } else { 0.5 };
        let du = u - ((u / wide_mm - shift).round() + shift) * wide_mm;
        // The scale hangs from the upper end of its row's strip.
        let down = (row * row_mm - v) / (LENGTH * row_mm);
        let half = 0.54 * wide_mm;
        let (x, y) = (du / half, (down - 0.35).max(0.0) / 0.65);
        let inside_mm = (1.0 - x.hypot(y)) * half;
        let keel = 0.35 * (1.0 - du.abs() / 4.0).max(0.0);
        lift_mm * (0.25 + 0.75 * down.clamp(0.0, 1.0) + keel * ramp(0.0, 0.4, down)) * ramp(0.0, EDGE_MM, inside_mm)
    };
    (1..=3).map(|k| first + f64::from(k)).map(of_row).fold(0.0, f64::max)
}
