//! The curve of a profile as strips and the folds between them, and where places lie as seen from it.
//!
//! Places are exact numbers (u, v). All signs are those of the curve moved by (ε, ε²), so that nothing ever lies on it,
//! nothing passes through its corners, and all answers agree with one another.

use crate::predicates::{left_of_moved_line, moved_left_of_line, orient_2d};
use crate::{Profile, Side};

pub(super) type Spot = [f64; 2];

/// A straight part of the curve.
#[derive(Clone, Copy, Debug)]
pub(super) struct Strip {
    pub kind: Kind,
    /// Where it begins and ends; both are the one corner of a part without end.
    pub from: Spot,
    pub to: Spot,
    low: Spot,
    high: Spot,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Kind {
    /// Comes from −u without end.
    Beginning,
    Middle,
    /// Goes to +u without end.
    End,
}

impl Strip {
    fn ray(kind: Kind, at: Spot) -> Strip {
        let (low, high) = match kind {
            Kind::Beginning => ([f64::NEG_INFINITY, at[1]], at),
            _ => (at, [f64::INFINITY, at[1]]),
        };
        Strip { kind, from: at, to: at, low, high }
    }

    fn between(from: Spot, to: Spot) -> Strip {
        let (low, high) = ([from[0].min(to[0]), from[1].min(to[1])], [from[0].max(to[0]), from[1].max(to[1])]);
        Strip { kind: Kind::Middle, from, to, low, high }
    }

    /// Direction, of any length.
    pub fn direction(&self) -> Spot {
        match self.kind {
            Kind::Middle => [self.to[0] - self.from[0], self.to[1] - self.from[1]],
            _ => [1.0, 0.0],
        }
    }

    /// Whether a spot lies to the left of its line.
    pub fn left(&self, p: Spot) -> bool {
        match self.kind {
            Kind::Middle => left_of_moved_line(self.from, self.to, p),
            _ => p[1] > self.from[1],
        }
    }

    /// Whether the edge from `a` to `b` crosses it.
    pub fn crosses(&self, a: Spot, b: Spot) -> bool {
        if self.left(a) == self.left(b) {
            return false;
        }
        // The edge is not level now, so that it has the far end of a ray clearly on one side.
        let upwards = b[1] > a[1];
        let from = if self.kind == Kind::Beginning { upwards } else { moved_left_of_line(a, b, self.from) };
        let to = if self.kind == Kind::End { !upwards } else { moved_left_of_line(a, b, self.to) };
        from != to
    }

    /// Distance of a spot, mm.
    pub fn distance_mm(&self, p: Spot) -> f64 {
        let d = self.direction();
        let length = d[0].hypot(d[1]);
        let (along, off) = self.along_and_off(p);
        match self.kind {
            Kind::Beginning => along.max(0.0).hypot(off),
            Kind::Middle => (along - along.clamp(0.0, length)).hypot(off),
            Kind::End => along.min(0.0).hypot(off),
        }
    }

    /// How far a spot lies along its line from its beginning (a ray's only end), and to the left of it, mm.
    pub fn along_and_off(&self, p: Spot) -> (f64, f64) {
        let d = self.direction();
        let length = d[0].hypot(d[1]);
        let (x, y) = (p[0] - self.from[0], p[1] - self.from[1]);
        ((x * d[0] + y * d[1]) / length, (y * d[0] - x * d[1]) / length)
    }

    /// Where its ends lie along its line, mm: without an end at infinity.
    pub fn extent_mm(&self) -> [f64; 2] {
        match self.kind {
            Kind::Beginning => [f64::NEG_INFINITY, 0.0],
            Kind::Middle => [0.0, (self.to[0] - self.from[0]).hypot(self.to[1] - self.from[1])],
            Kind::End => [0.0, f64::INFINITY],
        }
    }

    /// Whether some edge from `a` that crosses both crosses `self` before `other`. Of two strips that do not cross, one
    /// lies wholly on one side of the other's line; if that is the side of `a`, it comes first.
    pub fn comes_before(&self, other: &Strip, a: Spot) -> bool {
        if let Some(left) = other.side_of(self) {
            return left == other.left(a);
        }
        match self.side_of(other) {
            Some(left) => left != self.left(a),
            None => false,
        }
    }

