//! Boxes around edges that lie near each other, each with the directions in which its edges face.

use std::ops::Range;

use super::outline::{Flat, Outline};

/// The edges of an outline in a tree of boxes.
pub(super) struct Tree {
    nodes: Vec<Node>,
}

struct Node {
    low: Flat,
    high: Flat,
    /// Directions into the material from anything in the box.
    faces: Directions,
    parts: Parts,
}

enum Parts {
    Edges(Range<usize>),
    Nodes([usize; 2]),
}

/// Edges in the smallest boxes. They follow each other on a line, so that they face nearly the same way.
const EDGES: usize = 8;

impl Tree {
    pub fn of(outline: &Outline) -> Tree {
        let mut leaves: Vec<Node> = Vec::new();
        for line in outline.starts.windows(2) {
            let begins = (line[0]..line[1]).step_by(EDGES);
            leaves.extend(begins.map(|first| leaf(outline, first..(first + EDGES).min(line[1]))));
        }
        let mut tree = Tree { nodes: Vec::with_capacity(2 * leaves.len()) };
        if !leaves.is_empty() {
            tree.build(leaves);
        }
        tree
    }

    /// Puts the boxes into one and gives its number: halves them at the middle of their longer extent.
    fn build(&mut self, mut boxes: Vec<Node>) -> usize {
        if boxes.len() > 1 {
            let (low, high) = around(&boxes);
            let axis = (high - low).imax();
            let half = boxes.len() / 2;
            boxes.select_nth_unstable_by(half, |a, b| {
                (a.low[axis] + a.high[axis]).total_cmp(&(b.low[axis] + b.high[axis]))
            });
            let far = boxes.split_off(half);
            let parts = [self.build(boxes), self.build(far)];
            let [near, far] = parts.map(|i| &self.nodes[i]);
            let faces = near.faces.and(&far.faces);
            self.nodes.push(Node { low, high, faces, parts: Parts::Nodes(parts) });
        } else {
            self.nodes.extend(boxes);
        }
        self.nodes.len() - 1
    }

    /// Visits edges that the ray from `p` in direction `towards` (unit length) may meet before `reach`; others, too.
    pub fn along_ray(&self, p: &Flat, towards: &Flat, reach: f64, mut visit: impl FnMut(usize)) {
        let over = towards.map(|x| 1.0 / x);
        let mut open: Vec<usize> = self.root().into_iter().collect();
        while let Some(i) = open.pop() {
            let node = &self.nodes[i];
            if !node.is_met(p, &over, reach) {
                continue;
            }
            match &node.parts {
                Parts::Nodes(parts) => open.extend(parts),
                Parts::Edges(edges) => edges.clone().for_each(&mut visit),
            }
        }
    }

    /// Visits edges nearer to `p` than `reach`, which a visit may make smaller, that may face `p` squarely while lying
    /// in one of the directions `seen` from there; others, too. Near ones come first.
    pub fn facing(&self, p: &Flat, seen: &Directions, mut reach: f64, mut visit: impl FnMut(usize) -> f64) {
        let mut open: Vec<(f64, usize)> = self.root().map(|i| (0.0, i)).into_iter().collect();
        while let Some((distance, i)) = open.pop() {
            let node = &self.nodes[i];
            if distance >= reach || !node.may_face(p, seen) {
                continue;
            }
            match &node.parts {
                Parts::Edges(edges) => edges.clone().for_each(|e| reach = visit(e)),
                Parts::Nodes(parts) => {
                    let mut parts = parts.map(|i| (self.nodes[i].distance(p), i));
                    parts.sort_by(|a, b| b.0.total_cmp(&a.0));
                    open.extend(parts);
                }
            }
        }
    }

    fn root(&self) -> Option<usize> {
        self.nodes.len().checked_sub(1)
    }
}

fn leaf(outline: &Outline, edges: Range<usize>) -> Node {
    let mut node: Option<Node> = None;
    for edge in &outline.edges[edges.clone()] {
        // The corner at its end may face in all directions up to those of the next edge.
        let faces = Directions::of(&edge.inwards).and(&Directions::of(&outline.edges[edge.after].inwards));
        let (low, high) = (edge.from.inf(&edge.to), edge.from.sup(&edge.to));
        node = Some(match node {
            None => Node { low, high, faces, parts: Parts::Edges(edges.clone()) },
            Some(n) => Node { low: n.low.inf(&low), high: n.high.sup(&high), faces: n.faces.and(&faces), ..n },
        });
    }
    node.unwrap_or(Node { low: Flat::zeros(), high: Flat::zeros(), faces: Directions::ALL, parts: Parts::Edges(edges) })
}

