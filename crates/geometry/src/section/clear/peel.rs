//! A large convex polygon within a region that is seen from one place.
//!
//! The largest one of all ("potato peeling", J. E. Goodman, Geometriae Dedicata 11:99–106, 1981) takes far more than
//! quadratic time (J. S. Chang and C. K. Yap, Discrete & Computational Geometry 1:155–182, 1986). Here the region is cut
//! with straight lines instead, each through the corner that reaches deepest into its convex hull, and each turned so that
//! most area is left. What is left is never more than the region.

use super::walls::around;
use crate::hull::{Point2, convex_polygon_indices};
use crate::section::frame::Flat;

/// Corners that reach less deep than this share of the least distance from the place to the hull are not cut at: the hull
/// is made smaller by that share, which takes them off (our own choice, no source). For a head it is less than 0.1 mm.
const DENT: f64 = 1.0 / 1000.0;

/// First steps in which a cut is turned, degrees; they are halved [`HALVINGS`] times around the best (our own choices, no
/// source). The area left is flat around its greatest value, unless that is along a wall: those are tried too.
const TURN_DEG: i32 = 6;
const HALVINGS: i32 = 5;

/// Corners of the polygon, counter-clockwise, around the origin. `rim` goes counter-clockwise around the origin, each of
/// its corners seen from there. `None` where nothing with an area is left.
pub(super) fn convex_part(mut rim: Vec<Flat>) -> Option<Vec<Flat>> {
    // Each cut takes one corner away at least.
    for _ in 0..=rim.len() {
        let (hull, deepest) = hull_of(&rim);
        let inner = around(&hull).map(|[a, b]| a.perp(&b) / (b - a).norm()).fold(f64::INFINITY, f64::min);
        if hull.len() < 3 || inner.is_nan() || inner <= 0.0 {
            return None;
        }
        match deepest {
            Some((corner, depth)) if depth > DENT * inner => rim = cut(&rim, &best_cut(&rim, corner)?),
            deepest => {
                let kept = 1.0 - deepest.map_or(0.0, |(_, depth)| depth) / inner;
                return Some(hull.iter().map(|p| p * kept).collect());
            }
        }
    }
    None
}

/// The convex hull, and the corner that lies deepest in it with its distance from the hull's edge there.
fn hull_of(rim: &[Flat]) -> (Vec<Flat>, Option<(usize, f64)>) {
    let points: Vec<Point2> = rim.iter().map(|p| Point2::from(*p)).collect();
    let corners: Vec<usize> = convex_polygon_indices(&points).into_iter().map(|i| i as usize).collect();
    let mut deepest: Option<(usize, f64)> = None;
    for (&i, &j) in corners.iter().zip(corners.iter().cycle().skip(1)) {
        let along = (rim[j] - rim[i]).normalize();
        let steps = (j + rim.len() - i) % rim.len();
        for k in (1..steps).map(|step| (i + step) % rim.len()) {
            let depth = along.perp(&(rim[k] - rim[i]));
            if depth > deepest.map_or(0.0, |(_, most)| most) {
                deepest = Some((k, depth));
            }
        }
    }
    (corners.iter().map(|&i| rim[i]).collect(), deepest)
}

/// Where `outwards · p` is more than `reach`, p is cut away.
struct Line {
    outwards: Flat,
    reach: f64,
}

impl Line {
    /// How far `p` is within.
    fn depth(&self, p: &Flat) -> f64 {
        self.reach - self.outwards.dot(p)
    }

    /// Where the way from `a` to `b`, which lie on different sides, crosses.
    fn crossing(&self, a: &Flat, b: &Flat) -> Flat {
        let (from, to) = (self.depth(a), self.depth(b));
        a + (b - a) * (from / (from - to))
    }
}

/// The line through a corner that leaves most area; `None` if all leave nothing.
fn best_cut(rim: &[Flat], corner: usize) -> Option<Line> {
    let p = rim[corner];
    let straight = p.y.atan2(p.x);
    let line = |turn: f64| {
        let (sine, cosine) = (straight + turn).sin_cos();
        let outwards = Flat::new(cosine, sine);
        Line { outwards, reach: outwards.dot(&p) }
    };
    let area = |turn: f64| {
        let line = line(turn);
        let left = if line.reach > 0.0 { area_within(rim, &line) } else { 0.0 };
        (left, turn)
    };
    let more = |a: (f64, f64), b: (f64, f64)| if b.0 > a.0 { b } else { a };
    let neighbours = [rim[(corner + rim.len() - 1) % rim.len()] - p, rim[(corner + 1) % rim.len()] - p];
    // Square to the wall before and the wall after.
    let along_walls = [Flat::new(-neighbours[0].y, neighbours[0].x), Flat::new(neighbours[1].y, -neighbours[1].x)];
    let along_walls = along_walls.iter().map(|outwards| p.perp(outwards).atan2(p.dot(outwards)));
    let steps = 90 / TURN_DEG;
    let turns = (1 - steps..steps).map(|k| f64::from(k * TURN_DEG).to_radians());
    let mut best = turns.chain(along_walls).map(area).fold((0.0, 0.0), more);
    for k in 1..=HALVINGS {
        let step = f64::from(TURN_DEG).to_radians() / f64::from(1 << k);
        best = [best.1 - step, best.1 + step].into_iter().map(area).fold(best, more);
    }
    (best.0 > 0.0).then(|| line(best.1))
}

