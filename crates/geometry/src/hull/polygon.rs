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

/// A convex polygon that is asked which points it holds.
#[derive(Clone, Debug, Default)]
pub(crate) struct Holder {
    /// From the leftmost to the rightmost corner below, each to the right of the one before; the last may be above the
    /// one before.
    below: Vec<Point2>,
    /// From the leftmost to the rightmost corner above; the second may be above the first.
    above: Vec<Point2>,
    /// What it surely holds, told so that most questions are answered by a look.
    inner: Strips,
}

/// Upright strips of the same width, each with heights between which all of it lies in a polygon.
#[derive(Clone, Debug, Default)]
struct Strips {
    left: f64,
    per_mm: f64,
    heights: Vec<[f64; 2]>,
}

/// Strips of a polygon: so many that little of it lies in none. Our own choice, no source.
const STRIPS: usize = 64;
/// Share of the largest coordinate that strips stay away from the rim: far above all rounding. Our own choice, no source.
const AWAY: f64 = 1e-9;

impl Strips {
    /// Of the lower and upper chain of a polygon, from left to right.
    fn between(below: &[Point2], above: &[Point2]) -> Strips {
        let (Some(left), Some(right)) = (below.first(), above.last()) else { return Strips::default() };
        let per_mm = STRIPS as f64 / (right.x - left.x);
        if !per_mm.is_finite() {
            return Strips::default();
        }
        let largest = below.iter().chain(above).fold(0.0, |most: f64, p| most.max(p.x.abs()).max(p.y.abs()));
        let away = AWAY * largest;
        let at = |i: usize| left.x + i as f64 / per_mm;
        let (low, high) = (heights(below, at), heights(above, at));
        // Between two places a chain lies within the polygon of where it is at both; one place more to either side is for
        // rounding of which strip something falls into.
        let around = |i: usize| i.saturating_sub(1)..=(i + 2).min(STRIPS);
        let strip = |i: usize| {
            let lowest = around(i).map(|i| low[i]).fold(f64::NEG_INFINITY, f64::max);
            let highest = around(i).map(|i| high[i]).fold(f64::INFINITY, f64::min);
            [lowest + away, highest - away]
        };
        Strips { left: left.x, per_mm, heights: (0..STRIPS).map(strip).collect() }
    }

    fn holds(&self, p: Point2) -> bool {
        let strip = ((p.x - self.left) * self.per_mm) as usize;
        self.heights.get(strip).is_some_and(|[low, high]| p.y >= *low && p.y <= *high)
    }
}

/// Heights of a chain at the ends of strips.
fn heights(chain: &[Point2], at: impl Fn(usize) -> f64) -> Vec<f64> {
    let mut k = 1;
    let height = |i: usize| {
        let x = at(i);
        while k + 1 < chain.len() && chain[k].x < x {
            k += 1;
        }
        let (Some(a), Some(b)) = (chain.get(k - 1), chain.get(k)) else { return f64::NAN };
        // An upright edge, at one of the ends, is told from its inner end by the strip beside it.
        let share = ((x - a.x) / (b.x - a.x)).clamp(0.0, 1.0);
        if share.is_nan() { a.y } else { a.y + (b.y - a.y) * share }
    };
    (0..=STRIPS).map(height).collect()
}

impl Holder {
    /// Of corners as [`convex_polygon`] gives them.
    pub fn of(corners: &[Point2]) -> Holder {
        let right = (0..corners.len()).fold(0, |best, k| {
            let (a, b) = (corners[k], corners[best]);
            if (a.x, a.y) > (b.x, b.y) { k } else { best }
        });
        let Some(&first) = corners.first() else { return Holder::default() };
        let above: Vec<Point2> = std::iter::once(first).chain(corners[right..].iter().rev().copied()).collect();
        let below = corners[..=right].to_vec();
        let inner = Strips::between(&below, &above);
        Holder { below, above, inner }
    }

