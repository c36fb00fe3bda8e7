//! Convex hulls in the plane.

use robust::{Coord, orient2d};

pub(crate) type Point2 = nalgebra::Point2<f64>;

/// The corners of the convex hull of `points`, counter-clockwise from the leftmost, without points that lie on its
/// edges. Two for points on one line, one for a single place, none for none. Coordinates must be finite.
///
/// Andrew's monotone chain (A. M. Andrew, Information Processing Letters 9(5):216–219, 1979) with exact signs, after
/// leaving out what lies well inside the octagon of the extremes in eight directions (S. G. Akl and G. T. Toussaint,
/// Information Processing Letters 7(5):219–222, 1978).
pub(crate) fn convex_polygon(points: Vec<Point2>) -> Vec<Point2> {
    corners_of(points, |p| *p)
}

/// The same as indices into `points`.
pub(crate) fn convex_polygon_indices(points: &[Point2]) -> Vec<u32> {
    corners_of((0..points.len() as u32).collect(), |&i| points[i as usize])
}

fn corners_of<T: Copy>(mut items: Vec<T>, at: impl Fn(&T) -> Point2 + Copy) -> Vec<T> {
    leave_out_inner(&mut items, at);
    items.sort_unstable_by(|i, j| {
        let (a, b) = (at(i), at(j));
        a.x.partial_cmp(&b.x).and_then(|o| Some(o.then(a.y.partial_cmp(&b.y)?))).unwrap_or(std::cmp::Ordering::Equal)
    });
    items.dedup_by(|i, j| at(i) == at(j));
    if items.len() < 3 {
        return items;
    }
    let mut polygon = chain(items.iter().copied(), at);
    polygon.pop();
    polygon.extend(chain(items.iter().rev().copied(), at));
    polygon.pop();
    polygon
}

/// One half of the hull, from the first to the last of the sorted points, turning left only.
fn chain<T: Copy>(sorted: impl Iterator<Item = T>, at: impl Fn(&T) -> Point2) -> Vec<T> {
    let mut chain: Vec<T> = Vec::new();
    for item in sorted {
        while let [.., a, b] = &chain[..] {
            if turns_left(at(a), at(b), at(&item)) {
                break;
            }
            chain.pop();
        }
        chain.push(item);
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

fn leave_out_inner<T>(items: &mut Vec<T>, at: impl Fn(&T) -> Point2) {
    if items.len() < FEW {
        return;
    }
    // In eight directions, counter-clockwise from +x.
    let mut extremes = [(f64::NEG_INFINITY, at(&items[0])); 8];
    let mut largest = 0.0_f64;
    for item in items.iter() {
        let p = at(item);
        let (sum, difference) = (p.x + p.y, p.x - p.y);
        let reach = [p.x, sum, p.y, -difference, -p.x, -sum, -p.y, difference];
        for (best, reach) in extremes.iter_mut().zip(reach) {
            if reach > best.0 {
                *best = (reach, p);
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
    if walls.len() >= 3 {
        items.retain(|item| {
            let p = at(item).coords;
            !walls.iter().all(|(inward, offset)| inward.dot(&p) > *offset)
        });
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn corners(points: &[(f64, f64)]) -> Vec<(f64, f64)> {
        let points: Vec<Point2> = points.iter().map(|&(x, y)| Point2::new(x, y)).collect();
        convex_polygon(points).into_iter().map(|p| (p.x, p.y)).collect()
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
            let polygon = convex_polygon_indices(&points);
            prop_assert_eq!(convex_polygon(points.clone()).len(), polygon.len());
            for k in 0..polygon.len() {
                let [a, b] = [k, (k + 1) % polygon.len()].map(|k| points[polygon[k] as usize]);
                for &p in &points {
                    prop_assert!(a == b || !turns_left(b, a, p));
                }
            }
        }
    }
}
