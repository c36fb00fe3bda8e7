//! A tool, ready to be asked.

use rustc_hash::FxHashMap;

use super::signs;
use crate::bore::Tool;
use crate::{Plane, Point};

/// A facet of the tool.
pub(super) struct Facet {
    /// Its corners, counter-clockwise as seen from outside.
    pub corners: Vec<u32>,
    /// Three of them, far apart.
    three: [u32; 3],
    /// Its plane, with *above* outside. For measuring, not for signs.
    pub plane: Plane,
    /// The sides, from each corner to the next, by their numbers.
    pub sides: Vec<u32>,
}

/// A side of two facets.
#[derive(Clone, Copy)]
pub(super) struct Side {
    /// From the lower to the higher corner.
    pub ends: [u32; 2],
    /// The facet in which it runs that way, and the one in which it runs the other way.
    pub facets: [u32; 2],
}

pub(super) struct Ready<'a> {
    pub tool: &'a Tool,
    pub facets: Vec<Facet>,
    pub sides: Vec<Side>,
    /// Whether no vertex beyond a facet is inside.
    pub is_convex: bool,
}

/// Where the distance from a facet's plane is more than this share of the distance from one of its corners, rounding cannot
/// have turned its sign: a hundred thousand times what it adds for corners that stand at more than 10⁻³ rad.
const CLEAR_SHARE: f64 = 1e-9;

impl<'a> Ready<'a> {
    /// `None` for one that is not closed or has a facet without area.
    pub fn of(tool: &'a Tool) -> Option<Ready<'a>> {
        let mut sides: Vec<Side> = Vec::new();
        let mut number: FxHashMap<[u32; 2], u32> = FxHashMap::default();
        let mut facets = Vec::with_capacity(tool.facets.len());
        for (f, corners) in (0..).zip(&tool.facets) {
            let count = corners.len();
            let three = [0, count / 3, 2 * count / 3].map(|i| corners[i]);
            let [a, b, c] = three.map(|v| tool.corners[v as usize]);
            let plane = Plane::through(a, (b - a).cross(&(c - a))).ok()?;
            let mut own = Vec::with_capacity(count);
            for i in 0..count {
                let (from, to) = (corners[i], corners[(i + 1) % count]);
                let ends = [from.min(to), from.max(to)];
                let side = *number.entry(ends).or_insert_with(|| {
                    sides.push(Side { ends, facets: [NONE; 2] });
                    (sides.len() - 1) as u32
                });
                let slot = &mut sides[side as usize].facets[usize::from(from > to)];
                if *slot != NONE {
                    return None;
                }
                *slot = f;
                own.push(side);
            }
            facets.push(Facet { corners: corners.clone(), three, plane, sides: own });
        }
        if sides.iter().any(|side| side.facets.contains(&NONE)) {
            return None;
        }
        let mut ready = Ready { tool, facets, sides, is_convex: false };
        let holds = |f: usize| tool.corners.iter().all(|p| ready.distance_mm(f, p) <= ready.rounding_mm(f, p));
        ready.is_convex = (0..ready.facets.len()).all(holds);
        Some(ready)
    }

    pub fn corner(&self, i: u32) -> &Point {
        &self.tool.corners[i as usize]
    }

    /// From the plane of a facet, positive outside. For measuring.
    pub fn distance_mm(&self, facet: usize, p: &Point) -> f64 {
        let facet = &self.facets[facet];
        facet.plane.normal().dot(&(p - self.corner(facet.three[0])))
    }

    fn rounding_mm(&self, facet: usize, p: &Point) -> f64 {
        (p - self.corner(self.facets[facet].three[0])).amax() * CLEAR_SHARE
    }

    /// Whether a vertex lies beyond a facet of the moved tool, exactly; `distance_mm` is its distance from there.
    pub fn is_beyond(&self, facet: usize, p: &Point, distance_mm: f64) -> bool {
        if distance_mm.abs() > self.rounding_mm(facet, p) {
            return distance_mm > 0.0;
        }
        signs::is_beyond(self.facets[facet].three.map(|v| self.corner(v)), p)
    }

    /// Whether the edge between two vertices on either side of a facet's plane goes through the facet.
    pub fn goes_through(&self, facet: usize, edge: [&Point; 2]) -> bool {
        let corners = &self.facets[facet].corners;
        let passes = |i: usize| {
            let (a, b) = (self.corner(corners[i]), self.corner(corners[(i + 1) % corners.len()]));
            signs::passes_left(edge, [a, b])
        };
        let first = passes(0);
        (1..corners.len()).all(|i| passes(i) == first)
    }

    /// Whether a triangle that lies in the plane of a facet overlaps it by more than `on_mm`: no side of either has the other
    /// outside (separating axes).
    pub fn overlap(&self, facet: u32, triangle: &[Point; 3], on_mm: f64) -> bool {
        let facet = &self.facets[facet as usize];
        let corners: Vec<Point> = facet.corners.iter().map(|v| *self.corner(*v)).collect();
        let normal = facet.plane.normal();
        let parts = |a: &[Point], b: &[Point]| {
            (0..a.len()).any(|i| {
                let (from, to) = (a[i], a[(i + 1) % a.len()]);
                // Points away from a polygon that turns left as seen against the normal.
                let out = (to - from).cross(&normal);
                b.iter().all(|p| out.dot(&(p - from)) >= -on_mm * out.norm())
            })
        };
        !parts(&corners, triangle) && !parts(triangle, &corners)
    }

    /// Whether a vertex lies in the moved tool: facets above it that look up, minus those that look down.
    pub fn holds(&self, p: &Point) -> bool {
        let mut turns = 0;
        for (f, facet) in self.facets.iter().enumerate() {
            let flat = |v: u32| [self.corner(v).x, self.corner(v).y];
            let Some(turn) = turn_round(&facet.corners, flat, [p.x, p.y]) else { continue };
            let beyond = self.is_beyond(f, p, self.distance_mm(f, p));
            if beyond == (turn < 0) {
                turns += turn;
            }
        }
        turns != 0
    }
}

/// Seen from above, whether a convex polygon moved by (ε, ε²) goes round `p` counter-clockwise (1), clockwise (−1) or not at
/// all. Polygons seen edge-on never do.
fn turn_round(corners: &[u32], flat: impl Fn(u32) -> [f64; 2], p: [f64; 2]) -> Option<i32> {
    use crate::predicates::{left_of_moved_line, orient_2d};
    let places: Vec<[f64; 2]> = corners.iter().map(|v| flat(*v)).collect();
    let over = |k: usize, pick: fn(f64, f64) -> f64| places.iter().fold(places[0][k], |m, q| pick(m, q[k]));
    // With what ε adds, so that a place on the rim is not sorted out.
    if (0..2).any(|k| p[k] < over(k, f64::min) || p[k] > over(k, f64::max)) {
        return None;
    }
    let count = places.len();
    if (2..count).all(|i| orient_2d(places[0], places[1], places[i]) == 0.0) && is_level(&places) {
        return None;
    }
    let left = |i: usize| left_of_moved_line(places[i], places[(i + 1) % count], p);
    let first = left(0);
    (1..count).all(|i| left(i) == first).then_some(if first { 1 } else { -1 })
}

/// Whether all places lie on one line, the first two of which may be one place.
fn is_level(places: &[[f64; 2]]) -> bool {
    let Some(second) = places.iter().find(|q| **q != places[0]) else { return true };
    places.iter().all(|q| crate::predicates::orient_2d(places[0], *second, *q) == 0.0)
}

/// No facet.
pub(super) const NONE: u32 = u32::MAX;