    /// Whether it holds `p`, rim included; nothing is held by fewer than three corners. A point outside is held too if
    /// it is seen to be no farther than `tolerance` from the edge above or below it.
    ///
    /// Signs are exact, which they must be: with rounded signs, a point far beyond a corner that lies almost on the
    /// line between its neighbours would be taken as held.
    pub fn holds(&self, p: Point2, tolerance: f64) -> bool {
        let ([left, ..], [.., right]) = (&self.below[..], &self.above[..]) else { return false };
        if self.below.len() + self.above.len() < 5 || !(p.x >= left.x && p.x <= right.x) {
            return false;
        }
        if self.inner.holds(p) {
            return true;
        }
        // The edge of each chain that spans p.x, never an upright one.
        let low = match self.below.partition_point(|corner| corner.x < p.x) {
            0 => p.y >= left.y,
            k => is_within(p, self.below[k - 1], self.below[k], tolerance),
        };
        low && match self.above.partition_point(|corner| corner.x <= p.x) {
            k if k == self.above.len() => p.y <= right.y,
            k => is_within(p, self.above[k], self.above[k - 1], tolerance),
        }
    }
}

/// Whether `p` is not to the right of the way from `a` to `b`, or near it.
fn is_within(p: Point2, a: Point2, b: Point2, tolerance: f64) -> bool {
    !turns_left(b, a, p) || is_near(p, a, b, tolerance)
}

/// Whether the foot of `p` on the line through `a` and `b` is between them and no farther than `tolerance`.
fn is_near(p: Point2, a: Point2, b: Point2, tolerance: f64) -> bool {
    let (along, towards) = (b - a, p - a);
    let (length_squared, foot) = (along.norm_squared(), along.dot(&towards));
    let across = along.perp(&towards);
    tolerance > 0.0
        && foot >= 0.0
        && foot <= length_squared
        && across * across <= tolerance * tolerance * length_squared
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

    #[test]
    fn a_polygon_with_corners_that_rounding_puts_on_an_edge_holds_what_it_should() {
        for step in 0..400 {
            let (s, c) = (f64::from(step) * 0.01).sin_cos();
            let turned = |x: f64, y: f64| Point2::new(x * c - y * s, x * s + y * c);
            let grid: Vec<Point2> = (0..64).map(|k| turned(f64::from(k % 8), f64::from(k / 8))).collect();
            let polygon = Holder::of(&convex_polygon(grid));
            for k in -20..90 {
                let t = f64::from(k) * 0.1;
                let within = (0.0..=7.0).contains(&t);
                let well_within = t > 0.05 && t < 6.95;
                for (x, y) in [(t, 1e-9), (1e-9, t), (t, 7.0 - 1e-9), (7.0 - 1e-9, t)] {
                    let held = polygon.holds(turned(x, y), 0.0);
                    assert!(held || !well_within, "{step}: ({x}, {y}) is not held");
                    assert!(!held || within, "{step}: ({x}, {y}) is held");
                }
            }
        }
    }

    #[test]
    fn a_tolerant_polygon_holds_what_is_near_an_edge_and_nothing_farther() {
        let diamond = [(0.0, 0.0), (10.0, -10.0), (20.0, 0.0), (10.0, 10.0)].map(|(x, y)| Point2::new(x, y));
        let diamond = Holder::of(&diamond);
        for (x, y) in [(5.0, -5.1), (5.0, 5.1), (15.0, -5.1), (15.0, 5.1)] {
            let p = Point2::new(x, y);
            assert!(diamond.holds(p, 0.08) && !diamond.holds(p, 0.06));
        }
        for (x, y) in [(-1.0, 0.0), (21.0, 0.0), (10.0, 11.0), (10.0, -11.0), (0.1, 5.0)] {
            assert!(!diamond.holds(Point2::new(x, y), 0.6));
        }
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
            let holder = Holder::of(&convex_polygon(points.clone()));
            let plain = |p: Point2| {
                let corner = |k: usize| points[polygon[k % polygon.len()] as usize];
                (0..polygon.len()).all(|k| !turns_left(corner(k + 1), corner(k), p))
            };
            for (x, y) in (-10..10).flat_map(|x| (-10..10).map(move |y| (x, y))) {
                let p = Point2::new(x.into(), y.into());
                prop_assert_eq!(holder.holds(p, 0.0), polygon.len() > 2 && plain(p), "{}", p);
            }
        }
    }
}
