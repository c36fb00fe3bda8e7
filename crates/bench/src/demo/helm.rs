//! The helm: a sea guardian's head, with a ship's bow for a nose, gills in the cheeks, a scalloped dome and a crest
//! like a breaking wave.
//!
//! Frame: x to the wearer's left, y to the back (the face looks to −y), z up, the crown's axis through the origin.
//! Ornament is drawn on the surface unrolled about that axis: `u` = angle from the front × 100 mm, `v` = z, and `w`
//! is the height over the surface. The two sides mirror each other.
mod crest;
mod face;
mod form;

use super::build::Sampling;
use super::relief::lames;
use super::sdf::operations::{raised, ramp, smooth_difference, smooth_intersection, smooth_union};
use super::sdf::{V2, V3};
use form::form;

/// Wall of the plain shell. Common practice for worn props, no source.
pub const WALL_MM: f64 = 3.5;
/// How it is sampled.
pub const SAMPLING: Sampling =
    Sampling { seed: [V3::new(0.0, 10.0, 500.0), V3::new(0.0, 10.0, 300.0)], coarsest_mm: 1.7, net_mm2: 1.152e6 };

/// Rounding where ornament meets the shell.
const FILLET_MM: f64 = 1.6;
/// Rounding of cut edges.
const EDGE_MM: f64 = 1.2;

/// Signed distance to the helm, mm.
pub fn distance(p: V3) -> f64 {
    let at = Place::new(p);
    let mut outer = at.w - neck_lames(&at);
    for relief in [face::relief(&at), middle_strap(&at)] {
        outer = smooth_union(outer, relief, FILLET_MM);
    }
    outer = smooth_union(outer, crest::fin(&at), 6.0);
    outer = smooth_union(outer, crest::side_fin(&at), 3.0);
    let hollow = smooth_difference(outer, at.w + WALL_MM, 0.5);
    smooth_intersection(hollow, face::plate(&at), EDGE_MM)
}

/// Height over the outer side of the plain wall, without ornament.
#[cfg(test)]
pub fn height_over_plain_wall(p: V3) -> f64 {
    Place::new(p).w
}

/// A place as the parts of the helm see it.
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
        Place { p, uv: V2::new(p.x.atan2(-p.y) * 100.0, p.z), w: form(p) }
    }
}

/// Height of the overlapping lames on the neck guard.
fn neck_lames(at: &Place) -> f64 {
    let (u, v) = (at.uv.x, at.uv.y);
    let cover = ramp(196.0, 206.0, u + 0.25 * v) * ramp(92.0, 84.0, v);
    if cover == 0.0 { 0.0 } else { cover * lames(v + 3.0 * (u / 9.0).sin().abs(), 22.0, 2.2) }
}

/// The strap along the middle, from the brow over the top to the neck.
fn middle_strap(at: &Place) -> f64 {
    let over_the_top = at.p.y > 0.0 || at.uv.y > 190.0;
    if over_the_top { raised(at.p.x - 7.0, at.w, -2.0, 3.0, 1.0) } else { f64::INFINITY }
}
