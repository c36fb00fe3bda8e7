//! The Delaunay triangulation of points in the plane, by halves (L. Guibas and J. Stolfi, "Primitives for the
//! manipulation of general subdivisions and the computation of Voronoi diagrams", 1985), with exact signs.

use crate::predicates::{in_circle, orient_2d};

/// A directed edge: its number in [`Net`]; the number of the one that runs the other way differs in the last bit.
pub(super) type Arc = u32;

/// Edges between points, each point's in order of their directions.
pub(super) struct Net<'a> {
    /// Distinct places, rising by x, then by y.
    pub points: &'a [[f64; 2]],
    links: Vec<Link>,
    free: Vec<Arc>,
}

#[derive(Clone, Copy)]
struct Link {
    from: u32,
    /// The next arc from the same point, turning left.
    left: Arc,
    /// The next arc from the same point, turning right.
    right: Arc,
}

/// Stands for the origin of an arc that was taken out.
const GONE: u32 = u32::MAX;

impl<'a> Net<'a> {
    /// The triangulation of at least two points, and the arc of its hull that leaves the first of them with the
    /// triangulation to its left.
    pub fn delaunay(points: &'a [[f64; 2]]) -> (Net<'a>, Arc) {
        // A planar drawing of n points has fewer than 3 n edges.
        let mut net = Net { points, links: Vec::with_capacity(6 * points.len()), free: Vec::new() };
        let (hull, _) = net.halves(0, points.len());
        (net, hull)
    }

    /// How many arcs there may be: all have lower numbers.
    pub fn len(&self) -> usize {
        self.links.len()
    }

    pub fn from(&self, e: Arc) -> u32 {
        self.links[e as usize].from
    }

    pub fn to(&self, e: Arc) -> u32 {
        self.links[back(e) as usize].from
    }

    /// The next arc from the same point, turning left.
    pub fn turn_left(&self, e: Arc) -> Arc {
        self.links[e as usize].left
    }

    fn turn_right(&self, e: Arc) -> Arc {
        self.links[e as usize].right
    }

    /// The next arc round the face to the left.
    pub fn next(&self, e: Arc) -> Arc {
        self.turn_right(back(e))
    }

    /// The arc before in the face to the left.
    pub fn previous(&self, e: Arc) -> Arc {
        back(self.turn_left(e))
    }

    pub fn is_gone(&self, e: Arc) -> bool {
        self.from(e) == GONE
    }

    /// Whether vertex `v` lies to the left (positive) or right (negative) of `e`, or in line with it.
    pub fn side(&self, e: Arc, v: u32) -> f64 {
        self.turn(self.from(e), self.to(e), v)
    }

    pub fn turn(&self, a: u32, b: u32, c: u32) -> f64 {
        orient_2d(self.at(a), self.at(b), self.at(c))
    }

    /// Whether `d` lies within the circle through `a`, `b` and `c`, which turn left.
    pub fn within(&self, a: u32, b: u32, c: u32, d: u32) -> bool {
        in_circle(self.at(a), self.at(b), self.at(c), self.at(d)) > 0.0
    }

    fn at(&self, v: u32) -> [f64; 2] {
        self.points[v as usize]
    }

    fn add(&mut self, from: u32, to: u32) -> Arc {
        let e = self.free.pop().unwrap_or_else(|| {
            let e = self.links.len() as Arc;
            self.links.extend([Link { from, left: e, right: e }; 2]);
            e
        });
        for (arc, from) in [(e, from), (back(e), to)] {
            self.links[arc as usize] = Link { from, left: arc, right: arc };
        }
        e
    }

    /// Exchanges what follows on `a` and on `b`: joins two faces into one, or parts one into two.
    fn splice(&mut self, a: Arc, b: Arc) {
        let (after_a, after_b) = (self.turn_left(a), self.turn_left(b));
        self.links[a as usize].left = after_b;
        self.links[after_b as usize].right = a;
        self.links[b as usize].left = after_a;
        self.links[after_a as usize].right = b;
    }

