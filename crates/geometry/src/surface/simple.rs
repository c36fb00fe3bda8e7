//! Whether a polyline with its two rays touches itself, and on which side of it a spot lies. All exact.

use super::{SurfaceError, Track};
use crate::Side;
use crate::predicates::orient_2d;

type Spot = [f64; 2];

/// `Err` where the polyline, prolonged along −u from its first point and along +u from its last, meets itself.
pub(super) fn check(points: &[Spot]) -> Result<(), SurfaceError> {
    if let Some(index) = points.windows(2).position(|pair| pair[0] == pair[1]) {
        return Err(SurfaceError::Repeated { index, at: points[index] });
    }
    let mut parts = Part::all(points);
    parts.sort_by(|a, b| a.low[0].total_cmp(&b.low[0]));
    let mut active: Vec<usize> = Vec::new();
    for k in 0..parts.len() {
        active.retain(|&j| parts[j].high[0] >= parts[k].low[0]);
        for &j in &active {
            let (a, b) = if parts[j].number < parts[k].number { (j, k) } else { (k, j) };
            if let Some(at) = parts[a].meeting(&parts[b]) {
                return Err(SurfaceError::MeetsItself { first: parts[a].track(), second: parts[b].track(), at });
            }
        }
        active.push(k);
    }
    Ok(())
}

/// The side of a spot; one on the polyline counts as below. A ray from the spot along +v crosses the polyline an odd
/// number of times from below it, since it ends above.
pub(super) fn side(points: &[Spot], at: Spot) -> Side {
    let mut below = false;
    for part in Part::all(points) {
        if part.passes(at) {
            return Side::Below;
        }
        // Ends count with the part to their right, so that a corner counts once.
        let (left, right) = if part.from[0] < part.to[0] { (part.from, part.to) } else { (part.to, part.from) };
        let (left_u, right_u) = (part.low[0], part.high[0]);
        let over = if part.is_ray() { at[1] < left[1] } else { orient_2d(left, right, at) < 0.0 };
        if left_u <= at[0] && at[0] < right_u && over {
            below = !below;
        }
    }
    if below { Side::Below } else { Side::Above }
}

/// Whether any of the polyline lies in the box. Conservative: says yes where it only just misses a corner.
pub(super) fn meets_box(points: &[Spot], low: Spot, high: Spot) -> bool {
    Part::all(points).iter().any(|part| {
        let apart = (0..2).any(|k| part.high[k] < low[k] || high[k] < part.low[k]);
        if apart || part.is_ray() {
            return !apart;
        }
        // All corners on one side of the line miss it.
        let turns = [low, [high[0], low[1]], high, [low[0], high[1]]].map(|c| orient_2d(part.from, part.to, c));
        !(turns.iter().all(|t| *t > 0.0) || turns.iter().all(|t| *t < 0.0))
    })
}

/// A straight part of the polyline: 0 the ray before the first point, n the ray after the last. A ray's far end is its
/// near one moved; only its box tells how far it goes.
struct Part {
    number: usize,
    last: usize,
    from: Spot,
    to: Spot,
    low: Spot,
    high: Spot,
}

impl Part {
    fn all(points: &[Spot]) -> Vec<Part> {
        let last = points.len();
        let mut parts = Vec::with_capacity(last + 1);
        let (Some(&first), Some(&end)) = (points.first(), points.last()) else { return parts };
        let part =
            |number: usize, from: Spot, to: Spot, low: Spot, high: Spot| Part { number, last, from, to, low, high };
        parts.push(part(0, first, first, [f64::NEG_INFINITY, first[1]], first));
        for (i, pair) in points.windows(2).enumerate() {
            let (a, b) = (pair[0], pair[1]);
            let (low, high) = ([a[0].min(b[0]), a[1].min(b[1])], [a[0].max(b[0]), a[1].max(b[1])]);
            parts.push(part(i + 1, a, b, low, high));
        }
        parts.push(part(last, end, end, end, [f64::INFINITY, end[1]]));
        parts
    }

    fn is_ray(&self) -> bool {
        self.number == 0 || self.number == self.last
    }

    fn track(&self) -> Track {
        match self.number {
            0 => Track::Beginning,
            n if n == self.last => Track::End,
            n => Track::From(n - 1),
        }
    }

    /// Whether `p` lies on it.
    fn passes(&self, p: Spot) -> bool {
        let in_box = (0..2).all(|k| self.low[k] <= p[k] && p[k] <= self.high[k]);
        in_box && (self.is_ray() || orient_2d(self.from, self.to, p) == 0.0)
    }

    /// Where it meets a later part, other than at the point that consecutive ones share.
    fn meeting(&self, later: &Part) -> Option<Spot> {
        if (0..2).any(|k| self.high[k] < later.low[k] || later.high[k] < self.low[k]) {
            return None;
        }
        if later.number == self.number + 1 {
            // They share a point: they meet elsewhere only where one turns back along the other.
            return self.turns_back(later).then_some(later.from);
        }
        let ends = |part: &Part| if part.is_ray() { vec![part.from] } else { vec![part.from, part.to] };
        if let Some(at) = ends(later).into_iter().find(|p| self.passes(*p)) {
            return Some(at);
        }
        if let Some(at) = ends(self).into_iter().find(|p| later.passes(*p)) {
            return Some(at);
        }
        match (self.is_ray(), later.is_ray()) {
            // Two rays of which neither begins on the other lie apart: they are parallel.
            (true, true) => None,
            (true, false) => later.crosses_ray(self),
            (false, true) => self.crosses_ray(later),
            (false, false) => {
                let (a, b) = (orient_2d(later.from, later.to, self.from), orient_2d(later.from, later.to, self.to));
                let (c, d) = (orient_2d(self.from, self.to, later.from), orient_2d(self.from, self.to, later.to));
                let crosses = opposite(a, b) && opposite(c, d);
                crosses.then(|| between(self.from, self.to, a / (a - b)))
            }
        }
    }

    /// Where this line crosses a ray, away from all ends.
    fn crosses_ray(&self, ray: &Part) -> Option<Spot> {
        let (a, b) = (self.from[1] - ray.from[1], self.to[1] - ray.from[1]);
        if !opposite(a, b) {
            return None;
        }
        // Seen upwards, the ray's beginning is left of the line where the line is to its right.
        let (lower, upper) = if a < b { (self.from, self.to) } else { (self.to, self.from) };
        let turn = orient_2d(lower, upper, ray.from);
        let meets = if ray.number == 0 { turn < 0.0 } else { turn > 0.0 };
        meets.then(|| between(self.from, self.to, a / (a - b)))
    }

    /// Whether the next part runs back along this one.
    fn turns_back(&self, next: &Part) -> bool {
        match (self.is_ray(), next.is_ray()) {
            (true, true) => false,
            (true, false) => next.to[1] == next.from[1] && next.to[0] < next.from[0],
            (false, true) => self.to[1] == self.from[1] && self.from[0] > self.to[0],
            (false, false) => {
                let back = |k: usize| opposite(self.to[k] - self.from[k], next.to[k] - next.from[k]);
                orient_2d(self.from, self.to, next.to) == 0.0 && (back(0) || back(1))
            }
        }
    }
}

fn opposite(a: f64, b: f64) -> bool {
    (a > 0.0 && b < 0.0) || (a < 0.0 && b > 0.0)
}

fn between(a: Spot, b: Spot, share: f64) -> Spot {
    [a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share]
}
