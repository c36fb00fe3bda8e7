//! The tree of boxes.

use super::COARSE_MM;
use super::tight::{Moments, TightBox};
use crate::{Bounds, Cancelled, Hull, Mesh, Point, Progress, Vector};
use std::sync::atomic::{AtomicUsize, Ordering};

/// A box of faces.
#[derive(Clone, Debug)]
pub(super) struct Node {
    /// Around all vertices of its faces, and no larger.
    pub bounds: Bounds,
    /// Around the same, along what it holds.
    pub tight: TightBox,
    pub parts: Parts,
    /// Points that stand for all of it within [`COARSE_POINTS_MM`]; none where its parts have them instead.
    pub coarse: Vec<Point>,
}

impl Node {
    /// Largest `direction · p` over the box: no point in it reaches farther.
    pub fn reach(&self, direction: &Vector) -> f64 {
        let Bounds { min, max } = &self.bounds;
        let upright: f64 = (0..3).map(|k| direction[k] * if direction[k] > 0.0 { max[k] } else { min[k] }).sum();
        upright.min(self.tight.reach(direction))
    }
}

/// What a box is made of.
#[derive(Clone, Debug)]
pub(super) enum Parts {
    /// The smallest boxes: faces, with every vertex and every edge once.
    Faces(Faces),
    Boxes(Box<[Node; 2]>),
}

#[derive(Clone, Debug)]
pub(super) struct Faces {
    pub vertices: Vec<Point>,
    /// As indices into the vertices.
    pub edges: Vec<[u16; 2]>,
}

/// Faces in the smallest boxes: what is looked at one by one grows with it, what is looked at as boxes with its
/// inverse. Corners must be countable in 16 bits.
const FACES: usize = 128;
/// How far outside the coarse points of a box others may lie, mm.
pub(super) const COARSE_POINTS_MM: f64 = COARSE_MM / 2.0;
/// Boxes of so many smallest ones have coarse points, and boxes of that many of those: a patch some millimetres wide
/// is told by a handful of points, one that is much wider by more than its parts that are seen (our own choice, no source).
const GATHERED: usize = 8;
/// Share of the coarse tolerance that smallest boxes, those of [`GATHERED`], and those of their square spend.
const SPENT: [f64; 3] = [0.5, 0.25, 0.25];

/// Builds the tree by halving the faces along the longest axis. `None` without faces.
pub(super) fn build(mesh: &Mesh, is_exact: bool, progress: &Progress) -> Result<Option<Node>, Cancelled> {
    progress.stage("preparing the live fit");
    let mut faces: Vec<Face> = mesh.triangles.iter().filter_map(|t| Face::of(mesh, *t)).collect();
    let builder = Builder { mesh, is_exact, progress, all: faces.len(), done: AtomicUsize::new(0) };
    if faces.is_empty() { Ok(None) } else { builder.node(&mut faces).map(|made| Some(made.node)) }
}

struct Face {
    corners: [u32; 3],
    middle: [f32; 3],
}

impl Face {
    fn of(mesh: &Mesh, corners: [u32; 3]) -> Option<Face> {
        let mut sum = nalgebra::Vector3::zeros();
        for i in corners {
            sum += mesh.vertices.get(i as usize)?.coords;
        }
        // Only for sorting into boxes, so that rounding does no harm.
        let middle = [sum.x, sum.y, sum.z].map(|x| (x / 3.0) as f32);
        sum.iter().all(|x| x.is_finite()).then_some(Face { corners, middle })
    }
}

/// A box, with what the box around it is made from.
struct Made {
    node: Node,
    moments: Moments,
    /// Points that stand for all of it, within what of the coarse tolerance is spent so far; none where that is no longer
    /// asked for.
    gathered: Vec<Point>,
}

struct Builder<'a> {
    mesh: &'a Mesh,
    /// Whether coarse points are asked for by nobody.
    is_exact: bool,
    progress: &'a Progress,
    all: usize,
    done: AtomicUsize,
}

