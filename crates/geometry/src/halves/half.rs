//! One side of a plane, or what lies between two parallel ones.

use super::tree::{Faces, Node, Parts};
use crate::{Bounds, Plane, Point, Vector};

/// What lies between two parallel planes; the half on one side of a plane where the other is infinitely far.
///
/// Whoever asks it something opens only the boxes that could change the answer: most of a large mesh is never looked at.
#[derive(Clone, Copy, Debug)]
pub(super) struct Half<'a> {
    root: Option<&'a Node>,
    planes: Between,
}

impl<'a> Half<'a> {
    /// The halves below and above `plane`.
    pub fn both(root: Option<&'a Node>, plane: &Plane) -> [Half<'a>; 2] {
        let at = plane.offset_mm();
        [(f64::NEG_INFINITY, at), (at, f64::INFINITY)].map(|(low, high)| Half::between(root, plane.normal(), low, high))
    }

    /// What lies at heights from `low` to `high` along the unit vector `normal`.
    pub fn between(root: Option<&'a Node>, normal: Vector, low: f64, high: f64) -> Half<'a> {
        Half { root, planes: Between { normal, low, high } }
    }

    /// The box of all of it.
    pub fn all(&self) -> Option<Part<'a>> {
        Part { node: self.root?, planes: self.planes }.cut()
    }

    /// All points of the half; where `coarse`, few for each box that has them.
    pub fn points(&self, coarse: bool) -> Vec<Point> {
        let mut points = Vec::new();
        let mut open: Vec<Part> = self.all().into_iter().collect();
        while let Some(part) = open.pop() {
            match part.parts(coarse) {
                Some(parts) => open.extend(parts.into_iter().flatten()),
                None => part.show(coarse, |p| points.push(*p)),
            }
        }
        points
    }

    /// Its point that lies farthest in `direction`; where `coarse`, one of the points that stand for others. `None` when it
    /// is empty.
    pub fn farthest_point(&self, direction: &Vector, coarse: bool) -> Option<Point> {
        let mut farthest = Farthest { direction: *direction, coarse, best: f64::NEG_INFINITY, at: None };
        let all = self.all()?;
        farthest.look_into(&all, all.reach(direction));
        farthest.at
    }

    /// Largest `direction · p` over the half; `None` when it is empty.
    pub fn farthest(&self, direction: &Vector) -> Option<f64> {
        Some(direction.dot(&self.farthest_point(direction, false)?.coords))
    }

    /// The upright box, exact; `None` when the half is empty.
    pub fn bounds(&self) -> Option<Bounds> {
        let reach = |k: usize, sign: f64| Some(self.farthest_point(&Vector::ith(k, sign), false)?[k]);
        let mut bounds = Bounds { min: Point::origin(), max: Point::origin() };
        for k in 0..3 {
            (bounds.min[k], bounds.max[k]) = (reach(k, -1.0)?, reach(k, 1.0)?);
        }
        Some(bounds)
    }
}

/// A box of faces, as far as it lies in a half.
#[derive(Clone, Copy, Debug)]
pub(super) struct Part<'a> {
    node: &'a Node,
    /// Those of the planes that cross the box.
    planes: Between,
}

impl<'a> Part<'a> {
    /// With only those planes that cross it; `None` where nothing of it lies between them.
    fn cut(mut self) -> Option<Part<'a>> {
        if !self.planes.are_none() {
            let [least, most] = self.planes.heights(&self.node.bounds);
            if most < self.planes.low || least >= self.planes.high {
                return None;
            }
            if least >= self.planes.low {
                self.planes.low = f64::NEG_INFINITY;
            }
            if most < self.planes.high {
                self.planes.high = f64::INFINITY;
            }
        }
        Some(self)
    }

    /// No point of it reaches farther in `direction` than this.
    pub fn reach(&self, direction: &Vector) -> f64 {
        let most = self.node.reach(direction);
        // As far as the direction leaves the planes, a point reaches no farther than the plane does.
        let leaving = self.planes.normal.dot(direction);
        let plane = if leaving > 0.0 { self.planes.high } else { self.planes.low };
        if !plane.is_finite() {
            return most;
        }
        let along = direction - self.planes.normal * leaving;
        let height = leaving * plane;
        most.min(height - ROUNDED * height.abs() + self.node.reach(&along))
    }

    /// The two boxes that it is made of, as far as they lie in the half; `None` where its points are to be looked at.
    pub fn parts(&self, coarse: bool) -> Option<[Option<Part<'a>>; 2]> {
        match &self.node.parts {
            Parts::Boxes(boxes) if !self.is_told_by_few(coarse) => {
                let [a, b] = &**boxes;
                Some([a, b].map(|node| Part { node, ..*self }.cut()))
            }
            _ => None,
        }
    }

    /// Shows its points, where [`Part::parts`] gives none.
    pub fn show(&self, coarse: bool, mut visit: impl FnMut(&Point)) {
        match &self.node.parts {
            _ if self.is_told_by_few(coarse) => self.node.coarse.iter().for_each(visit),
            Parts::Faces(faces) if self.planes.are_none() => faces.vertices.iter().for_each(visit),
            Parts::Faces(faces) => self.planes.visit_points(faces, |p| visit(&p)),
            Parts::Boxes(_) => {}
        }
    }

    fn is_told_by_few(&self, coarse: bool) -> bool {
        coarse && self.planes.are_none() && !self.node.coarse.is_empty()
    }
}

/// By what share of a height a point that is made on a plane may miss it: far above the rounding of the sums that make it,
/// so that boxes along the plane need not be opened one by one (our own choice, no source).
const ROUNDED: f64 = 1e-13;

/// Two parallel planes, either may be infinitely far.
#[derive(Clone, Copy, Debug)]
struct Between {
    /// Unit length; heights are along it.
    normal: Vector,
    /// Heights of the planes, mm: points at `low` belong to what is between, points at `high` do not, but as ends of edges.
    low: f64,
    high: f64,
}

impl Between {
    fn are_none(&self) -> bool {
        self.low == f64::NEG_INFINITY && self.high == f64::INFINITY
    }

    /// Least and largest height of a box.
    fn heights(&self, bounds: &Bounds) -> [f64; 2] {
        let middle = self.normal.dot(&bounds.centre().coords);
        let reach = self.normal.abs().dot(&(bounds.size() / 2.0));
        [middle - reach, middle + reach]
    }

    /// The points of a smallest box that a plane crosses: its vertices between the planes, and the points where edges cross
    /// a plane. A vertex on a plane counts as above it, and reaches what is below as the crossing point of an edge that
    /// ends there.
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
}

/// The search for the point that lies farthest in a direction.
struct Farthest {
    direction: Vector,
    coarse: bool,
    best: f64,
    at: Option<Point>,
}

impl Farthest {
    /// Looks into a box that reaches so far.
    fn look_into(&mut self, part: &Part, reach: f64) {
        if reach <= self.best {
            return;
        }
        let Some([a, b]) = part.parts(self.coarse) else {
            return part.show(self.coarse, |p| {
                let reach = self.direction.dot(&p.coords);
                if reach > self.best {
                    (self.best, self.at) = (reach, Some(*p));
                }
            });
        };
        let reach = |part: &Option<Part>| part.map_or(f64::NEG_INFINITY, |part| part.reach(&self.direction));
        let [a, b] = [(a, reach(&a)), (b, reach(&b))];
        let (far, near) = if a.1 > b.1 { (a, b) } else { (b, a) };
        for (part, reach) in [far, near] {
            if let Some(part) = part {
                self.look_into(&part, reach);
            }
        }
    }
}
