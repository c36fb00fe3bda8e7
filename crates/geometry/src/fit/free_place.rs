//! Whether walls and zones leave any place with a given clearance, and so, by halving, the greatest one.
//!
//! For a clearance c the shifts that walls allow are a convex polygon, and each zone forbids the inside of another one.
//! What is left shrinks as c grows, so that c can be halved upon. Whatever is left is bounded by straight pieces of those
//! polygons, and where it ends in every direction it has a corner: of two walls, of a wall and a zone's line, or of lines
//! of two zones. So a look at those corners tells whether anything is left.

use super::walls::Wall;
use nalgebra::Vector2;

/// A corner counts as free when it lies in a zone or wall by no more than this, mm: rounding of corners a metre away, of
/// lines that meet at a thousandth of a degree, is below.
const ON_EDGE_MM: f64 = 1e-7;

/// A place with a clearance of `clearance` between walls and clear of zones, if there is one. The walls must enclose
/// something.
pub(super) fn free_place(walls: &[Wall], zones: &[Vec<Wall>], clearance: f64) -> Option<Vector2<f64>> {
    let within = allowed(walls, clearance)?;
    let (low, high) = extent(&within)?;
    let forbidden: Vec<Vec<Vector2<f64>>> =
        zones.iter().map(|zone| forbidden(zone, clearance, low, high)).filter(|polygon| polygon.len() > 2).collect();
    let is_beyond = |zone: &Vec<Wall>, p: &Vector2<f64>| zone.iter().any(|line| line.left(p) >= clearance - ON_EDGE_MM);
    let is_clear = |p: &&Vector2<f64>| zones.iter().all(|zone| is_beyond(zone, p));
    let is_within = |p: &&Vector2<f64>| walls.iter().all(|wall| wall.left(p) >= clearance - ON_EDGE_MM);
    if let Some(corner) = within.iter().find(is_clear) {
        return Some(*corner);
    }
    for (k, zone) in forbidden.iter().enumerate() {
        if let Some(place) = crossings(&within, zone).iter().find(is_clear) {
            return Some(*place);
        }
        for other in &forbidden[..k] {
            if let Some(place) = crossings(other, zone).iter().find(|p| is_clear(p) && is_within(p)) {
                return Some(*place);
            }
        }
    }
    None
}

/// The corners, in order, of what walls allow with a clearance: those of a polygon cut by each wall in turn.
fn allowed(walls: &[Wall], clearance: f64) -> Option<Vec<Vector2<f64>>> {
    /// Beyond every shift: beds are metres at most.
    const FAR_MM: f64 = 1e5;
    let mut polygon = rectangle(Vector2::repeat(-FAR_MM), Vector2::repeat(FAR_MM));
    for wall in walls {
        polygon = cut(&polygon, wall, clearance);
    }
    (!polygon.is_empty()).then_some(polygon)
}

/// The corners of what a zone forbids with a clearance, within and around an extent.
fn forbidden(zone: &[Wall], clearance: f64, low: Vector2<f64>, high: Vector2<f64>) -> Vec<Vector2<f64>> {
    let around = (high - low) + Vector2::repeat(1.0);
    let mut polygon = rectangle(low - around, high + around);
    for line in zone {
        let other_side = Wall { normal: -line.normal, at_most: clearance - line.at_most };
        polygon = cut(&polygon, &other_side, 0.0);
        if polygon.is_empty() {
            break;
        }
    }
    polygon
}

fn rectangle(low: Vector2<f64>, high: Vector2<f64>) -> Vec<Vector2<f64>> {
    vec![low, Vector2::new(high.x, low.y), high, Vector2::new(low.x, high.y)]
}

fn extent(points: &[Vector2<f64>]) -> Option<(Vector2<f64>, Vector2<f64>)> {
    points.iter().map(|p| (*p, *p)).reduce(|(low, high), (p, q)| (low.inf(&p), high.sup(&q)))
}

/// The part of a convex polygon that leaves `clearance` to a wall.
fn cut(polygon: &[Vector2<f64>], wall: &Wall, clearance: f64) -> Vec<Vector2<f64>> {
    let left: Vec<f64> = polygon.iter().map(|p| wall.left(p) - clearance).collect();
    if left.iter().all(|left| *left >= 0.0) {
        return polygon.to_vec();
    }
    let mut kept = Vec::with_capacity(polygon.len() + 1);
    for k in 0..polygon.len() {
        let next = (k + 1) % polygon.len();
        if left[k] >= 0.0 {
            kept.push(polygon[k]);
        }
        if (left[k] >= 0.0) != (left[next] >= 0.0) {
            let along = left[k] / (left[k] - left[next]);
            kept.push(polygon[k] + (polygon[next] - polygon[k]) * along);
        }
    }
    kept
}

