//! One side of a plane, or what lies between two parallel ones: the boxes that lie in it whole, and those that a plane
//! crosses.

use super::tree::{Faces, Node, Parts};
use crate::{Bounds, Plane, Point, Vector};
use std::sync::OnceLock;

/// What lies between two parallel planes; the half on one side of a plane where the other is infinitely far.
#[derive(Clone, Debug)]
pub(super) struct Half<'a> {
    /// Unit length; heights are along it.
    normal: Vector,
    /// Heights of the planes, mm: points at `low` belong to it, points at `high` do not, but as ends of edges.
    low: f64,
    high: f64,
    /// Boxes wholly in it, as large as they come.
    pub whole: Vec<&'a Node>,
    /// Smallest boxes that a plane crosses.
    pub crossed: Vec<Crossed<'a>>,
}

/// A smallest box that a plane crosses.
#[derive(Clone, Debug)]
pub(super) struct Crossed<'a> {
    pub node: &'a Node,
    faces: &'a Faces,
    /// Its points in the half, once they were asked for: several questions are asked of each half.
    points: OnceLock<Vec<Point>>,
}

impl<'a> Crossed<'a> {
    fn new(node: &'a Node, faces: &'a Faces) -> Crossed<'a> {
        Crossed { node, faces, points: OnceLock::new() }
    }
}

impl<'a> Half<'a> {
    /// The halves below and above `plane`.
    pub fn both(root: Option<&'a Node>, plane: &Plane) -> [Half<'a>; 2] {
        let empty = |low: f64, high: f64| Half::empty(plane.normal(), low, high);
        let at = plane.offset_mm();
        let mut halves = [empty(f64::NEG_INFINITY, at), empty(at, f64::INFINITY)];
        let mut open: Vec<&Node> = root.into_iter().collect();
        while let Some(node) = open.pop() {
            let [least, most] = heights(&node.bounds, &plane.normal());
            match &node.parts {
                _ if least >= at => halves[1].whole.push(node),
                _ if most < at => halves[0].whole.push(node),
                Parts::Boxes(boxes) => open.extend(boxes.iter()),
                Parts::Faces(faces) => halves.iter_mut().for_each(|half| half.crossed.push(Crossed::new(node, faces))),
            }
        }
        halves
    }

    /// What lies at heights from `low` to `high` along the unit vector `normal`.
    pub fn between(root: Option<&'a Node>, normal: Vector, low: f64, high: f64) -> Half<'a> {
        let mut half = Half::empty(normal, low, high);
        let mut open: Vec<&Node> = root.into_iter().collect();
        while let Some(node) = open.pop() {
            let [least, most] = heights(&node.bounds, &normal);
            match &node.parts {
                _ if most < low || least > high => {}
                _ if least >= low && most < high => half.whole.push(node),
                Parts::Boxes(boxes) => open.extend(boxes.iter()),
                Parts::Faces(faces) => half.crossed.push(Crossed::new(node, faces)),
            }
        }
        half
    }

    fn empty(normal: Vector, low: f64, high: f64) -> Half<'a> {
        Half { normal, low, high, whole: Vec::new(), crossed: Vec::new() }
    }

    /// The points of a crossed box that belong to this half: its vertices in it, and the points where edges
    /// cross a plane. A vertex on a plane counts as above it, and reaches what is below as the crossing point of an
    /// edge that ends there.
    pub fn points_of<'c>(&self, crossed: &'c Crossed<'_>) -> &'c [Point] {
        crossed.points.get_or_init(|| {
            let mut points = Vec::with_capacity(crossed.faces.vertices.len());
            self.visit_points(crossed.faces, |p| points.push(p));
            points
        })
    }

    fn visit_points(&self, faces: &Faces, mut visit: impl FnMut(Point)) {
        let heights: Vec<f64> = faces.vertices.iter().map(|p| self.normal.dot(&p.coords)).collect();
        for (p, &height) in faces.vertices.iter().zip(&heights) {
            if height >= self.low && height < self.high {
                visit(*p);
            }
        }
        for plane in [self.low, self.high].into_iter().filter(|height| height.is_finite()) {
            for &[i, j] in &faces.edges {
                let (i, j) = (usize::from(i), usize::from(j));
                let (h, k) = (heights[i] - plane, heights[j] - plane);
                if (h >= 0.0) != (k >= 0.0) {
                    let (p, q) = (faces.vertices[i], faces.vertices[j]);
                    visit(p + (q - p) * (h / (h - k)));
                }
            }
        }
    }

    /// Largest `direction · p` over the half, too small by the tolerance at most; `None` when it is empty. Boxes are opened from the farthest on, until
    /// none reaches beyond what was found.
    pub fn farthest(&self, direction: &Vector) -> Option<f64> {
        let mut best = f64::NEG_INFINITY;
        let mut whole: Vec<(f64, &Node)> =
            self.whole.iter().map(|node| (reach(&node.bounds, direction), *node)).collect();
        whole.sort_unstable_by(|a, b| b.0.total_cmp(&a.0));
        for (_, node) in whole {
            farthest_in(node, direction, &mut best);
        }
        for crossed in &self.crossed {
            if reach(&crossed.node.bounds, direction) > best {
                best = self.points_of(crossed).iter().map(|p| direction.dot(&p.coords)).fold(best, f64::max);
            }
        }
        best.is_finite().then_some(best)
    }

    /// The upright box, exact; `None` when the half is empty.
    pub fn bounds(&self) -> Option<Bounds> {
        let mut bounds = self.whole.iter().map(|node| node.bounds).reduce(|a, b| a.union(&b));
        for crossed in &self.crossed {
            if bounds.is_some_and(|b| b.union(&crossed.node.bounds) == b) {
                continue;
            }
            for &p in self.points_of(crossed) {
                let here = Bounds { min: p, max: p };
                bounds = Some(bounds.map_or(here, |b| b.union(&here)));
            }
        }
        bounds
    }
}

fn farthest_in(node: &Node, direction: &Vector, best: &mut f64) {
    if reach(&node.bounds, direction) <= *best {
        return;
    }
    match &node.parts {
        Parts::Faces(faces) => {
            *best = faces.vertices.iter().map(|p| direction.dot(&p.coords)).fold(*best, f64::max);
        }
        Parts::Boxes(boxes) => {
            let [a, b] = &**boxes;
            let (near, far) = if reach(&a.bounds, direction) > reach(&b.bounds, direction) { (b, a) } else { (a, b) };
            farthest_in(far, direction, best);
            farthest_in(near, direction, best);
        }
    }
}

/// Least and largest height of a box along a unit vector.
fn heights(bounds: &Bounds, normal: &Vector) -> [f64; 2] {
    let middle = normal.dot(&bounds.centre().coords);
    let reach = normal.abs().dot(&(bounds.size() / 2.0));
    [middle - reach, middle + reach]
}

/// Largest `direction · p` over a box.
fn reach(bounds: &Bounds, direction: &Vector) -> f64 {
    (0..3).map(|k| direction[k] * if direction[k] > 0.0 { bounds.max[k] } else { bounds.min[k] }).sum()
}
