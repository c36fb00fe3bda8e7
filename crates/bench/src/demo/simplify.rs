//! Fewer triangles for the same shape: edge collapse by quadric error.
//!
//! M. Garland and P. S. Heckbert, "Surface simplification using quadric error metrics", SIGGRAPH 1997. A collapse is
//! only made where it keeps the surface a 2-manifold (link condition: T. K. Dey et al., "Topology preserving edge
//! contraction", Publ. Inst. Math. 66 (1999)) and turns no face over, so a closed surface stays closed.
mod quadric;
mod star;

use quadric::Quadric;
use seamwright_geometry::{Mesh, Point};
use star::Stars;
use std::cmp::Reverse;
use std::collections::BinaryHeap;

/// Collapses edges of the closed mesh `mesh`, cheapest first, until `triangles` are left or no edge may go.
/// The same mesh always gives the same result.
pub fn simplify(mesh: Mesh, triangles: usize) -> Mesh {
    let mut work = Work::new(mesh);
    while work.stars.faces_left() > triangles {
        let Some(Reverse(next)) = work.queue.pop() else { break };
        if work.is_current(&next) {
            work.collapse(&next);
        }
    }
    work.stars.into_mesh()
}

/// A collapse that waits its turn, valid while neither end has changed since.
#[derive(Clone, Copy, Debug)]
struct Candidate {
    cost: f64,
    ends: [u32; 2],
    stamps: [u32; 2],
    to: [f32; 3],
}

impl Ord for Candidate {
    fn cmp(&self, other: &Self) -> std::cmp::Ordering {
        self.cost.total_cmp(&other.cost).then_with(|| self.ends.cmp(&other.ends))
    }
}
impl PartialOrd for Candidate {
    fn partial_cmp(&self, other: &Self) -> Option<std::cmp::Ordering> {
        Some(self.cmp(other))
    }
}
impl PartialEq for Candidate {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other).is_eq()
    }
}
impl Eq for Candidate {}

struct Work {
    stars: Stars,
    quadrics: Vec<Quadric>,
    stamps: Vec<u32>,
    queue: BinaryHeap<Reverse<Candidate>>,
}

impl Work {
    fn new(mesh: Mesh) -> Work {
        let mut quadrics = vec![Quadric::default(); mesh.vertices.len()];
        for t in 0..mesh.triangles.len() {
            let q = Quadric::of_face(mesh.corners(t));
            for &v in &mesh.triangles[t] {
                quadrics[v as usize] += q;
            }
        }
        let stamps = vec![0; mesh.vertices.len()];
        let edges: Vec<[u32; 2]> =
            mesh.triangles.iter().flat_map(|&[a, b, c]| [[a, b], [b, c], [c, a]]).filter(|[a, b]| a < b).collect();
        let mut work = Work { stars: Stars::new(mesh), quadrics, stamps, queue: BinaryHeap::new() };
        work.queue = edges.into_iter().map(|e| Reverse(work.candidate(e))).collect::<Vec<_>>().into();
        work
    }

    fn candidate(&self, ends: [u32; 2]) -> Candidate {
        let [a, b] = ends.map(|v| self.stars.vertex(v));
        let sum = self.quadrics[ends[0] as usize] + self.quadrics[ends[1] as usize];
        let middle = nalgebra::center(&a, &b);
        // A place far from the edge comes from an ill-conditioned quadric: the edge's own points are then better.
        let best = sum.lowest(middle).filter(|p| (p - middle).norm() < (b - a).norm());
        let choices = [best, Some(middle), Some(a), Some(b)];
        let (cost, to) = choices
            .into_iter()
            .flatten()
            .map(|p| p.coords.map(|c| c as f32))
            .map(|p| (sum.at(Point::from(p.map(f64::from))), p))
            .min_by(|p, q| p.0.total_cmp(&q.0))
            .unwrap_or((f64::INFINITY, a.coords.map(|c| c as f32)));
        Candidate { cost, ends, stamps: ends.map(|v| self.stamps[v as usize]), to: to.into() }
    }

    fn is_current(&self, c: &Candidate) -> bool {
        c.ends.map(|v| self.stamps[v as usize]) == c.stamps
    }

    fn collapse(&mut self, c: &Candidate) {
        let [keep, drop] = c.ends;
        let to = Point::from(c.to.map(f64::from));
        if !self.stars.may_collapse(keep, drop, to) {
            return;
        }
        self.stars.collapse(keep, drop, to);
        let gone = self.quadrics[drop as usize];
        self.quadrics[keep as usize] += gone;
        for v in [keep, drop] {
            self.stamps[v as usize] += 1;
        }
        for other in self.stars.around(keep) {
            let candidate = self.candidate([keep.min(other), keep.max(other)]);
            self.queue.push(Reverse(candidate));
        }
    }
}
