//! Convex hulls in the plane.

use robust::{Coord, orient2d};

pub(crate) type Point2 = nalgebra::Point2<f64>;

/// Indices of the corners of the convex hull of `points`, counter-clockwise, without points that lie on its edges.
/// Two for points on one line, one for a single place, none for none. Coordinates must be finite.
///
/// Andrew's monotone chain (A. M. Andrew, Information Processing Letters 9(5):216–219, 1979) with exact signs, after
/// leaving out what lies well inside the octagon of the extremes in eight directions (S. G. Akl and G. T. Toussaint,
/// Information Processing Letters 7(5):219–222, 1978).
pub(crate) fn convex_polygon(points: &[Point2]) -> Vec<u32> {
    let mut order = outside_octagon(points);
    let at = |i: u32| points[i as usize];
    order.sort_unstable_by(|&i, &j| {
        let (a, b) = (at(i), at(j));
        a.x.partial_cmp(&b.x).and_then(|o| Some(o.then(a.y.partial_cmp(&b.y)?))).unwrap_or(std::cmp::Ordering::Equal)
    });
    order.dedup_by(|i, j| at(*i) == at(*j));
    if order.len() < 3 {
        return order;
    }
    let mut polygon = chain(points, order.iter().copied());
    polygon.pop();
    polygon.extend(chain(points, order.iter().rev().copied()));
    polygon.pop();
    polygon
}

/// One half of the hull, from the first to the last of the sorted points, turning left only.
fn chain(points: &[Point2], order: impl Iterator<Item = u32>) -> Vec<u32> {
    let mut chain: Vec<u32> = Vec::new();
    for i in order {
        while let [.., a, b] = chain[..] {
            if turns_left(points[a as usize], points[b as usize], points[i as usize]) {
                break;
            }
            chain.pop();
        }
        chain.push(i);
    }
    chain
}

pub(crate) fn turns_left(a: Point2, b: Point2, c: Point2) -> bool {
    orient2d(coord(a), coord(b), coord(c)) > 0.0
}

fn coord(p: Point2) -> Coord<f64> {
    Coord { x: p.x, y: p.y }
}

/// Below this many points sorting them all is quicker than a pass to leave some out.
const FEW: usize = 64;

/// Share of the largest coordinate by which a point must lie inside the octagon to be left out: above the rounding
/// of the distance, so that no corner is lost.
const WELL_INSIDE: f64 = 1e-12;

fn outside_octagon(points: &[Point2]) -> Vec<u32> {
    let all = 0..points.len() as u32;
    if points.len() < FEW {
        return all.collect();
    }
    // In eight directions, counter-clockwise from +x.
    let mut extremes = [(f64::NEG_INFINITY, points[0]); 8];
    let mut largest = 0.0_f64;
    for p in points {
        let (sum, difference) = (p.x + p.y, p.x - p.y);
        let reach = [p.x, sum, p.y, -difference, -p.x, -sum, -p.y, difference];
        for (best, reach) in extremes.iter_mut().zip(reach) {
            if reach > best.0 {
                *best = (reach, *p);
            }
        }
        largest = largest.max(p.x.abs()).max(p.y.abs());
    }
    let mut walls = Vec::with_capacity(8);
    for (k, (_, a)) in extremes.iter().enumerate() {
        let along = extremes[(k + 1) % 8].1 - a;
        let length = along.norm();
        if length > 0.0 {
            let inward = nalgebra::Vector2::new(-along.y, along.x) / length;
            walls.push((inward, inward.dot(&a.coords) + largest * WELL_INSIDE));
        }
    }
    if walls.len() < 3 {
        return all.collect();
    }
    all.filter(|&i| {
        let p = points[i as usize].coords;
        !walls.iter().all(|(inward, offset)| inward.dot(&p) > *offset)
    })
    .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn corners(points: &[(f64, f64)]) -> Vec<(f64, f64)> {
        let points: Vec<Point2> = points.iter().map(|&(x, y)| Point2::new(x, y)).collect();
        convex_polygon(&points).into_iter().map(|i| (points[i as usize].x, points[i as usize].y)).collect()
    }

    #[test]
    fn few_points_have_few_corners() {
        assert!(corners(&[]).is_empty());
        assert_eq!(corners(&[(1.0, 2.0), (1.0, 2.0)]), [(1.0, 2.0)]);
        assert_eq!(corners(&[(0.0, 0.0), (2.0, 2.0), (1.0, 1.0)]), [(0.0, 0.0), (2.0, 2.0)]);
    }

    #[test]
    fn a_square_with_points_on_its_edges_has_four_corners() {
        let square = [(0.0, 0.0), (1.0, 0.0), (2.0, 0.0), (2.0, 1.0), (2.0, 2.0), (1.0, 2.0), (0.0, 2.0), (-0.0, 1.0)];
        assert_eq!(corners(&square), [(0.0, 0.0), (2.0, 0.0), (2.0, 2.0), (0.0, 2.0)]);
    }

    proptest! {
        #[test]
        fn no_point_lies_outside(points in prop::collection::vec((-9_i32..9, -9_i32..9), 1..300)) {
            let points: Vec<Point2> = points.iter().map(|&(x, y)| Point2::new(x.into(), y.into())).collect();
            let polygon = convex_polygon(&points);
            for k in 0..polygon.len() {
                let [a, b] = [k, (k + 1) % polygon.len()].map(|k| points[polygon[k] as usize]);
                for &p in &points {
                    prop_assert!(a == b || !turns_left(b, a, p));
                }
            }
        }
    }
}