    /// Whether all of `other` lies to the left (or all to the right) of this line; touching it counts as either.
    fn side_of(&self, other: &Strip) -> Option<bool> {
        let turn = |p: Spot| match self.kind {
            Kind::Middle => orient_2d(self.from, self.to, p),
            _ => p[1] - self.from[1],
        };
        // A level direction to the right turns away from a line that goes down.
        let level = match self.kind {
            Kind::Middle => self.from[1] - self.to[1],
            _ => 0.0,
        };
        let (a, b) = match other.kind {
            Kind::Beginning => (-level, turn(other.to)),
            Kind::Middle => (turn(other.from), turn(other.to)),
            Kind::End => (turn(other.from), level),
        };
        if a == 0.0 && b == 0.0 || a < 0.0 && b > 0.0 || a > 0.0 && b < 0.0 {
            return None;
        }
        Some(a > 0.0 || b > 0.0)
    }

    /// Whether it may come within `reach` of a box. Says yes too often, never too rarely.
    fn near(&self, low: Spot, high: Spot, reach: f64) -> bool {
        if (0..2).any(|k| self.high[k] < low[k] - reach || high[k] + reach < self.low[k]) {
            return false;
        }
        if self.kind != Kind::Middle {
            return true;
        }
        let (du, dv) = (self.to[0] - self.from[0], self.to[1] - self.from[1]);
        let (half_u, half_v) = ((high[0] - low[0]) / 2.0 + reach, (high[1] - low[1]) / 2.0 + reach);
        let (u, v) = ((low[0] + high[0]) / 2.0 - self.from[0], (low[1] + high[1]) / 2.0 - self.from[1]);
        let off = (v * du - u * dv).abs();
        let reach_off = half_u * dv.abs() + half_v * du.abs();
        off <= reach_off
    }
}

/// The curve, ready to be asked.
pub(super) struct Curve {
    pub strips: Vec<Strip>,
    /// The folds: corner k lies between strip k and strip k + 1.
    pub corners: Vec<Spot>,
    reach: f64,
    lowest: f64,
    highest: f64,
    first_u: f64,
    per_u: f64,
    /// Where the strips of each bucket of u begin in `bucket_strips`.
    starts: Vec<u32>,
    bucket_strips: Vec<u32>,
}

/// Buckets of u for each strip, so that most hold one or two (our own choice, no source).
const BUCKETS_PER_STRIP: usize = 4;
/// But not more than this.
const MOST_BUCKETS: usize = 1 << 14;

impl Curve {
    /// The curve of `profile` without corners that are none; `None` where it is one straight line. Everything within
    /// `reach` of it counts as near.
    pub fn of(profile: &Profile, reach: f64) -> Option<Curve> {
        let corners = without_straight_corners(profile.points());
        let (Some(&first), Some(&last)) = (corners.first(), corners.last()) else { return None };
        let mut strips = vec![Strip::ray(Kind::Beginning, first)];
        strips.extend(corners.windows(2).map(|pair| Strip::between(pair[0], pair[1])));
        strips.push(Strip::ray(Kind::End, last));
        let over = |k: usize, start: f64, pick: fn(f64, f64) -> f64| corners.iter().fold(start, |m, c| pick(m, c[k]));
        let (first_u, last_u) = (over(0, f64::INFINITY, f64::min), over(0, f64::NEG_INFINITY, f64::max));
        let (lowest, highest) = (over(1, f64::INFINITY, f64::min), over(1, f64::NEG_INFINITY, f64::max));
        let buckets = (strips.len() * BUCKETS_PER_STRIP).min(MOST_BUCKETS);
        let per_u = buckets as f64 / (last_u - first_u);
        // A curve that only goes up has no width to be divided.
        let per_u = if per_u.is_finite() { per_u } else { 1.0 };
        let mut curve = Curve {
            strips,
            corners,
            reach,
            lowest: lowest - reach,
            highest: highest + reach,
            first_u,
            per_u,
            starts: vec![0; buckets + 3],
            bucket_strips: Vec::new(),
        };
        curve.fill_buckets(buckets);
        Some(curve)
    }

