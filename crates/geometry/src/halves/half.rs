//! One side of a plane: the boxes that lie on it whole, and those that the plane crosses.

use super::tree::{Faces, Node, Parts};
use crate::{Bounds, Plane, Point, Vector};

/// One side of a plane.
#[derive(Clone, Debug)]
pub(super) struct Half<'a> {
    plane: Plane,
    above: bool,
    /// Boxes wholly on this side, as large as they come.
    pub whole: Vec<&'a Node>,
    /// Smallest boxes that the plane crosses.
    pub crossed: Vec<(&'a Node, &'a Faces)>,
}

impl<'a> Half<'a> {
    /// The halves below and above `plane`.
    pub fn both(root: Option<&'a Node>, plane: &Plane) -> [Half<'a>; 2] {
        let mut halves =
            [false, true].map(|above| Half { plane: *plane, above, whole: Vec::new(), crossed: Vec::new() });
        let mut open: Vec<&Node> = root.into_iter().collect();
        while let Some(node) = open.pop() {
            let middle = plane.distance_mm(&node.bounds.centre());
            let reach = plane.normal().abs().dot(&(node.bounds.size() / 2.0));
            match &node.parts {
                _ if middle - reach >= 0.0 => halves[1].whole.push(node),
                _ if middle + reach < 0.0 => halves[0].whole.push(node),
                Parts::Boxes(boxes) => open.extend(boxes.iter()),
                Parts::Faces(faces) => halves.iter_mut().for_each(|half| half.crossed.push((node, faces))),
            }
        }
        halves
    }

    /// Visits the points of a crossed box that belong to this half: its vertices on this side, and the points where
    /// edges cross the plane. A vertex on the plane counts as above, and reaches the half below as the crossing point
    /// of an edge that ends there.
    pub fn points_of(&self, faces: &Faces, mut visit: impl FnMut(Point)) {
        let heights: Vec<f64> = faces.vertices.iter().map(|p| self.plane.distance_mm(p)).collect();
        for (p, &height) in faces.vertices.iter().zip(&heights) {
            if (height >= 0.0) == self.above {
                visit(*p);
            }
        }
        for triangle in &faces.triangles {
            let corners = triangle.map(usize::from);
            for (i, j) in [(corners[0], corners[1]), (corners[1], corners[2]), (corners[2], corners[0])] {
                let (h, k) = (heights[i], heights[j]);
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
        for (node, faces) in &self.crossed {
            if reach(&node.bounds, direction) > best {
                self.points_of(faces, |p| best = best.max(direction.dot(&p.coords)));
            }
        }
        best.is_finite().then_some(best)
    }

    /// The upright box, exact; `None` when the half is empty.
    pub fn bounds(&self) -> Option<Bounds> {
        let mut bounds = self.whole.iter().map(|node| node.bounds).reduce(|a, b| a.union(&b));
        for (node, faces) in &self.crossed {
            if bounds.is_some_and(|b| b.union(&node.bounds) == b) {
                continue;
            }
            self.points_of(faces, |p| {
                let here = Bounds { min: p, max: p };
                bounds = Some(bounds.map_or(here, |b| b.union(&here)));
            });
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
            *best = faces.span().iter().map(|p| direction.dot(&p.coords)).fold(*best, f64::max);
        }
        Parts::Boxes(boxes) => {
            let [a, b] = &**boxes;
            let (near, far) = if reach(&a.bounds, direction) > reach(&b.bounds, direction) { (b, a) } else { (a, b) };
            farthest_in(far, direction, best);
            farthest_in(near, direction, best);
        }
    }
}

/// Largest `direction · p` over a box.
fn reach(bounds: &Bounds, direction: &Vector) -> f64 {
    (0..3).map(|k| direction[k] * if direction[k] > 0.0 { bounds.max[k] } else { bounds.min[k] }).sum()
}
