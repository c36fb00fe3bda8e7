//! Measures of a hull that can only grow when the hull does: each is a proof of *too big* when it exceeds the room's.

use super::Hull;
use crate::{Point, Vector};

impl Hull {
    /// Enclosed volume, mm³.
    pub fn volume_mm3(&self) -> f64 {
        let Some(&o) = self.vertices.first() else { return 0.0 };
        let tetrahedron = |[a, b, c]: [Point; 3]| (a - o).dot(&(b - o).cross(&(c - o)));
        self.corners().map(tetrahedron).sum::<f64>() / 6.0
    }

    /// Surface area, mm²; both sides of a flat hull.
    pub fn area_mm2(&self) -> f64 {
        self.corners().map(|t| twice_area(t).norm()).sum::<f64>() / 2.0
    }

    /// Width averaged over all directions, mm: Σ edge length × angle between the normals of its faces, over 4π
    /// (L. A. Santaló, *Integral Geometry and Geometric Probability*, 1976, III.13.6). Half the sum of the sides for a
    /// box. `None` for a hull without faces.
    pub fn mean_width_mm(&self) -> Option<f64> {
        if self.faces.is_empty() {
            return None;
        }
        let sum: f64 = self
            .edges()
            .iter()
            .map(|edge| {
                let [m, n] = edge.normals;
                (edge.ends[1] - edge.ends[0]).norm() * m.cross(&n).norm().atan2(m.dot(&n))
            })
            .sum();
        Some(sum / (4.0 * std::f64::consts::PI))
    }

    /// Largest distance between two corners, mm. Looks at all pairs.
    pub fn diameter_mm(&self) -> f64 {
        let v = &self.vertices;
        let squared = (0..v.len()).flat_map(|i| (0..i).map(move |j| nalgebra::distance_squared(&v[i], &v[j])));
        squared.fold(0.0, f64::max).sqrt()
    }

    /// Distance between the two planes square to `direction` (unit length) that enclose it, mm.
    pub fn width_mm(&self, direction: &Vector) -> f64 {
        let (low, high) = self
            .vertices
            .iter()
            .map(|p| direction.dot(&p.coords))
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), x| (low.min(x), high.max(x)));
        (high - low).max(0.0)
    }

    /// Smallest width over all directions, mm; `None` for a hull without faces. At the minimum one of the two planes
    /// holds a face, or each holds an edge (M. E. Houle and G. T. Toussaint, IEEE Trans. PAMI 10(5):761–765, 1988).
    /// Looks at all pairs of edges, unless a face already shows a width of at most `enough_mm`.
    pub fn least_width_mm(&self, enough_mm: f64) -> Option<f64> {
        let on_a_face = self
            .corners()
            .filter_map(|t| twice_area(t).try_normalize(0.0))
            .map(|normal| self.width_mm(&normal))
            .fold(None, |least: Option<f64>, w| Some(least.map_or(w, |l| l.min(w))))?;
        if on_a_face <= enough_mm {
            return Some(on_a_face);
        }
        let edges: Vec<Edge> = self.edges().into_iter().filter(|e| e.normals[0] != e.normals[1]).collect();
        let pairs = (0..edges.len()).flat_map(|i| (0..i).map(move |j| (i, j)));
        let on_edges = pairs.filter_map(|(i, j)| width_between(&edges[i], &edges[j]));
        Some(on_edges.fold(on_a_face, f64::min))
    }

    /// The two ends of every edge, once; a segment is its own only edge.
    pub(crate) fn edge_ends(&self) -> Vec<[u32; 2]> {
        let sides = self.faces.iter().flat_map(|&[a, b, c]| [[a, b], [b, c], [c, a]]);
        let mut ends: Vec<[u32; 2]> = sides.map(|[p, q]| [p.min(q), p.max(q)]).collect();
        if self.faces.is_empty() {
            // Two ends, or points that no hull could be made of: then all pairs, among which its edges are.
            let count = self.vertices.len() as u32;
            ends.extend((0..count).flat_map(|i| (0..i).map(move |j| [j, i])));
        }
        ends.sort_unstable();
        ends.dedup();
        ends
    }

    fn corners(&self) -> impl Iterator<Item = [Point; 3]> {
        self.faces.iter().map(|f| f.map(|i| self.vertices[i as usize]))
    }

    /// Every edge once, with the unit normals of its two faces.
    fn edges(&self) -> Vec<Edge> {
        let mut half_edges: Vec<(u32, u32, u32)> = Vec::with_capacity(3 * self.faces.len());
        for (f, &[a, b, c]) in self.faces.iter().enumerate() {
            half_edges.extend([(a, b), (b, c), (c, a)].map(|(p, q)| (p.min(q), p.max(q), f as u32)));
        }
        half_edges.sort_unstable();
        let normal = |f: u32| {
            let corners = self.faces[f as usize].map(|i| self.vertices[i as usize]);
            twice_area(corners).try_normalize(0.0).unwrap_or_else(Vector::zeros)
        };
        half_edges
            .chunk_by(|e, f| (e.0, e.1) == (f.0, f.1))
            .flat_map(|group| group.chunks_exact(2))
            .map(|pair| Edge {
                ends: [self.vertices[pair[0].0 as usize], self.vertices[pair[0].1 as usize]],
                normals: [normal(pair[0].2), normal(pair[1].2)],
            })
            .collect()
    }
}

fn twice_area([a, b, c]: [Point; 3]) -> Vector {
    (b - a).cross(&(c - a))
}

struct Edge {
    ends: [Point; 2],
    normals: [Vector; 2],
}

/// Distance of the parallel planes through two edges, if both planes enclose the hull: if on the sphere of
/// directions the arc between the normals of one edge crosses the mirrored arc of the other.
fn width_between(e: &Edge, f: &Edge) -> Option<f64> {
    let ([a, b], [c, d]) = (e.normals, f.normals.map(|n| -n));
    let (ab, cd) = (a.cross(&b), c.cross(&d));
    let (c_side, d_side) = (c.dot(&ab), d.dot(&ab));
    let (a_side, b_side) = (a.dot(&cd), b.dot(&cd));
    // Each arc's ends are on either side of the other's great circle, and the crossing is not at the antipodes.
    if !(c_side * d_side < 0.0 && a_side * b_side < 0.0 && c_side * b_side > 0.0) {
        return None;
    }
    let normal = (e.ends[1] - e.ends[0]).cross(&(f.ends[1] - f.ends[0])).try_normalize(0.0)?;
    Some(normal.dot(&(e.ends[0] - f.ends[0])).abs())
}
