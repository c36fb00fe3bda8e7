//! Near vertices become one.

use rustc_hash::FxHashMap;

use super::{Mended, Work};
use crate::{EdgeTable, Mesh, Point};

/// Rounds of merging. Each closes edges, which may leave others nearer to what is then first; two nearly always do. Our own
/// choice, no source.
const ROUNDS: usize = 16;

/// Merges until nothing more closes, so that a second time changes nothing.
pub(super) fn merge(mut work: Work, tolerance_mm: f64) -> Mended {
    for _ in 0..ROUNDS {
        if !merge_once(&mut work, tolerance_mm) {
            break;
        }
    }
    work.done()
}

/// Each vertex at an open edge, in their order, goes to the first one kept before it that is near enough, or is kept itself;
/// but only those at edges that this closes: two open edges that then run against each other.
fn merge_once(work: &mut Work, tolerance_mm: f64) -> bool {
    let edges = EdgeTable::new(&work.mesh);
    let mut stands_for: Vec<u32> = (0..work.mesh.vertices.len() as u32).collect();
    let mut kept = Kept::new(tolerance_mm);
    for vertex in at_open_edges(&work.mesh, &edges) {
        let place = work.mesh.vertices[vertex as usize];
        match kept.near(&work.mesh, &place) {
            Some(other) => stands_for[vertex as usize] = other,
            None => kept.add(vertex, &place),
        }
    }
    let mut closes = vec![false; stands_for.len()];
    for [from, to] in edges_that_close(&edges, &stands_for) {
        closes[from as usize] = true;
        closes[to as usize] = true;
    }
    let mut merged = 0;
    for (vertex, other) in (0..).zip(&mut stands_for) {
        if !closes[vertex as usize] {
            *other = vertex;
        }
        if *other != vertex {
            merged += 1;
            let [a, b] = [vertex, *other].map(|v| work.mesh.vertices[v as usize]);
            work.report.farthest_mm = work.report.farthest_mm.max(nalgebra::distance(&a, &b));
        }
    }
    work.report.vertices_merged += merged;
    if merged > 0 {
        work.mesh.triangles.iter_mut().flatten().for_each(|v| *v = stands_for[*v as usize]);
        work.keep_faces(|_, [a, b, c]| a != b && b != c && c != a);
    }
    merged > 0
}

/// The open edges that have one running against them once vertices are merged, by their vertices before.
fn edges_that_close(edges: &EdgeTable, stands_for: &[u32]) -> Vec<[u32; 2]> {
    let mut open: Vec<([u32; 2], bool, [u32; 2])> = Vec::new();
    for edge in edges.edges().filter(|edge| edge.count() == 1) {
        for (_, forwards) in edge.faces() {
            let ends = if forwards { [edge.low, edge.high] } else { [edge.high, edge.low] };
            let [from, to] = ends.map(|v| stands_for[v as usize]);
            open.push(([from.min(to), from.max(to)], from < to, ends));
        }
    }
    open.sort_unstable();
    let both_ways = |group: &&[([u32; 2], bool, [u32; 2])]| {
        let forwards = group.iter().filter(|(_, forwards, _)| *forwards).count();
        group[0].0[0] != group[0].0[1] && forwards > 0 && forwards < group.len()
    };
    open.chunk_by(|a, b| a.0 == b.0).filter(both_ways).flatten().map(|(_, _, ends)| *ends).collect()
}

/// The vertices of edges with one face, rising, but those that are nowhere.
fn at_open_edges(mesh: &Mesh, edges: &EdgeTable) -> Vec<u32> {
    let open = edges.edges().filter(|edge| edge.count() == 1).flat_map(|edge| [edge.low, edge.high]);
    let mut vertices: Vec<u32> = open.filter(|v| mesh.vertices[*v as usize].iter().all(|x| x.is_finite())).collect();
    vertices.sort_unstable();
    vertices.dedup();
    vertices
}

/// Vertices that stay, in cells as wide as the tolerance.
struct Kept {
    tolerance_mm: f64,
    cells: FxHashMap<[i64; 3], Vec<u32>>,
}

impl Kept {
    fn new(tolerance_mm: f64) -> Kept {
        // Not-a-number becomes 0.
        Kept { tolerance_mm: tolerance_mm.max(0.0), cells: FxHashMap::default() }
    }

    fn cell(&self, p: &Point) -> [i64; 3] {
        // Casts saturate. Without a tolerance only equal places share a cell; −0.0 is 0.0.
        [0, 1, 2].map(|k| {
            if self.tolerance_mm > 0.0 {
                (p[k] / self.tolerance_mm).floor() as i64
            } else {
                (p[k] + 0.0).to_bits() as i64
            }
        })
    }

    fn add(&mut self, vertex: u32, p: &Point) {
        self.cells.entry(self.cell(p)).or_default().push(vertex);
    }

    /// The first kept vertex within the tolerance.
    fn near(&self, mesh: &Mesh, p: &Point) -> Option<u32> {
        let [x, y, z] = self.cell(p);
        let around: &[i64] = if self.tolerance_mm > 0.0 { &[-1, 0, 1] } else { &[0] };
        let mut first: Option<u32> = None;
        for &i in around {
            for &j in around {
                for &k in around {
                    let cell = [x.saturating_add(i), y.saturating_add(j), z.saturating_add(k)];
                    for &vertex in self.cells.get(&cell).into_iter().flatten() {
                        let distance = nalgebra::distance(&mesh.vertices[vertex as usize], p);
                        if distance <= self.tolerance_mm && first.is_none_or(|first| vertex < first) {
                            first = Some(vertex);
                        }
                    }
                }
            }
        }
        first
    }
}
