//! A patch gets faces as large as those around it.

use rustc_hash::FxHashMap;

use crate::{Point, Vector};

/// A patch over a rim.
pub(super) struct Patch {
    /// The vertices of the rim, then those within.
    pub places: Vec<Point>,
    /// How many of them are of the rim.
    pub rim: usize,
    pub faces: Vec<[usize; 3]>,
}

/// Parts the faces of a patch until they are as large as those around it, and turns edges so that they are well shaped.
/// `size_mm` says for each vertex of the rim how long edges are there; within, sizes go over into one another. New edges between
/// vertices of the rim are drawn only where they are free.
///
/// (Liepa, "Filling holes in meshes", 2003, section 4, after Pfeifle and Seidel, 1996.)
pub(super) fn refine(patch: &mut Patch, size_mm: &[f64], is_free: &dyn Fn(usize, usize) -> bool) {
    let mut size = size_mm.to_vec();
    // So many that solving for them stays quick.
    let area: f64 = patch.faces.iter().map(|face| area(&patch.corners(face))).sum();
    let mean = size.iter().sum::<f64>() / size.len().max(1) as f64;
    // Two faces a vertex, each √3/4 of the square of its edges.
    let wanted = area / (mean * mean * 3.0_f64.sqrt() / 2.0);
    let coarser = (wanted / MOST_WITHIN as f64).sqrt().max(1.0);
    size.iter_mut().for_each(|size| *size *= coarser);

    let mut mesh = Links::of(patch, is_free);
    for _ in 0..ROUNDS {
        let mut news = Vec::new();
        for f in 0..mesh.patch.faces.len() {
            let face = mesh.patch.faces[f];
            let corners = mesh.patch.corners(&face);
            let middle = Point::from((corners[0].coords + corners[1].coords + corners[2].coords) / 3.0);
            let here = face.iter().map(|v| size[*v]).sum::<f64>() / 3.0;
            let is_far = |(v, p): (&usize, &Point)| {
                let far = 2.0_f64.sqrt() * nalgebra::distance(&middle, p);
                far > here && far > size[*v]
            };
            if mesh.patch.places.len() < mesh.patch.rim + 2 * MOST_WITHIN && face.iter().zip(&corners).all(is_far) {
                size.push(here);
                mesh.part(f, middle);
                news.push(f);
            }
        }
        mesh.relax();
        if news.is_empty() {
            break;
        }
    }
}

/// Vertices within a patch, about at most; where there would be more, its faces are larger. Our own choice, no source: a second's
/// work to fair them.
const MOST_WITHIN: usize = 10_000;
/// Each round makes edges about half as long; nobody needs a thousandth of a thousandth. Our own choice, no source.
const ROUNDS: usize = 40;

impl Patch {
    pub(super) fn corners(&self, face: &[usize; 3]) -> [Point; 3] {
        face.map(|v| self.places[v])
    }
}

fn area([a, b, c]: &[Point; 3]) -> f64 {
    (b - a).cross(&(c - a)).norm() / 2.0
}

/// A patch, and which face uses each edge from its first to its second vertex.
pub(super) struct Links<'a> {
    patch: &'a mut Patch,
    edges: FxHashMap<(usize, usize), usize>,
    is_free: &'a dyn Fn(usize, usize) -> bool,
}

impl<'a> Links<'a> {
    pub(super) fn of(patch: &'a mut Patch, is_free: &'a dyn Fn(usize, usize) -> bool) -> Links<'a> {
        let mut links = Links { patch, edges: FxHashMap::default(), is_free };
        (0..links.patch.faces.len()).for_each(|f| links.note(f));
        links
    }

    fn note(&mut self, f: usize) {
        let [a, b, c] = self.patch.faces[f];
        for edge in [(a, b), (b, c), (c, a)] {
            self.edges.insert(edge, f);
        }
    }

    /// Puts a vertex into a face.
    fn part(&mut self, f: usize, place: Point) {
        let [a, b, c] = self.patch.faces[f];
        let new = self.patch.places.len();
        self.patch.places.push(place);
        self.patch.faces[f] = [a, b, new];
        self.patch.faces.extend([[b, c, new], [c, a, new]]);
        let last = self.patch.faces.len();
        [f, last - 2, last - 1].into_iter().for_each(|f| self.note(f));
    }

    /// Turns edges until every one has the corners opposite to it outside the other's circle, as if the two faces lay in one
    /// plane: until the angles opposite to it add up to no more than two right ones.
    pub(super) fn relax(&mut self) {
        let mut edges: Vec<(usize, usize)> = self.edges.keys().copied().filter(|(a, b)| a < b).collect();
        edges.sort_unstable();
        // Turning ends by itself in a plane; on a folded patch it might not.
        let mut left = TURNS * edges.len();
        while let Some((a, b)) = edges.pop() {
            if left == 0 {
                return;
            }
            left -= 1;
            let (Some(&f), Some(&g)) = (self.edges.get(&(a, b)), self.edges.get(&(b, a))) else { continue };
            let opposite = |f: usize| self.patch.faces[f].into_iter().find(|v| *v != a && *v != b);
            let (Some(c), Some(d)) = (opposite(f), opposite(g)) else { continue };
            if self.should_turn(a, b, c, d) {
                self.edges.remove(&(a, b));
                self.edges.remove(&(b, a));
                self.patch.faces[f] = [c, a, d];
                self.patch.faces[g] = [d, b, c];
                self.note(f);
                self.note(g);
                edges.extend([(a, d), (d, b), (b, c), (c, a)].map(|(x, y)| (x.min(y), x.max(y))));
            }
        }
    }

    /// `c` is opposite to the edge from `a` to `b`, `d` on the other side.
    fn should_turn(&self, a: usize, b: usize, c: usize, d: usize) -> bool {
        let rim = self.patch.rim;
        if c == d || self.edges.contains_key(&(c, d)) || self.edges.contains_key(&(d, c)) {
            return false;
        }
        if c < rim && d < rim && !(self.is_free)(c, d) {
            return false;
        }
        let [a, b, c, d] = [a, b, c, d].map(|v| self.patch.places[v]);
        if cotangent(&c, &a, &b) + cotangent(&d, &b, &a) >= -ROUNDING {
            return false;
        }
        // What is folded must not be folded over.
        let normal = |a: &Point, b: &Point, c: &Point| -> Vector { (b - a).cross(&(c - a)) };
        let before = normal(&a, &b, &c) + normal(&b, &a, &d);
        normal(&c, &a, &d).dot(&before) > 0.0 && normal(&d, &b, &c).dot(&before) > 0.0
    }
}

/// Edges looked at on the way to a relaxed patch, for each edge that it has. Our own choice, no source: in a plane, ten would do.
const TURNS: usize = 50;
/// Of four corners on one circle, both edges are as good; rounding must not turn them for ever.
const ROUNDING: f64 = 1e-9;

/// Of the angle at `at`.
pub(super) fn cotangent(at: &Point, a: &Point, b: &Point) -> f64 {
    let (u, v) = (a - at, b - at);
    u.dot(&v) / u.cross(&v).norm().max(f64::MIN_POSITIVE)
}