/// Where the edges of one convex polygon enter and leave another.
fn crossings(edges: &[Vector2<f64>], other: &[Vector2<f64>]) -> Vec<Vector2<f64>> {
    let sides: Vec<Wall> = other.iter().zip(other.iter().cycle().skip(1)).filter_map(|(a, b)| side(a, b)).collect();
    let mut found = Vec::new();
    for (a, b) in edges.iter().zip(edges.iter().cycle().skip(1)) {
        let (mut from, mut to) = (0.0_f64, 1.0_f64);
        let along = b - a;
        for side in &sides {
            let (left, falls) = (side.left(a), side.normal.dot(&along));
            let at = left / falls;
            if falls > 0.0 {
                to = to.min(at);
            } else if falls < 0.0 {
                from = from.max(at);
            } else if left < -ON_EDGE_MM {
                to = f64::NEG_INFINITY;
            }
            if from > to {
                break;
            }
        }
        if from <= to {
            found.extend([from, to].map(|t| a + along * t));
        }
    }
    found
}

/// The side of a polygon, counter-clockwise, with its inside left of it.
fn side(a: &Vector2<f64>, b: &Vector2<f64>) -> Option<Wall> {
    let normal = Vector2::new(b.y - a.y, a.x - b.x).try_normalize(0.0)?;
    Some(Wall { normal, at_most: normal.dot(a) })
}

#[cfg(test)]
mod tests {
    use super::super::walls::walls_of;
    use super::super::zones::lines_between;
    use super::*;
    use crate::hull::{Point2, convex_polygon};
    use proptest::prelude::*;

    fn corners() -> impl Strategy<Value = Vec<Point2>> {
        let points = prop::collection::vec([-1.0_f64..1.0, -1.0_f64..1.0], 6..20);
        points.prop_map(|points| convex_polygon(points.into_iter().map(Point2::from).collect()))
    }

    proptest! {
        #[test]
        fn a_free_place_has_the_clearance_asked_for_and_without_one_no_place_has_more(
            bed in corners(), footprint in corners(), posts in prop::collection::vec((corners(), -30.0..30.0, -30.0..30.0), 1..4),
            clearance in -6.0_f64..6.0,
        ) {
            let scaled = |corners: &[Point2], by: f64| -> Vec<Point2> { corners.iter().map(|p| p * by).collect() };
            let (bed, footprint) = (scaled(&bed, 60.0), scaled(&footprint, 20.0));
            prop_assume!(bed.len() > 2 && footprint.len() > 2);
            let reach = |n: &Vector2<f64>| footprint.iter().map(|p| n.dot(&p.coords)).fold(f64::NEG_INFINITY, f64::max);
            let walls: Vec<Wall> =
                walls_of(&bed, 0.0).into_iter().map(|w| Wall { at_most: w.at_most - reach(&w.normal), ..w }).collect();
            let zone = |(corners, x, y): &(Vec<Point2>, f64, f64)| {
                let moved: Vec<Point2> = scaled(corners, 8.0).iter().map(|p| p + Vector2::new(*x, *y)).collect();
                lines_between(&moved, &footprint)
            };
            let zones: Vec<Vec<Wall>> = posts.iter().filter(|post| post.0.len() > 2).map(zone).collect();
            let left = |p: &Vector2<f64>| {
                let beyond = |zone: &Vec<Wall>| zone.iter().map(|l| l.left(p)).fold(f64::NEG_INFINITY, f64::max);
                let walls = walls.iter().map(|w| w.left(p)).fold(f64::INFINITY, f64::min);
                zones.iter().map(beyond).fold(walls, f64::min)
            };
            if let Some(place) = free_place(&walls, &zones, clearance) {
                prop_assert!(left(&place) >= clearance - 1e-6);
            } else {
                for (x, y) in (-60..=60).flat_map(|x| (-60..=60).map(move |y| (x, y))) {
                    let there = left(&Vector2::new(f64::from(x), f64::from(y)));
                    prop_assert!(there <= clearance + 1e-6, "{there} at {x}, {y}");
                }
            }
        }
    }
}
