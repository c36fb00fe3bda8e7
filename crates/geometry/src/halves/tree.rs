//! The tree of boxes.

use super::tight::{Moments, TightBox};
use crate::{Bounds, Cancelled, Hull, Mesh, Point, Progress};
use std::sync::atomic::{AtomicUsize, Ordering};

/// A box of faces.
#[derive(Clone, Debug)]
pub(super) struct Node {
    /// Around all vertices of its faces, and no larger.
    pub bounds: Bounds,
    /// Around the same, along what it holds.
    pub tight: TightBox,
    pub parts: Parts,
}

/// What a box is made of.
#[derive(Clone, Debug)]
pub(super) enum Parts {
    /// The smallest boxes: faces, with every vertex once.
    Faces(Faces),
    Boxes(Box<[Node; 2]>),
}

#[derive(Clone, Debug)]
pub(super) struct Faces {
    pub vertices: Vec<Point>,
    pub triangles: Vec<[u16; 3]>,
    /// Few of the vertices, none of the others farther outside them than the tolerance. Empty where they would hardly
    /// be fewer.
    few: Vec<Point>,
}

impl Faces {
    /// Points that span the faces, within the tolerance.
    pub fn span(&self) -> &[Point] {
        if self.few.is_empty() { &self.vertices } else { &self.few }
    }
}

/// Faces in the smallest boxes: what is looked at one by one grows with it, what is looked at as boxes with its
/// inverse. Corners must be countable in 16 bits.
const FACES: usize = 128;
/// Few points are stored only where they are fewer than this share of the vertices.
const WORTH_STORING: f64 = 0.7;

/// Builds the tree by halving the faces along the longest axis. `None` without faces.
pub(super) fn build(mesh: &Mesh, tolerance_mm: f64, progress: &Progress) -> Result<Option<Node>, Cancelled> {
    progress.stage("preparing the live fit");
    let mut faces: Vec<Face> = mesh.triangles.iter().filter_map(|t| Face::of(mesh, *t)).collect();
    let builder = Builder { mesh, tolerance_mm, progress, all: faces.len(), done: AtomicUsize::new(0) };
    if faces.is_empty() { Ok(None) } else { builder.node(&mut faces).map(|(node, _)| Some(node)) }
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

struct Builder<'a> {
    mesh: &'a Mesh,
    tolerance_mm: f64,
    progress: &'a Progress,
    all: usize,
    done: AtomicUsize,
}

impl Builder<'_> {
    fn node(&self, faces: &mut [Face]) -> Result<(Node, Moments), Cancelled> {
        if faces.len() <= FACES {
            return Ok(self.smallest(faces));
        }
        self.progress.check()?;
        let axis = longest_axis(faces);
        let half = faces.len() / 2;
        faces.select_nth_unstable_by(half, |a, b| a.middle[axis].total_cmp(&b.middle[axis]));
        let (low, high) = faces.split_at_mut(half);
        let (low, high) = rayon::join(|| self.node(low), || self.node(high));
        let ((low, of_low), (high, of_high)) = (low?, high?);
        let bounds = low.bounds.union(&high.bounds);
        let moments = of_low.and(&of_high);
        let corners = [low.tight.corners(), high.tight.corners()];
        let tight = TightBox::around(corners.as_flattened(), &moments, &bounds);
        Ok((Node { bounds, tight, parts: Parts::Boxes(Box::new([low, high])) }, moments))
    }

    fn smallest(&self, faces: &[Face]) -> (Node, Moments) {
        let mut corners: Vec<u32> = faces.iter().flat_map(|f| f.corners).collect();
        corners.sort_unstable();
        corners.dedup();
        let vertices: Vec<Point> = corners.iter().map(|&i| self.mesh.vertices[i as usize]).collect();
        let here = |i: u32| corners.partition_point(|&c| c < i) as u16;
        let triangles = faces.iter().map(|f| f.corners.map(here)).collect();
        let bounds = vertices.iter().fold(
            Bounds { min: Point::new(f64::MAX, f64::MAX, f64::MAX), max: Point::new(f64::MIN, f64::MIN, f64::MIN) },
            |b, p| Bounds { min: b.min.inf(p), max: b.max.sup(p) },
        );
        let done = self.done.fetch_add(faces.len(), Ordering::Relaxed) + faces.len();
        self.progress.report(done as f64 / self.all as f64);
        let moments = Moments::of(&vertices);
        let tight = TightBox::around(&vertices, &moments, &bounds);
        let faces = Faces { few: self.few(&vertices), vertices, triangles };
        (Node { bounds, tight, parts: Parts::Faces(faces) }, moments)
    }

    fn few(&self, vertices: &[Point]) -> Vec<Point> {
        if self.tolerance_mm <= 0.0 {
            return Vec::new();
        }
        let corners = Hull::within(vertices, self.tolerance_mm).vertices;
        if (corners.len() as f64) < WORTH_STORING * vertices.len() as f64 { corners } else { Vec::new() }
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
