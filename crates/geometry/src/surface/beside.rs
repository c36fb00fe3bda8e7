//! The curve that runs beside a profile.

use super::Profile;

/// Corners are continued to a point up to so many times the distance from the old corner; sharper ones are cut off square
/// (our own choice, no source).
const LONGEST_MITRE: f64 = 4.0;
/// Points nearer than this share of the largest coordinate are one: far above rounding where lines meet, far below what a
/// printer resolves.
const ONE_SPOT: f64 = 1e-12;
/// Where the curve beside touches itself to the last bit, one a little nearer need not.
const NEARER: [f64; 3] = [1.0, 1.0 - 1e-9, 1.0 - 1e-6];

impl Profile {
    /// The profile that runs `mm` beside this one, above it for positive distances, with mitred corners and without the
    /// loops that this makes where the curve is bent more tightly than that. What is cut off by a loop, such as the inside
    /// of a groove with a neck narrower than twice the distance, counts as lying on the other side.
    ///
    /// `None` if no curve that keeps clear of itself is found; none such is known.
    pub fn beside(&self, mm: f64) -> Option<Profile> {
        NEARER.iter().find_map(|share| {
            let points = without_loops(offset(self.points(), mm * share)?);
            Profile::new(self.origin(), self.along(), self.out(), points).ok()
        })
    }
}

type Spot = nalgebra::Vector2<f64>;

/// The points moved to the left, with two far ones at the ends.
fn offset(points: &[[f64; 2]], mm: f64) -> Option<Vec<Spot>> {
    let points: Vec<Spot> = points.iter().map(|p| Spot::from(*p)).collect();
    let (first, last) = (points.first()?, points.last()?);
    let level = Spot::new(1.0, 0.0);
    let left = |d: Spot| Spot::new(-d.y, d.x);
    let mut directions = vec![level];
    directions.extend(points.windows(2).map(|pair| (pair[1] - pair[0]).normalize()));
    directions.push(level);
    let reach = points.iter().fold(mm.abs(), |m, p| m.max(p.amax())) * 2.0 * LONGEST_MITRE + 1.0;
    let mut moved = vec![Spot::new(first.x - reach, first.y + mm)];
    for (corner, pair) in points.iter().zip(directions.windows(2)) {
        let (a, b) = (left(pair[0]), left(pair[1]));
        let sum = 1.0 + a.dot(&b);
        let outside = pair[0].perp(&pair[1]) * mm < 0.0;
        // The new corner is √(2 / (1 + cos)) times the distance away.
        let is_sharp = 2.0 > sum * LONGEST_MITRE * LONGEST_MITRE;
        if !is_sharp {
            moved.push(corner + (a + b) * (mm / sum));
        } else if !outside {
            // Both lines end beside the corner, and cross before: one of the loops.
            moved.push(corner + a * mm);
            moved.push(corner + b * mm);
        } else {
            // Two corners that halve the turn keep the distance everywhere.
            let on = mm.abs() * (a.dot(&b).clamp(-1.0, 1.0).acos() / 4.0).tan();
            moved.push(corner + a * mm + pair[0] * on);
            moved.push(corner + b * mm - pair[1] * on);
        }
    }
    moved.push(Spot::new(last.x + reach, last.y + mm));
    Some(moved)
}

/// Walks along the line, and from wherever it meets a later part of itself on along that. Gives the points without the two
/// ends.
fn without_loops(line: Vec<Spot>) -> Vec<[f64; 2]> {
    let mut kept: Vec<Spot> = Vec::with_capacity(line.len());
    let one_spot = ONE_SPOT * line.iter().fold(0.0, |m: f64, p| m.max(p.amax()));
    let (mut at, mut i) = (line[0], 0);
    while i + 2 < line.len() {
        let to = line[i + 1];
        let meeting = |j: usize| meet(at, to, line[j], line[j + 1]).map(|share| (share, j));
        let first = (i + 2..line.len() - 1).filter_map(meeting).min_by(|a, b| a.0.total_cmp(&b.0).then(b.1.cmp(&a.1)));
        match first {
            Some((share, j)) => (at, i) = (at + (to - at) * share, j),
            None => (at, i) = (to, i + 1),
        }
        if kept.last().is_none_or(|last| (at - last).norm() > one_spot) {
            kept.push(at);
        }
    }
    kept.into_iter().map(|p| [p.x, p.y]).collect()
}

/// How far along `a b` it meets `c d`.
fn meet(a: Spot, b: Spot, c: Spot, d: Spot) -> Option<f64> {
    let (ab, cd, ac) = (b - a, d - c, c - a);
    let turn = ab.perp(&cd);
    let (share, other) = (ac.perp(&cd) / turn, ac.perp(&ab) / turn);
    ((0.0..=1.0).contains(&share) && (0.0..=1.0).contains(&other)).then_some(share)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Point, Vector};

    fn profile(points: &[[f64; 2]]) -> Profile {
        Profile::new(Point::origin(), Vector::x(), Vector::z(), points.to_vec()).unwrap()
    }

    fn beside(points: &[[f64; 2]], mm: f64) -> Vec<[f64; 2]> {
        profile(points).beside(mm).unwrap().points().to_vec()
    }

    #[test]
    fn a_step_moves_both_its_corners() {
        assert_eq!(beside(&[[0.0, 0.0], [0.0, 5.0]], 1.0), [[-1.0, 1.0], [-1.0, 6.0]]);
        assert_eq!(beside(&[[0.0, 0.0], [0.0, 5.0]], -1.0), [[1.0, -1.0], [1.0, 4.0]]);
    }

    #[test]
    fn a_narrow_groove_is_closed_and_a_narrow_ridge_is_worn_away() {
        let groove = [[0.0, 0.0], [0.0, -5.0], [1.0, -5.0], [1.0, 0.0]];
        for p in beside(&groove, 1.0) {
            assert_eq!(p[1], 1.0, "{p:?}");
        }
        assert_eq!(beside(&groove, -1.0), [[-1.0, -1.0], [-1.0, -6.0], [2.0, -6.0], [2.0, -1.0]]);
    }

    #[test]
    fn the_pocket_behind_a_neck_narrower_than_the_kerf_is_left_out() {
        let dovetail = [[-1.0, 0.0], [-9.0, 6.0], [9.0, 6.0], [1.0, 0.0]];
        // The tail hangs on a neck of 2: what keeps 1.5 below the curve in it is cut off.
        assert!(beside(&dovetail, -1.5).iter().all(|p| p[1] <= -1.4));
        assert!(beside(&dovetail, 1.5).iter().any(|p| p[1] > 7.4));
    }

    #[test]
    fn a_sharp_corner_is_cut_off_square() {
        let spike = [[-1.0, 0.0], [0.0, 50.0], [1.0, 0.0]];
        let highest = |mm: f64| beside(&spike, mm).iter().map(|p| p[1]).fold(f64::MIN, f64::max);
        assert!(highest(1.0) > 50.9 && highest(1.0) < 51.2, "{}", highest(1.0));
    }
}
