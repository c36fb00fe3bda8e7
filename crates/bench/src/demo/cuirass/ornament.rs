//! Scales, lames, straps and bosses.
use super::{Place, openings};
use crate::demo::relief::{lames, rivets, scales};
use crate::demo::sdf::curve::Curve;
use crate::demo::sdf::operations::{raised, ramp, smooth_intersection, smooth_union};
use crate::demo::sdf::primitives::spiral_arm;
use crate::demo::sdf::{V2, V3};

/// Height of the line under the scallop over u.
const CHEST: Curve<6> =
    Curve::through([(0.0, 196.0), (30.0, 200.0), (90.0, 226.0), (160.0, 240.0), (230.0, 226.0), (330.0, 214.0)]);
/// Height of the belt's middle line over u.
const BELT: Curve<4> = Curve::through([(0.0, 88.0), (50.0, 98.0), (130.0, 112.0), (330.0, 116.0)]);
/// The two scrolls at the scallop's hinge.
const SCROLL: V2 = V2::new(34.0, 226.0);
const SCROLL_RADIUS_MM: f64 = 21.0;

/// 0 below the line under the scallop, 1 from a little above it.
pub fn above_chest_line(p: V3) -> f64 {
    ramp(6.0, 24.0, p.z - CHEST.at(p.x.atan2(-p.y) * 160.0))
}

/// Height of the scales and lames over the form.
pub fn texture(at: &Place) -> f64 {
    let (u, v) = (at.uv.x, at.uv.y);
    let over_belt = v - BELT.at(u);
    let under_chest = CHEST.at(u) - v;
    let scaled = ramp(2.0, 6.0, over_belt) * ramp(2.0, 6.0, under_chest);
    let lamed = ramp(-2.0, -6.0, over_belt) * ramp(0.0, 6.0, openings::hem(at));
    let mut height = 0.0;
    if scaled > 0.0 {
        height += scaled * scales(u, v, 25.0, 17.0, 2.4);
    }
    if lamed > 0.0 {
        height += lamed * lames(openings::hem(at) + 4.0 * (u * std::f64::consts::PI / 44.0).sin().abs(), 31.0, 2.6);
    }
    height
}

/// Straps, keel and scrolls.
pub fn relief(at: &Place) -> f64 {
    let (uv, w) = (at.uv, at.w);
    if w.abs() > 20.0 {
        return f64::INFINITY;
    }
    let strap = |d: f64, half_width: f64, high: f64| raised(d.abs() - half_width, w, -2.0, high, 0.9);
    let belt = BELT.height_above(uv.x, uv.y);
    let chest = CHEST.height_above(uv.x, uv.y);
    let parts = [
        strap(belt, 9.0, 4.2),
        rivets(uv.x - 12.0, belt, w - 3.8, 24.0, 3.4),
        strap(chest, 5.0, 3.8),
        strap(openings::hem(at) - 4.5, 4.5, 3.6),
        strap(openings::back(at) - 4.5, 4.5, 3.9),
        strap(openings::arm(at) - 5.0, 5.0, 3.0),
        strap(openings::arm(at) - 15.0, 1.6, 2.0),
        strap(openings::neck(at) - 16.0, 2.0, 2.2),
        keel(at),
        scroll(uv, w),
    ];
    parts.into_iter().reduce(|a, b| smooth_union(a, b, 1.0)).unwrap_or(f64::INFINITY)
}

/// The ridge along the middle.
fn keel(at: &Place) -> f64 {
    const HALF_WIDTH: Curve<5> = Curve::through([(0.0, 9.0), (88.0, 11.0), (200.0, 10.0), (300.0, 9.0), (430.0, 6.0)]);
    if at.p.y > 0.0 {
        return f64::INFINITY;
    }
    // A roof section: the ridge in the middle is the highest.
    let roof = (at.p.x - HALF_WIDTH.at(at.p.z)).max((at.w + 0.7 * at.p.x - 7.0) / 1.22).max(-2.0 - at.w);
    smooth_intersection(roof, at.p.z - 460.0, 2.0)
}

/// A disc with a spiral shell.
fn scroll(uv: V2, w: f64) -> f64 {
    let q = uv - SCROLL;
    let r = q.norm();
    let disc = raised(r - SCROLL_RADIUS_MM, w, -2.0, 4.5, 1.5);
    let rim = raised((r - SCROLL_RADIUS_MM + 2.2).abs() - 2.0, w, -2.0, 6.5, 1.2);
    let arm = raised(spiral_arm(q, 4.0, 0.16) - 0.9 - 0.06 * r, w, -2.0, 6.5, 1.0).max(r - SCROLL_RADIUS_MM + 3.0);
    smooth_union(disc.min(rim), arm, 1.0)
}
