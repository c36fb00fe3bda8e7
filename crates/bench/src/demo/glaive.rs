//! The glaive: a curved blade with a spine ridge and a fuller over a guard of two curling waves, on a round haft with
//! rings, rope grips and a whelk for a pommel; 1.9 m long, solid.
//!
//! Frame: z along the haft with the pommel at 0 and the point at 1900; the blade lies in the plane y = 0 with its edge
//! towards +x.
mod blade;
mod guard;
mod haft;

use super::build::Sampling;
use super::sdf::V3;
use super::sdf::operations::smooth_union;

/// How it is sampled.
pub const SAMPLING: Sampling =
    Sampling { seed: [V3::new(100.0, 0.0, 600.0), V3::new(0.0, 0.0, 600.0)], coarsest_mm: 1.1, net_mm2: 6.83e5 };

/// Signed distance to the glaive, mm.
pub fn distance(p: V3) -> f64 {
    let p = V3::new(p.x, p.y.abs(), p.z);
    let haft = haft::haft(p);
    if p.z < guard::FROM_MM - 20.0 {
        return haft;
    }
    smooth_union(smooth_union(haft, guard::guard(p), 5.0), blade::blade(p), 8.0)
}
