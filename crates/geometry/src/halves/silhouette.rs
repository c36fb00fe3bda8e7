//! The outline of a half seen along a direction, without looking at most of it.

use super::half::Half;
use super::tree::{COARSE_POINTS_MM, Node, Parts};
use crate::fit::{Levelled, Outline2};
use crate::hull::{Holder, Point2, convex_polygon};
use crate::{Point, Vector};

/// The convex outline of `half` seen with the unit vector `up` pointing at the eye, in the axes of [`Levelled`].
/// No point that spans the half, coarsely where that is within the same tolerance, is farther outside it than `tolerance_mm`. `None` when the half is empty.
///
/// A convex outline of some points grows as boxes are opened, the outermost first; a box that lies inside it can't
/// change it and stays closed.
pub(super) fn silhouette(half: &Half, up: &Vector, tolerance_mm: f64) -> Option<Outline2> {
    let mut seen = Seen {
        level: Levelled::by(&-up),
        inside: Vec::new(),
        holder: Holder::default(),
        fresh: Vec::new(),
        spared: Vec::new(),
        centre: Point2::origin(),
        coarse: tolerance_mm >= COARSE_POINTS_MM,
        tolerance_mm,
    };
    seen.centre = seen.flat(&half.bounds()?.centre());
    let mut whole: Vec<(f64, &Node)> = half.whole.iter().map(|node| (seen.remoteness(node), *node)).collect();
    let mut crossed: Vec<_> = half.crossed.iter().map(|crossed| (seen.remoteness(crossed.node), crossed)).collect();
    whole.sort_unstable_by(|a, b| b.0.total_cmp(&a.0));
    crossed.sort_unstable_by(|a, b| b.0.total_cmp(&a.0));
    for (_, node) in whole {
        seen.look_into(node);
    }
    for (_, crossed) in crossed {
        if !seen.hides(crossed.node) {
            half.points_of(crossed).iter().for_each(|p| seen.add(p));
        }
    }
    seen.take_in();
    seen.spared.append(&mut seen.inside);
    Outline2::of(seen.spared)
}

struct Seen {
    level: Levelled,
    /// Outline of what was taken in, counter-clockwise, without corners that hardly stand out from it.
    inside: Vec<Point2>,
    /// The same, to be asked what it holds.
    holder: Holder,
    /// Those corners. They are part of the answer, but cost more than they hide.
    spared: Vec<Point2>,
    /// Points found outside it since.
    fresh: Vec<Point2>,
    /// Middle of the view, to tell what is far out.
    centre: Point2,
    /// Whether points that stand for much are good enough.
    coarse: bool,
    tolerance_mm: f64,
}

/// Fresh points are taken in when there are this many: hulls are then made rarely, yet what was found soon hides more.
const TAKE_IN: usize = 256;

impl Seen {
    fn look_into(&mut self, node: &Node) {
        if self.hides(node) {
            return;
        }
        if self.coarse && !node.coarse.is_empty() {
            return node.coarse.iter().for_each(|p| self.add(p));
        }
        match &node.parts {
            Parts::Faces(faces) => faces.vertices.iter().for_each(|p| self.add(p)),
            Parts::Boxes(boxes) => {
                let [a, b] = &**boxes;
                let (near, far) = if self.remoteness(a) > self.remoteness(b) { (b, a) } else { (a, b) };
                self.look_into(far);
                self.look_into(near);
            }
        }
    }

    fn flat(&self, p: &Point) -> Point2 {
        let [x, y, _] = self.level.axes;
        Point2::new(x.dot(&p.coords), y.dot(&p.coords))
    }

    /// How far out the middle of a box is seen.
    fn remoteness(&self, node: &Node) -> f64 {
        nalgebra::distance_squared(&self.flat(&node.tight.middle), &self.centre)
    }

    fn hides(&self, node: &Node) -> bool {
        if self.inside.len() < 3 {
            return false;
        }
        let [x, y, _] = self.level.axes;
        let middle = self.flat(&node.tight.middle);
        let [a, b, c] = node.tight.half.map(|h| nalgebra::Vector2::new(x.dot(&h), y.dot(&h)));
        // The four diagonals: the eight corners are at both ends of each.
        [a + b + c, a + b - c, a - b + c, a - b - c].iter().all(|d| self.holds(middle + d) && self.holds(middle - d))
    }

    fn holds(&self, p: Point2) -> bool {
        self.holder.holds(p, self.tolerance_mm)
    }

    fn add(&mut self, p: &Point) {
        let p = self.flat(p);
        if !self.holds(p) {
            self.fresh.push(p);
            if self.fresh.len() >= TAKE_IN.max(self.inside.len()) {
                self.take_in();
            }
        }
    }

    fn take_in(&mut self) {
        self.fresh.append(&mut self.inside);
        let corners = convex_polygon(std::mem::take(&mut self.fresh));
        for (k, &corner) in corners.iter().enumerate() {
            let next = corners[(k + 1) % corners.len()];
            let last = self.inside.last().copied();
            if last.is_some_and(|last| distance_from_line(corner, last, next) < self.tolerance_mm / 2.0) {
                self.spared.push(corner);
            } else {
                self.inside.push(corner);
            }
        }
        self.holder = Holder::of(&self.inside);
    }
}

fn distance_from_line(p: Point2, a: Point2, b: Point2) -> f64 {
    let along = b - a;
    (along.perp(&(p - a)) / along.norm()).abs()
}