fn around(boxes: &[Node]) -> (Flat, Flat) {
    let nothing = (Flat::repeat(f64::INFINITY), Flat::repeat(f64::NEG_INFINITY));
    boxes.iter().fold(nothing, |(low, high), b| (low.inf(&b.low), high.sup(&b.high)))
}

impl Node {
    /// Slab test (Kay and Kajiya, "Ray tracing complex scenes", 1986). Rays along a side of the box divide 0 by 0: such
    /// numbers lose every comparison and the box counts as met.
    fn is_met(&self, p: &Flat, over: &Flat, reach: f64) -> bool {
        let (mut begin, mut end) = (0.0_f64, reach);
        for k in 0..2 {
            let (a, b) = ((self.low[k] - p[k]) * over[k], (self.high[k] - p[k]) * over[k]);
            begin = begin.max(a.min(b));
            end = end.min(a.max(b));
        }
        begin <= end
    }

    fn distance(&self, p: &Flat) -> f64 {
        p.zip_zip_map(&self.low, &self.high, |x, low, high| (low - x).max(x - high).max(0.0)).norm()
    }

    /// Whether something in the box may look at `p` squarely, and lie in one of the directions `seen` from there.
    fn may_face(&self, p: &Flat, seen: &Directions) -> bool {
        let to_p = p - (self.low + self.high) / 2.0;
        let (distance, radius) = (to_p.norm(), (self.high - self.low).norm() / 2.0);
        if distance <= radius {
            return true;
        }
        let (towards, sine) = (to_p / distance, radius / distance);
        self.faces.come_near(&towards, sine) && seen.come_near(&-towards, sine)
    }
}

/// All directions within an angle of a middle one.
#[derive(Clone, Copy, Debug)]
pub(super) struct Directions {
    middle: Flat,
    /// Angle to either side, rad, with its sine and cosine.
    spread: f64,
    sine: f64,
    cosine: f64,
}

/// Added to spreads so that rounding never leaves anything out, rad: far above the rounding of sines of unit vectors,
/// whose error near a half turn is √ε ≈ 1.5·10⁻⁸.
const ROUNDING_RAD: f64 = 1e-7;

impl Directions {
    pub const ALL: Directions =
        Directions { middle: Flat::new(1.0, 0.0), spread: std::f64::consts::PI, sine: 0.0, cosine: -1.0 };

    /// One direction (unit length).
    pub fn of(direction: &Flat) -> Directions {
        Directions::around(*direction, 0.0)
    }

    fn around(middle: Flat, spread: f64) -> Directions {
        let spread = spread + ROUNDING_RAD;
        if spread >= std::f64::consts::PI {
            Directions::ALL
        } else {
            Directions { middle, spread, sine: spread.sin(), cosine: spread.cos() }
        }
    }

    /// The narrowest that hold both.
    pub fn and(&self, other: &Directions) -> Directions {
        let apart = self.middle.perp(&other.middle).atan2(self.middle.dot(&other.middle));
        let low = (-self.spread).min(apart - other.spread);
        let high = self.spread.max(apart + other.spread);
        let turn = nalgebra::Rotation2::new((low + high) / 2.0);
        Directions::around(turn * self.middle, (high - low) / 2.0)
    }

    /// These and all within an angle of them, rad.
    pub fn widened(&self, by: f64) -> Directions {
        Directions::around(self.middle, self.spread + by)
    }

    /// Whether a direction within the angle of this sine of `direction` may be one of these.
    fn come_near(&self, direction: &Flat, sine: f64) -> bool {
        // Sum of both angles beyond a half turn.
        if self.cosine < 0.0 && sine >= self.sine {
            return true;
        }
        self.middle.dot(direction)
            >= self.cosine * (1.0 - sine * sine).max(0.0).sqrt() - self.sine * sine - ROUNDING_RAD
    }
}
