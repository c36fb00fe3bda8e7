//! Openings, straps and plates of the face.
use super::Place;
use crate::demo::relief::{leaf, local, rivets};
use crate::demo::sdf::curve::Curve;
use crate::demo::sdf::operations::{raised, ramp, smooth_intersection, smooth_union};
use crate::demo::sdf::primitives::{spiral_arm, stick2};
use crate::demo::sdf::{V2, V3};

/// Middle of the ear boss.
pub const EAR_MM: V3 = V3::new(95.0, 0.0, 150.0);
/// The boss on the unrolled surface.
const EAR_UV: V2 = V2::new(157.0, 150.0);
const EAR_RADIUS_MM: f64 = 27.0;

/// Height of the brow strap's middle line over u.
const BROW: Curve<7> = Curve::through([
    (0.0, 172.0),
    (22.0, 183.0),
    (60.0, 192.0),
    (105.0, 184.0),
    (157.0, 160.0),
    (200.0, 166.0),
    (314.0, 186.0),
]);
/// Height of the lower edge over u: cheek points, a dip over the shoulder, the neck guard.
const HEM: Curve<8> = Curve::through([
    (0.0, 6.0),
    (30.0, 0.0),
    (52.0, 4.0),
    (100.0, 36.0),
    (140.0, 50.0),
    (180.0, 38.0),
    (225.0, 6.0),
    (255.0, 0.0),
]);
/// Upper edge of the cheek plates over u.
const CHEEK: Curve<6> =
    Curve::through([(0.0, 84.0), (16.0, 100.0), (40.0, 124.0), (70.0, 132.0), (100.0, 128.0), (140.0, 100.0)]);
/// Half-width of the gap between the cheek plates over v; it closes under the nose ridge.
const GAP: Curve<5> = Curve::through([(0.0, 24.0), (30.0, 13.0), (64.0, 8.5), (86.0, 5.0), (98.0, 0.0)]);

/// 0 below the brow strap, 1 from a little above it.
pub fn above_brow(p: V3) -> f64 {
    let u = p.x.atan2(-p.y) * 100.0;
    ramp(8.0, 22.0, p.z - BROW.at(u))
}

/// The shape of the wall on the unrolled surface: negative where there is wall, positive in openings and below the
/// hem.
pub fn plate(at: &Place) -> f64 {
    let uv = at.uv;
    let hem = -HEM.height_above(uv.x, uv.y);
    let gills = (0..3).map(|i| gill(uv, f64::from(i))).fold(f64::INFINITY, f64::min);
    hem.max(-eye(uv)).max(-gap(uv)).max(-gills)
}

/// Straps, plates and the ear boss.
pub fn relief(at: &Place) -> f64 {
    let (uv, w) = (at.uv, at.w);
    if w.abs() > 20.0 {
        return f64::INFINITY;
    }
    let strap = |d: f64, half_width: f64, high: f64| raised(d.abs() - half_width, w, -2.0, high, 0.9);
    let brow_line = BROW.height_above(uv.x, uv.y);
    let parts = [
        strap(brow_line, 6.0, 3.2),
        rivets(uv.x - 8.0, brow_line, w - 2.8, 16.0, 2.6),
        strap(eye(uv) - 3.0, 2.6, 2.2),
        strap(gap(uv) - 3.5, 3.5, 2.4),
        strap(HEM.height_above(uv.x, uv.y) - 4.0, 4.0, 2.6),
        cheek(uv, w),
        nasal(at),
        boss(uv, w),
    ];
    parts.into_iter().reduce(|a, b| smooth_union(a, b, 1.0)).unwrap_or(f64::INFINITY)
}

fn eye(uv: V2) -> f64 {
    leaf(local(uv, V2::new(45.0, 157.0), 19.0), 34.0, 6.0, 10.0)
}

fn gap(uv: V2) -> f64 {
    let (half_width, slope) = GAP.value_and_slope(uv.y);
    (uv.x - half_width) / 1.0f64.hypot(slope)
}

fn gill(uv: V2, i: f64) -> f64 {
    let foot = V2::new(46.0 + 15.0 * i, 44.0 + 11.0 * i);
    stick2(uv, foot, foot + V2::new(13.0, 42.0 - 4.0 * i), 3.2)
}

fn cheek(uv: V2, w: f64) -> f64 {
    let shape = smooth_intersection(-(-CHEEK.height_above(uv.x, uv.y)), uv.x - 118.0 + 0.2 * (uv.y - 60.0), 14.0);
    let slab = raised(shape, w, -2.0, 2.0, 0.8);
    let line = raised((shape + 5.0).abs() - 1.8, w, -2.0, 3.6, 0.8);
    smooth_union(slab, line, 1.0)
}

/// The raised nose ridge, running out in a point over the gap.
fn nasal(at: &Place) -> f64 {
    const HALF_WIDTH: Curve<5> = Curve::through([(84.0, 2.0), (104.0, 7.0), (150.0, 8.0), (186.0, 11.0), (250.0, 0.0)]);
    if at.p.y > 0.0 {
        return f64::INFINITY;
    }
    let v = at.uv.y;
    let half_width = HALF_WIDTH.at(v);
    // A roof section: the ridge in the middle is the highest.
    let height = 7.5 - 2.5 * ramp(190.0, 250.0, v);
    let roof = (at.p.x - half_width).max((at.w + 0.9 * at.p.x - height) / 1.35).max(-2.0 - at.w);
    smooth_intersection(roof, (v - 248.0).max(82.0 - v), 2.0)
}

/// A disc over the ear with a spiral shell.
fn boss(uv: V2, w: f64) -> f64 {
    let q = uv - EAR_UV;
    let r = q.norm();
    let disc = raised(r - EAR_RADIUS_MM, w, -2.0, 4.0, 1.5);
    let rim = raised((r - EAR_RADIUS_MM + 2.5).abs() - 2.2, w, -2.0, 6.0, 1.2);
    let arm = raised(spiral_arm(q, 4.0, 0.16) - 1.0 - 0.06 * r, w, -2.0, 6.0, 1.0).max(r - EAR_RADIUS_MM + 3.0);
    smooth_union(disc.min(rim), arm, 1.0)
}