    /// Adds an arc from the end of `a` to the beginning of `b`, through the face to the left of both; that face is to the
    /// left of the new arc too, cut off by it.
    pub fn connect(&mut self, a: Arc, b: Arc) -> Arc {
        let e = self.add(self.to(a), self.from(b));
        let after = self.next(a);
        self.splice(e, after);
        self.splice(back(e), b);
        e
    }

    /// Takes an edge out; the faces to its sides become one.
    pub fn remove(&mut self, e: Arc) {
        for arc in [e, back(e)] {
            let right = self.turn_right(arc);
            self.splice(arc, right);
            self.links[arc as usize].from = GONE;
        }
        self.free.push(e & !1);
    }

    /// Triangulates the points from `low` on up to `high`, at least two. Gives the arcs of the hull that leave its first
    /// point with the hull to their left and its last point with the hull to their right.
    fn halves(&mut self, low: usize, high: usize) -> (Arc, Arc) {
        let first = low as u32;
        match high - low {
            0..=2 => {
                let e = self.add(first, first + 1);
                return (e, back(e));
            }
            3 => {
                let (a, b) = (self.add(first, first + 1), self.add(first + 1, first + 2));
                self.splice(back(a), b);
                let turn = self.turn(first, first + 1, first + 2);
                if turn == 0.0 {
                    return (a, back(b));
                }
                let c = self.connect(b, a);
                return if turn > 0.0 { (a, back(b)) } else { (back(c), c) };
            }
            _ => {}
        }
        let middle = low + (high - low) / 2;
        let left = self.halves(low, middle);
        let right = self.halves(middle, high);
        self.merge(left, right)
    }

    /// Joins the triangulations of two sets of points, all of the second behind those of the first.
    fn merge(&mut self, (mut first, mut left): (Arc, Arc), (mut right, mut last): (Arc, Arc)) -> (Arc, Arc) {
        // The lower common tangent.
        loop {
            if self.side(left, self.from(right)) > 0.0 {
                left = self.next(left);
            } else if self.side(right, self.from(left)) < 0.0 {
                right = self.turn_left(back(right));
            } else {
                break;
            }
        }
        let mut base = self.connect(back(right), left);
        if self.from(left) == self.from(first) {
            first = back(base);
        }
        if self.from(right) == self.from(last) {
            last = base;
        }
        // Upwards, from one edge that joins both to the next.
        loop {
            let left = self.candidate(base, self.turn_left(back(base)), Net::turn_left);
            let right = self.candidate(base, self.turn_right(base), Net::turn_right);
            base = match (left, right) {
                (None, None) => return (first, last),
                (Some(left), None) => self.connect(back(base), back(left)),
                (None, Some(right)) => self.connect(right, back(base)),
                (Some(left), Some(right)) => {
                    if self.within(self.to(left), self.from(left), self.from(right), self.to(right)) {
                        self.connect(right, back(base))
                    } else {
                        self.connect(back(base), back(left))
                    }
                }
            };
        }
    }

    /// The edge from one end of `base` whose other end makes the next triangle on that side, if any; edges that are in the
    /// way of it are taken out.
    fn candidate(&mut self, base: Arc, mut e: Arc, turn: fn(&Net<'a>, Arc) -> Arc) -> Option<Arc> {
        if self.side(base, self.to(e)) >= 0.0 {
            return None;
        }
        let (a, b) = (self.to(base), self.from(base));
        loop {
            // A point below `base` is not within: what of the circle lies there is part of an empty one.
            let beyond = turn(self, e);
            if !self.within(a, b, self.to(e), self.to(beyond)) {
                return Some(e);
            }
            self.remove(e);
            e = beyond;
        }
    }
}

/// The same edge the other way.
pub(super) fn back(e: Arc) -> Arc {
    e ^ 1
}