impl Builder<'_> {
    fn node(&self, faces: &mut [Face]) -> Result<Made, Cancelled> {
        if faces.len() <= FACES {
            return Ok(self.smallest(faces));
        }
        self.progress.check()?;
        let axis = longest_axis(faces);
        let all = faces.len();
        let half = all / 2;
        faces.select_nth_unstable_by(half, |a, b| a.middle[axis].total_cmp(&b.middle[axis]));
        let (low, high) = faces.split_at_mut(half);
        let (low, high) = rayon::join(|| self.node(low), || self.node(high));
        let (low, high) = (low?, high?);
        let bounds = low.node.bounds.union(&high.node.bounds);
        let moments = low.moments.and(&high.moments);
        let corners = [low.node.tight.corners(), high.node.tight.corners()];
        let tight = TightBox::around(corners.as_flattened(), &moments, &bounds);
        let (coarse, gathered) = self.gather(all, low.gathered, &high.gathered);
        let parts = Parts::Boxes(Box::new([low.node, high.node]));
        Ok(Made { node: Node { bounds, tight, parts, coarse }, moments, gathered })
    }

    /// The coarse points of a box of two, and what is handed on to the one around it.
    fn gather(&self, faces: usize, mut low: Vec<Point>, high: &[Point]) -> (Vec<Point>, Vec<Point>) {
        // Halving makes each size once on the way down.
        let is_of = |smallest: usize| faces > smallest * FACES / 2 && faces <= smallest * FACES;
        if faces > GATHERED * GATHERED * FACES {
            return (Vec::new(), Vec::new());
        }
        low.extend_from_slice(high);
        match [GATHERED, GATHERED * GATHERED].into_iter().position(is_of) {
            Some(step) => {
                let coarse = self.coarser(&low, step + 1);
                (coarse.clone(), coarse)
            }
            None => (Vec::new(), low),
        }
    }

    /// Few of some points, all of the others within the share of a step of what coarse points may lose.
    fn coarser(&self, points: &[Point], step: usize) -> Vec<Point> {
        if self.is_exact { Vec::new() } else { Hull::within(points, SPENT[step] * COARSE_POINTS_MM).vertices }
    }

    fn smallest(&self, faces: &[Face]) -> Made {
        let mut corners: Vec<u32> = faces.iter().flat_map(|f| f.corners).collect();
        corners.sort_unstable();
        corners.dedup();
        let vertices: Vec<Point> = corners.iter().map(|&i| self.mesh.vertices[i as usize]).collect();
        let here = |i: u32| corners.partition_point(|&c| c < i) as u16;
        let mut edges: Vec<[u16; 2]> = faces
            .iter()
            .flat_map(|f| {
                let [a, b, c] = f.corners.map(here);
                [[a.min(b), a.max(b)], [b.min(c), b.max(c)], [c.min(a), c.max(a)]]
            })
            .collect();
        edges.sort_unstable();
        edges.dedup();
        let bounds = vertices.iter().fold(
            Bounds { min: Point::new(f64::MAX, f64::MAX, f64::MAX), max: Point::new(f64::MIN, f64::MIN, f64::MIN) },
            |b, p| Bounds { min: b.min.inf(p), max: b.max.sup(p) },
        );
        let done = self.done.fetch_add(faces.len(), Ordering::Relaxed) + faces.len();
        self.progress.report(done as f64 / self.all as f64);
        let moments = Moments::of(&vertices);
        let tight = TightBox::around(&vertices, &moments, &bounds);
        let coarse = self.coarser(&vertices, 0);
        let faces = Faces { vertices, edges };
        let gathered = coarse.clone();
        Made { node: Node { bounds, tight, parts: Parts::Faces(faces), coarse }, moments, gathered }
    }
}

fn longest_axis(faces: &[Face]) -> usize {
    let (mut low, mut high) = ([f32::INFINITY; 3], [f32::NEG_INFINITY; 3]);
    for face in faces {
        for k in 0..3 {
            low[k] = low[k].min(face.middle[k]);
            high[k] = high[k].max(face.middle[k]);
        }
    }
    let extent = |k: usize| high[k] - low[k];
    (0..3).fold(0, |best, k| if extent(k) > extent(best) { k } else { best })
}
