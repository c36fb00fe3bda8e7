//! The outline of a half seen along a direction, without looking at most of it.

use super::half::{Half, Part};
use super::tree::COARSE_POINTS_MM;
use crate::fit::{Levelled, Outline2};
use crate::hull::Point2;
use crate::{Point, Vector};
use nalgebra::Vector2;
use std::cmp::Ordering;
use std::collections::BinaryHeap;

/// The convex outline of `half` seen with the unit vector `up` pointing at the eye, in the axes of [`Levelled`]. Seen from
/// there the half, as coarse points tell it where these lose no more than the tolerance, reaches no farther in any
/// direction than the outline does and `tolerance_mm` more. `None` when the half is empty.
///
/// Between two corners the point farthest outside the edge is looked for, which divides the edge, until none is farther
/// outside than the tolerance (W. F. Eddy, ACM Transactions on Mathematical Software 3(4):398–403, 1977; here it lies in a
/// tree of boxes, of which only those are opened that reach beyond what was found). Each corner is the farthest point in
/// some direction less than a right angle from the normals of its edges, so that what lies beyond a corner is no farther
/// outside than what lies beyond its edges.
pub(super) fn silhouette(half: &Half, up: &Vector, tolerance_mm: f64) -> Option<Outline2> {
    let [x, y, _] = Levelled::by(&-up).axes;
    let mut seen = Seen { axes: [x, y], corners: Vec::new(), tolerance_mm };
    let mut extremes = Vec::with_capacity(5);
    for direction in [-x, -y, x, y] {
        extremes.push(seen.flat(&half.farthest_point(&direction, seen.coarse())?));
    }
    extremes.push(extremes[0]);
    let all = Outside { boxes: half.all().into_iter().collect(), points: Vec::new() };
    for ends in extremes.windows(2) {
        seen.corners.push(ends[0]);
        seen.divide([ends[0], ends[1]], &all);
    }
    Outline2::of(seen.corners)
}

struct Seen {
    /// To the right and upwards.
    axes: [Vector; 2],
    /// Counter-clockwise.
    corners: Vec<Point2>,
    tolerance_mm: f64,
}

/// What reaches beyond an edge.
#[derive(Clone, Default)]
struct Outside<'a> {
    boxes: Vec<Part<'a>>,
    /// Of boxes that were opened.
    points: Vec<Point2>,
}

impl Seen {
    /// Adds the corners between two of them, which are among what reaches `outside` the edge that this one is part of.
    fn divide(&mut self, [a, b]: [Point2; 2], outside: &Outside) {
        let along = b - a;
        let Some(outwards) = Vector2::new(along.y, -along.x).try_normalize(0.0) else { return };
        let edge_mm = outwards.dot(&a.coords).max(outwards.dot(&b.coords));
        let (corner, outside) = self.beyond(outwards, edge_mm + self.tolerance_mm, outside);
        if let Some(corner) = corner {
            self.divide([a, corner], &outside);
            self.corners.push(corner);
            self.divide([corner, b], &outside);
        }
    }

    /// The point farthest in a direction, if it is farther than `beyond_mm`, and what else is.
    fn beyond<'a>(&self, outwards: Vector2<f64>, beyond_mm: f64, of: &Outside<'a>) -> (Option<Point2>, Outside<'a>) {
        let mut left = Outside::default();
        let mut farthest = (beyond_mm, None);
        let mut take = |p: Point2| {
            let reach = outwards.dot(&p.coords);
            if reach > beyond_mm {
                left.points.push(p);
                if reach > farthest.0 {
                    farthest = (reach, Some(p));
                }
            }
            farthest.0
        };
        let mut best = beyond_mm;
        for p in &of.points {
            best = take(*p);
        }
        let direction = self.axes[0] * outwards.x + self.axes[1] * outwards.y;
        let far =
            |open: Part<'a>| Some(Far { reach_mm: open.reach(&direction), open }).filter(|f| f.reach_mm > beyond_mm);
        let mut boxes: BinaryHeap<Far<'a>> = of.boxes.iter().copied().filter_map(far).collect();
        while boxes.peek().is_some_and(|far| far.reach_mm > best) {
            let Some(Far { open, .. }) = boxes.pop() else { break };
            match open.parts(self.coarse()) {
                Some(parts) => boxes.extend(parts.into_iter().flatten().filter_map(far)),
                None => open.show(self.coarse(), |p| best = take(self.flat(p))),
            }
        }
        left.boxes.extend(boxes.into_iter().map(|far| far.open));
        (farthest.1, left)
    }

    fn flat(&self, p: &Point) -> Point2 {
        let [x, y] = &self.axes;
        Point2::new(x.dot(&p.coords), y.dot(&p.coords))
    }

    /// Whether points that stand for others are good enough.
    fn coarse(&self) -> bool {
        self.tolerance_mm >= COARSE_POINTS_MM
    }
}

/// A box by how far it reaches.
struct Far<'a> {
    reach_mm: f64,
    open: Part<'a>,
}

impl PartialEq for Far<'_> {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}

impl Eq for Far<'_> {}

impl PartialOrd for Far<'_> {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Far<'_> {
    fn cmp(&self, other: &Self) -> Ordering {
        self.reach_mm.total_cmp(&other.reach_mm)
    }
}
