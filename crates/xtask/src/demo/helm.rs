//! The helm: a sea guardian's head, with a ship's bow for a nose, gills in the cheeks, a scalloped dome and a crest
//! like a breaking wave.
//!
//! Frame: x to the wearer's left, y to the back (the face looks to −y), z up, the crown's axis through the origin.
//! Ornament is drawn on the surface unrolled about that axis: `u` = angle from the front × 100 mm, `v` = z, and `w`
//! is the height over the surface. The two sides mirror each other.
mod crest;
mod face;
mod form;

use super::relief::lames;
use super::sdf::operations::{raised, ramp, smooth_difference, smooth_intersection, smooth_union};
use super::sdf::{V2, V3};
use form::form;

/// Wall of the plain shell. Common practice for worn props, no source.
pub const WALL_MM: f64 = 3.5;
/// Coarsest grid that keeps the wall whole, mm.
pub const COARSEST_MM: f64 = 1.7;
/// From above into the crest.
pub const SEED: [V3; 2] = [V3::new(0.0, 10.0, 500.0), V3::new(0.0, 10.0, 300.0)];

/// Rounding where ornament meets the shell.
const FILLET_MM: f64 = 1.6;
/// Rounding of cut edges.
const EDGE_MM: f64 = 1.2;

/// Signed distance to the helm, mm.
pub fn distance(p: V3) -> f64 {
    let at = Place::new(p);
    let mut outer = at.w;
    for relief in [face::relief(&at), neck(&at)] {
        outer = smooth_union(outer, relief, FILLET_MM);
    }
    outer = smooth_union(outer, crest::fin(&at), 6.0);
    outer = smooth_union(outer, crest::side_fin(&at), 3.0);
    let hollow = smooth_difference(outer, at.w + WALL_MM, 0.5);
    smooth_intersection(hollow, face::plate(&at), EDGE_MM)
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

/// Overlapping lames on the neck guard, and the strap along the middle that ties them to the crest.
fn neck(at: &Place) -> f64 {
    let (u, v) = (at.uv.x, at.uv.y);
    let cover = ramp(196.0, 206.0, u + 0.25 * v) * ramp(92.0, 84.0, v);
    let lames = at.w - cover * lames(v + 3.0 * (u / 9.0).sin().abs(), 22.0, 2.2);
    let over_the_top = at.p.y > 0.0 || v > 190.0;
    let strap = if over_the_top { raised(at.p.x - 7.0, at.w, -2.0, 3.0, 1.0) } else { f64::INFINITY };
    lames.min(strap)
}
