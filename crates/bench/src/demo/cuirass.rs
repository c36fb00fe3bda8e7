//! The cuirass: a breastplate with a bow's keel, a scallop over the chest, scales below it and wave-cut lames at the
//! hem; open at the back.
//!
//! Frame: x to the wearer's left, y to the back (the chest looks to −y), z up, hem at 0. Ornament is drawn on the
//! surface unrolled about the z axis: `u` = angle from the front × 160 mm, `v` = z, and `w` is the height over the
//! surface. The two sides mirror each other.
mod form;
mod openings;
mod ornament;

use super::build::Sampling;
use super::sdf::operations::{smooth_difference, smooth_intersection, smooth_union};
use super::sdf::{V2, V3};
use form::form;

/// Wall of the plain shell. Common practice for worn props, no source.
pub const WALL_MM: f64 = 3.5;
/// How it is sampled.
pub const SAMPLING: Sampling =
    Sampling { seed: [V3::new(0.0, -400.0, 150.0), V3::new(0.0, 0.0, 150.0)], coarsest_mm: 1.7, net_mm2: 1.80e6 };

/// Rounding where ornament meets the shell.
const FILLET_MM: f64 = 1.6;
/// Rounding of cut edges.
const EDGE_MM: f64 = 1.2;

/// Signed distance to the cuirass, mm.
pub fn distance(p: V3) -> f64 {
    let at = Place::new(p);
    let mut outer = at.w - ornament::texture(&at);
    outer = smooth_union(outer, ornament::relief(&at), FILLET_MM);
    outer = smooth_union(outer, openings::collar(&at), 9.0);
    let hollow = smooth_difference(outer, at.w + WALL_MM, 0.5);
    smooth_intersection(hollow, openings::plate(&at), EDGE_MM)
}

/// Height over the outer side of the plain wall, without ornament.
#[cfg(test)]
pub fn height_over_plain_wall(p: V3) -> f64 {
    Place::new(p).w
}

/// A place as the parts of the cuirass see it.
#[derive(Debug)]
struct Place {
    /// Mirrored to the left half: x ≥ 0.
    p: V3,
    /// On the unrolled surface.
    uv: V2,
    /// Height over the form.
    w: f64,
}

impl Place {
    fn new(p: V3) -> Place {
        let p = V3::new(p.x.abs(), p.y, p.z);
        Place { p, uv: V2::new(p.x.atan2(-p.y) * 160.0, p.z), w: form(p) }
    }
}