    fn fill_buckets(&mut self, buckets: usize) {
        let mut lists: Vec<Vec<u32>> = vec![Vec::new(); buckets + 2];
        for (i, strip) in (0..).zip(&self.strips) {
            let (first, last) = (self.bucket(strip.low[0] - self.reach), self.bucket(strip.high[0] + self.reach));
            lists[first..=last].iter_mut().for_each(|list| list.push(i));
        }
        for (i, list) in lists.into_iter().enumerate() {
            self.bucket_strips.extend(list);
            self.starts[i + 1] = self.bucket_strips.len() as u32;
        }
    }

    /// Rises with u. 0 before the first corner, the last one after all.
    fn bucket(&self, u: f64) -> usize {
        // What is too large, or no number, is cut to the range by `as`.
        (((u - self.first_u) * self.per_u + 1.0).max(0.0) as usize).min(self.starts.len().saturating_sub(2))
    }

    fn in_bucket(&self, bucket: usize) -> &[u32] {
        let (from, to) = (self.starts.get(bucket), self.starts.get(bucket + 1));
        let range = from.copied().unwrap_or(0) as usize..to.copied().unwrap_or(0) as usize;
        self.bucket_strips.get(range).unwrap_or(&[])
    }

    /// The side of what is clearly above or below all of the curve.
    pub fn clear_side(&self, p: Spot) -> Option<Side> {
        if p[1] > self.highest {
            Some(Side::Above)
        } else if p[1] < self.lowest {
            Some(Side::Below)
        } else {
            None
        }
    }

    /// The side of any spot, exactly: below is what an odd number of strips lies above.
    pub fn side(&self, p: Spot) -> Side {
        if let Some(side) = self.clear_side(p) {
            return side;
        }
        let over = |strip: &Strip| {
            let after_from = strip.kind == Kind::Beginning || p[0] > strip.from[0];
            let after_to = strip.kind != Kind::End && p[0] > strip.to[0];
            // Seen to the right, what is above the strip is left of it.
            after_from != after_to && strip.left(p) != (strip.kind != Kind::Middle || strip.from[0] < strip.to[0])
        };
        let count = self.in_bucket(self.bucket(p[0])).iter().filter(|s| over(&self.strips[**s as usize])).count();
        if count % 2 == 1 { Side::Below } else { Side::Above }
    }

    /// Whether a strip may come near a box.
    pub fn meets(&self, low: Spot, high: Spot) -> bool {
        (self.bucket(low[0] - self.reach)..=self.bucket(high[0] + self.reach))
            .any(|bucket| self.in_bucket(bucket).iter().any(|s| self.strips[*s as usize].near(low, high, self.reach)))
    }

    /// The strips that may come near a box, rising.
    pub fn strips_near(&self, low: Spot, high: Spot, found: &mut Vec<u32>) {
        found.clear();
        for bucket in self.bucket(low[0] - self.reach)..=self.bucket(high[0] + self.reach) {
            let near = |s: &&u32| self.strips[**s as usize].near(low, high, self.reach);
            found.extend(self.in_bucket(bucket).iter().filter(near));
        }
        found.sort_unstable();
        found.dedup();
    }
}

/// The points without those at which the curve goes straight on.
fn without_straight_corners(points: &[Spot]) -> Vec<Spot> {
    let mut kept: Vec<Spot> = Vec::with_capacity(points.len());
    for &p in points {
        // The rays are level.
        if kept.len() == 1 && kept[0][1] == p[1] && p[0] > kept[0][0] {
            kept.pop();
        }
        while let [.., a, b] = kept[..]
            && orient_2d(a, b, p) == 0.0
        {
            kept.pop();
        }
        kept.push(p);
    }
    while let [.., a, b] = kept[..]
        && a[1] == b[1]
        && b[0] > a[0]
    {
        kept.pop();
    }
    if kept.len() == 1 {
        kept.clear();
    }
    kept
}