/// Twice the area of the region within the line, which the origin is.
fn area_within(rim: &[Flat], line: &Line) -> f64 {
    // A corner beyond the line stands for the place where it is seen on the line.
    let on_line = |p: &Flat, depth: f64| p * (line.reach / (line.reach - depth));
    let part = |[a, b]: [Flat; 2]| {
        let depths = [line.depth(&a), line.depth(&b)];
        match depths.map(|depth| depth >= 0.0) {
            [true, true] => a.perp(&b),
            [false, false] => on_line(&a, depths[0]).perp(&on_line(&b, depths[1])),
            [true, false] => {
                let x = line.crossing(&a, &b);
                a.perp(&x) + x.perp(&on_line(&b, depths[1]))
            }
            [false, true] => {
                let x = line.crossing(&a, &b);
                on_line(&a, depths[0]).perp(&x) + x.perp(&b)
            }
        }
    };
    around(rim).map(part).sum()
}

/// The region within the line.
fn cut(rim: &[Flat], line: &Line) -> Vec<Flat> {
    let mut left = Vec::with_capacity(rim.len() + 2);
    for [a, b] in around(rim) {
        let is_in = [a, b].map(|p| line.depth(&p) >= 0.0);
        if is_in[0] {
            left.push(a);
        }
        if is_in[0] != is_in[1] {
            left.push(line.crossing(&a, &b));
        }
    }
    left
}

#[cfg(test)]
mod tests {
    use super::*;

    fn area(rim: &[Flat]) -> f64 {
        around(rim).map(|[a, b]| a.perp(&b)).sum::<f64>() / 2.0
    }

    fn rim(corners: &[[f64; 2]]) -> Vec<Flat> {
        corners.iter().map(|&c| Flat::from(c)).collect()
    }

    #[test]
    fn a_convex_region_is_left_as_it_is() {
        let square = rim(&[[-1.0, -1.0], [3.0, -1.0], [3.0, 2.0], [-1.0, 2.0]]);
        assert_eq!(convex_part(square.clone()), Some(square));
    }

    #[test]
    fn a_spike_into_a_square_is_cut_where_least_is_lost() {
        // From below, up to a tenth of the height: what lies below its tip costs a tenth.
        let spiked = rim(&[[-5.0, -5.0], [-0.1, -5.0], [0.0, -4.0], [0.1, -5.0], [5.0, -5.0], [5.0, 5.0], [-5.0, 5.0]]);
        let left = area(&convex_part(spiked).unwrap());
        assert!((left - 90.0).abs() < 0.1, "{left}");
    }

    #[test]
    fn the_area_foretold_is_the_area_left() {
        let star: Vec<Flat> = (0..40)
            .map(|k| Flat::new(if k % 2 == 0 { 10.0 } else { 6.0 + f64::from(k) / 20.0 }, 0.0).norm() * turned(k))
            .collect();
        for corner in (1..40).step_by(2) {
            let line = best_cut(&star, corner).unwrap();
            let (foretold, left) = (area_within(&star, &line) / 2.0, area(&cut(&star, &line)));
            assert!((foretold - left).abs() < 1e-9 && left < area(&star), "{foretold} {left}");
        }
        let convex = convex_part(star.clone()).unwrap();
        for [a, b] in around(&convex) {
            assert!(star.iter().skip(1).step_by(2).all(|p| (b - a).perp(&(p - a)) < 1e-9 || !holds(&convex, p)));
        }
    }

    fn turned(k: i32) -> Flat {
        let (sine, cosine) = (f64::from(k) * std::f64::consts::TAU / 40.0).sin_cos();
        Flat::new(cosine, sine)
    }

    fn holds(polygon: &[Flat], p: &Flat) -> bool {
        around(polygon).all(|[a, b]| (b - a).perp(&(p - a)) > 1e-9)
    }
}
