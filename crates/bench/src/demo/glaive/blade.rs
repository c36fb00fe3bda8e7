//! The blade.
use crate::demo::sdf::V3;
use crate::demo::sdf::curve::Curve;
use crate::demo::sdf::operations::{first_order, ramp, smooth_difference, smooth_intersection, smooth_union};

/// Where the blade's back and edge are over the height. They cross at the point.
const BACK: Curve<7> = Curve::through([
    (1290.0, -22.0),
    (1400.0, -20.0),
    (1540.0, -17.0),
    (1680.0, -27.0),
    (1800.0, -48.0),
    (1900.0, -76.0),
    (1960.0, -98.0),
]);
const EDGE: Curve<12> = Curve::through([
    (1290.0, 20.0),
    (1335.0, 24.0),
    (1365.0, 40.0),
    (1400.0, 49.0),
    (1500.0, 56.0),
    (1600.0, 57.0),
    (1700.0, 46.0),
    (1780.0, 25.0),
    (1840.0, -4.0),
    (1880.0, -38.0),
    (1900.0, -76.0),
    (1915.0, -150.0),
]);
const ROOT_MM: f64 = 1290.0;
/// Half the thickness at the ridge and at the edge: the edge stays blunt, so that it prints and harms nobody.
const RIDGE_MM: f64 = 7.0;
const BLUNT_MM: f64 = 1.0;
/// Distance of the fuller's middle line from the back, and half its width and depth.
const FULLER_MM: f64 = 25.0;
const FULLER_HALF_WIDTH_MM: f64 = 8.0;
const FULLER_DEPTH_MM: f64 = 2.6;
/// Round lights through the blade: distance from the back, height, radius.
const LIGHTS: [[f64; 3]; 3] = [[25.0, 1748.0, 6.0], [24.0, 1770.0, 4.8], [22.0, 1788.0, 3.6]];

/// Signed distance to the blade.
pub fn blade(p: V3) -> f64 {
    if p.y > 20.0 {
        return p.y - RIDGE_MM;
    }
    let flat = V3::new(p.x, 0.0, p.z);
    let outline = outline(flat);
    let faces = first_order(p, |q| q.y.abs() - half_thickness(q));
    let solid = smooth_intersection(outline, faces, 1.0);
    LIGHTS.iter().fold(solid, |d, &[from_back, z, radius]| {
        let hole = (p.x - BACK.at(z) - from_back).hypot(p.z - z) - radius;
        smooth_difference(d, hole, 1.0)
    })
}

fn outline(p: V3) -> f64 {
    let blade = first_order(p, |q| (BACK.at(q.z) - q.x).max(q.x - EDGE.at(q.z)));
    let blade = blade.max(ROOT_MM - p.z);
    smooth_union(blade, spur(p), 14.0)
}

/// The breaking wave on the back.
fn spur(p: V3) -> f64 {
    let disc = |x: f64, z: f64, r: f64| (p.x - x).hypot(p.z - z) - r;
    smooth_difference(disc(-22.0, 1452.0, 44.0), disc(-46.0, 1486.0, 45.0), 2.0).max(p.x)
}

fn half_thickness(p: V3) -> f64 {
    let from_back = p.x - BACK.at(p.z);
    let from_edge = EDGE.at(p.z) - p.x;
    let bevel = BLUNT_MM + 0.18 * from_edge;
    let back = 3.4 + 0.34 * from_back;
    let plain = smooth_intersection(RIDGE_MM, RIDGE_MM, 1.0).min(bevel.min(back));
    let across = (from_back - FULLER_MM) / FULLER_HALF_WIDTH_MM;
    let along = ramp(1385.0, 1410.0, p.z) * ramp(1738.0, 1700.0, p.z);
    plain.clamp(BLUNT_MM, RIDGE_MM) - FULLER_DEPTH_MM * along * (1.0 - across * across).max(0.0)
}
