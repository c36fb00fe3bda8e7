//! Which faces meet at which edge, and whether they close the surface.

use crate::{Mesh, Point};
use rayon::prelude::*;

/// The edges of a mesh, each with the faces that use it.
///
/// An edge is an unordered pair of vertices. A face uses it *forwards* if it runs from the lower to the higher index.
/// Edges are held by their lower vertex and sorted by the higher one and the face, so that every order that one sees
/// here is the same on every run. Takes 24 bytes a face and 4 a vertex. `examples/mesh_speed.rs` times it.
///
/// Holds at most [`EdgeTable::MAX_FACES`] faces; the readers refuse larger files.
#[derive(Clone, Debug)]
pub struct EdgeTable {
    faces: usize,
    /// Where the uses of each lower vertex begin; one more entry than vertices.
    starts: Vec<u32>,
    /// Higher vertex << 32 | face << 1 | forwards.
    uses: Vec<u64>,
}

/// One edge of an [`EdgeTable`].
#[derive(Clone, Copy, Debug)]
pub struct Edge<'a> {
    /// The vertex with the lower index.
    pub low: u32,
    /// The vertex with the higher index.
    pub high: u32,
    uses: &'a [u64],
}

/// A place at an edge, to be shown to the maker.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EdgePlace {
    /// The first face that uses the edge.
    pub face: u32,
    /// Both ends, mm.
    pub ends: [Point; 2],
    /// Distance between the ends, mm.
    pub length_mm: f64,
}

impl EdgePlace {
    /// The middle of the edge.
    pub fn middle(&self) -> Point {
        nalgebra::center(&self.ends[0], &self.ends[1])
    }
}

/// How the edges of a mesh stand. See [`edge_report`].
#[derive(Clone, Debug, Default, PartialEq)]
pub struct EdgeReport {
    /// All edges, each counted once.
    pub edges: usize,
    /// Edges with one face.
    pub open: usize,
    /// Edges with more than two faces.
    pub over_used: usize,
    /// Edges with two faces that run along it in the same direction: one of them is turned the wrong way.
    pub misturned: usize,
    /// Edges that are not used as often forwards as backwards: all open and misturned ones and some over-used ones.
    pub unbalanced: usize,
    /// The longest edge with one face.
    pub longest_open: Option<EdgePlace>,
    /// The edge with more than two faces that comes first in the order of faces.
    pub first_over_used: Option<EdgePlace>,
    /// The misturned edge that comes first in the order of faces.
    pub first_misturned: Option<EdgePlace>,
}

impl EdgeReport {
    /// Whether the surface bounds a volume: every edge is used as often forwards as backwards.
    ///
    /// An edge with four faces may well be balanced (two solids that touch along it), so a closed mesh can have
    /// over-used edges.
    pub fn closed(&self) -> bool {
        self.unbalanced == 0
    }
}

/// Counts open, over-used and misturned edges.
pub fn edge_report(mesh: &Mesh) -> EdgeReport {
    EdgeTable::new(mesh).report(mesh)
}

impl EdgeTable {
    /// Three uses a face must be numbered by 32 bits.
    pub const MAX_FACES: usize = (u32::MAX / 3) as usize;

    /// Collects the edges. Sides of a face that join a vertex to itself are no edges.
    ///
    /// # Panics
    /// With more than [`MAX_FACES`](Self::MAX_FACES) faces, or a face that names a missing vertex.
    pub fn new(mesh: &Mesh) -> EdgeTable {
        assert!(mesh.triangles.len() <= Self::MAX_FACES, "{} faces are more than 32 bits number", mesh.triangles.len());
        // A counting sort by the lower vertex. Each thread takes some of the vertices and looks at all faces.
        let mut starts = vec![0_u32; mesh.vertices.len() + 1];
        let share = (mesh.vertices.len() / rayon::current_num_threads()).max(SHARE);
        // What is counted for a vertex stands after it, where the next one will begin.
        starts[1..].par_chunks_mut(share).enumerate().for_each(|(i, counts)| {
            for_each_use(mesh, i * share, counts.len(), |low, _| counts[low] += 1);
        });
        for i in 1..starts.len() {
            starts[i] += starts[i - 1];
        }
        let mut uses = vec![0_u64; starts.last().map_or(0, |&n| n as usize)];
        let mut rest = uses.as_mut_slice();
        let mut shares = Vec::new();
        for first in (0..mesh.vertices.len()).step_by(share) {
            let starts = &starts[first..=(first + share).min(mesh.vertices.len())];
            let (own, others) = rest.split_at_mut((starts[starts.len() - 1] - starts[0]) as usize);
            shares.push((first, starts, own));
            rest = others;
        }
        shares.into_par_iter().for_each(|(first, starts, uses)| {
            let mut next: Vec<u32> = starts[..starts.len() - 1].iter().map(|start| start - starts[0]).collect();
            for_each_use(mesh, first, next.len(), |low, packed| {
                uses[next[low] as usize] = packed;
                next[low] += 1;
            });
        });
        sort_each(&starts, &mut uses);
        EdgeTable { faces: mesh.triangles.len(), starts, uses }
    }

    /// How many faces the mesh has.
    pub fn faces(&self) -> usize {
        self.faces
    }

    /// All edges, by lower, then by higher vertex.
    pub fn edges(&self) -> impl Iterator<Item = Edge<'_>> {
        (0..self.vertices()).flat_map(|low| self.edges_from(low))
    }

    /// The faces that use the edge between two vertices, in order, and whether they run from the lower to the higher one.
    pub(crate) fn faces_at(&self, a: u32, b: u32) -> Vec<(u32, bool)> {
        let found = self.edges_from(a.min(b)).find(|edge| edge.high == a.max(b));
        found.into_iter().flat_map(Edge::faces).collect()
    }

    /// Counts open, over-used and misturned edges of the mesh that the table was made from.
    pub fn report(&self, mesh: &Mesh) -> EdgeReport {
        (0..self.vertices())
            .into_par_iter()
            .with_min_len(BLOCK)
            .fold(Tally::default, |tally, low| self.edges_from(low).fold(tally, |tally, edge| tally.with(mesh, edge)))
            .reduce(Tally::default, Tally::and)
            .report
    }

    /// One face of each edge that is not used as often forwards as backwards.
    pub(crate) fn unbalanced_faces(&self) -> Vec<u32> {
        (0..self.vertices())
            .into_par_iter()
            .with_min_len(BLOCK)
            .flat_map_iter(|low| self.edges_from(low).filter(|edge| edge.balance() != 0).map(Edge::first_face))
            .collect()
    }

    /// Adds up `of` over all edges, in parallel.
    pub(crate) fn sum_over_edges(&self, of: impl Fn(Edge<'_>) -> usize + Sync) -> usize {
        (0..self.vertices())
            .into_par_iter()
            .with_min_len(BLOCK)
            .map(|low| self.edges_from(low).map(&of).sum::<usize>())
            .sum()
    }

    fn vertices(&self) -> u32 {
        (self.starts.len() - 1) as u32
    }

    fn edges_from(&self, low: u32) -> impl Iterator<Item = Edge<'_>> {
        let uses = &self.uses[self.starts[low as usize] as usize..self.starts[low as usize + 1] as usize];
        uses.chunk_by(|a, b| a >> 32 == b >> 32).map(move |uses| Edge { low, high: (uses[0] >> 32) as u32, uses })
    }
}

impl<'a> Edge<'a> {
    /// The faces that use it, in order, and whether they run from low to high.
    pub fn faces(self) -> impl Iterator<Item = (u32, bool)> + 'a {
        self.uses.iter().map(|&u| ((u as u32) >> 1, u & 1 == 1))
    }

    /// How many faces use it.
    pub fn count(self) -> usize {
        self.uses.len()
    }

    /// Uses forwards less uses backwards.
    pub fn balance(self) -> i64 {
        self.faces().map(|(_, forwards)| if forwards { 1 } else { -1 }).sum()
    }

    fn first_face(self) -> u32 {
        (self.uses[0] as u32) >> 1
    }

    fn place(self, mesh: &Mesh) -> EdgePlace {
        let ends = [self.low, self.high].map(|i| mesh.vertices[i as usize]);
        EdgePlace { face: self.first_face(), ends, length_mm: nalgebra::distance(&ends[0], &ends[1]) }
    }
}

/// Vertices that one thread takes at a time: enough that handing them out costs nothing.
const BLOCK: usize = 4096;

/// Vertices that make one more share of the work worth while: every share looks at all faces.
const SHARE: usize = 1 << 13;

/// Tells of each use of an edge whose lower vertex is one of `count` from `first` on: that vertex, from 0, and the use as
/// the table holds it.
fn for_each_use(mesh: &Mesh, first: usize, count: usize, mut tell: impl FnMut(usize, u64)) {
    for (t, &face) in mesh.triangles.iter().enumerate() {
        for (from, to) in sides(face) {
            // Wraps to a large number below `first`.
            let low = (from.min(to) as usize).wrapping_sub(first);
            if low < count && from != to {
                tell(low, u64::from(from.max(to)) << 32 | (t as u64) << 1 | u64::from(from < to));
            }
        }
    }
}

fn sides([a, b, c]: [u32; 3]) -> [(u32, u32); 3] {
    [(a, b), (b, c), (c, a)]
}

/// Sorts the uses of each vertex, blocks of vertices in parallel.
fn sort_each(starts: &[u32], uses: &mut [u64]) {
    let vertices = starts.len() - 1;
    if vertices <= BLOCK {
        let mut rest = uses;
        for pair in starts.windows(2) {
            let (own, others) = rest.split_at_mut((pair[1] - pair[0]) as usize);
            own.sort_unstable();
            rest = others;
        }
        return;
    }
    let middle = vertices / 2;
    let (left, right) = uses.split_at_mut((starts[middle] - starts[0]) as usize);
    rayon::join(|| sort_each(&starts[..=middle], left), || sort_each(&starts[middle..], right));
}

/// An edge report in the making. Ties go to the lower vertices, so that the order of blocks does not show.
#[derive(Default)]
struct Tally {
    report: EdgeReport,
}

impl Tally {
    fn with(mut self, mesh: &Mesh, edge: Edge<'_>) -> Tally {
        let report = &mut self.report;
        report.edges += 1;
        match (edge.count(), edge.balance()) {
            (2, 0) => return self,
            (1, _) => {
                report.open += 1;
                keep_longer(&mut report.longest_open, edge.place(mesh));
            }
            (2, _) => {
                report.misturned += 1;
                keep_earlier(&mut report.first_misturned, edge.place(mesh));
            }
            _ => {
                report.over_used += 1;
                keep_earlier(&mut report.first_over_used, edge.place(mesh));
            }
        }
        report.unbalanced += usize::from(edge.balance() != 0);
        self
    }

    fn and(mut self, later: Tally) -> Tally {
        let (report, later) = (&mut self.report, later.report);
        report.edges += later.edges;
        report.open += later.open;
        report.over_used += later.over_used;
        report.misturned += later.misturned;
        report.unbalanced += later.unbalanced;
        later.longest_open.into_iter().for_each(|place| keep_longer(&mut report.longest_open, place));
        later.first_over_used.into_iter().for_each(|place| keep_earlier(&mut report.first_over_used, place));
        later.first_misturned.into_iter().for_each(|place| keep_earlier(&mut report.first_misturned, place));
        self
    }
}

fn keep_longer(kept: &mut Option<EdgePlace>, other: EdgePlace) {
    if kept.is_none_or(|kept| other.length_mm > kept.length_mm) {
        *kept = Some(other);
    }
}

fn keep_earlier(kept: &mut Option<EdgePlace>, other: EdgePlace) {
    if kept.is_none_or(|kept| other.face < kept.face) {
        *kept = Some(other);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::solids;
    use proptest::prelude::*;

    fn brick() -> Mesh {
        solids::cuboid(Point::origin(), Point::new(3.0, 2.0, 1.0))
    }

    #[test]
    fn solids_are_closed_with_three_edges_for_two_faces() {
        for solid in [
            brick(),
            solids::sphere(Point::origin(), 5.0, 40),
            solids::torus(Point::origin(), 5.0, 1.0, 50, 20),
            solids::hollow(&solids::sphere(Point::origin(), 5.0, 6), &solids::sphere(Point::origin(), 4.0, 4)),
        ] {
            let report = edge_report(&solid);
            assert!(report.closed());
            assert_eq!(report, EdgeReport { edges: solid.triangles.len() * 3 / 2, ..EdgeReport::default() });
        }
    }

    #[test]
    fn a_missing_face_leaves_three_open_edges_and_the_longest_is_its_diagonal() {
        let mut open = brick();
        open.triangles.remove(0); // half of the 3 × 2 bottom
        let report = edge_report(&open);
        assert!(!report.closed());
        assert_eq!((report.open, report.unbalanced, report.over_used, report.misturned), (3, 3, 0, 0));
        let longest = report.longest_open.unwrap();
        assert!((longest.length_mm - 13.0_f64.sqrt()).abs() < 1e-15);
        assert!(longest.ends.iter().all(|p| p.z == 0.0));
    }

    #[test]
    fn a_face_turned_over_is_misturned_on_all_its_edges() {
        let mut wrong = brick();
        wrong.triangles[5].swap(0, 1);
        let report = edge_report(&wrong);
        assert_eq!((report.open, report.over_used, report.misturned, report.unbalanced), (0, 0, 3, 3));
        assert!(!report.closed());
        assert!(report.first_misturned.unwrap().face <= 5);
    }

    #[test]
    fn two_solids_touching_along_an_edge_are_closed_with_that_edge_over_used() {
        let facets: Vec<_> = [
            solids::cuboid(Point::origin(), Point::new(1.0, 1.0, 1.0)),
            solids::cuboid(Point::new(1.0, 1.0, 0.0), Point::new(2.0, 2.0, 1.0)),
        ]
        .iter()
        .flat_map(|m| (0..12).map(|t| m.corners(t).map(|p| [p.x as f32, p.y as f32, p.z as f32])).collect::<Vec<_>>())
        .collect();
        let touching = crate::merge_exact(&facets).unwrap().mesh;
        let report = edge_report(&touching);
        assert_eq!((report.over_used, report.unbalanced), (1, 0));
        assert!(report.closed());
        assert_eq!(report.first_over_used.unwrap().ends.map(|p| (p.x, p.y)), [(1.0, 1.0); 2]);
    }

    #[test]
    fn no_faces_have_no_edges() {
        assert_eq!(edge_report(&Mesh::default()), EdgeReport::default());
    }

    #[test]
    fn every_edge_names_the_faces_that_have_it() {
        let solid = solids::torus(Point::origin(), 5.0, 1.0, 200, 100);
        let table = EdgeTable::new(&solid);
        let mut uses = 0;
        for edge in table.edges() {
            assert!(edge.low < edge.high);
            for (face, forwards) in edge.faces() {
                let ends = if forwards { (edge.low, edge.high) } else { (edge.high, edge.low) };
                assert!(sides(solid.triangles[face as usize]).contains(&ends));
                uses += 1;
            }
        }
        assert_eq!(uses, 3 * table.faces());
    }

    proptest! {
        /// Against counting in a map, on any faces over few vertices.
        #[test]
        fn counts_agree_with_a_plain_count(triangles in prop::collection::vec(prop::array::uniform3(0u32..6), 0..40)) {
            let vertices = (0..6).map(|i| Point::new(f64::from(i), f64::from(i * i), 0.0)).collect();
            let mesh = Mesh { vertices, triangles };
            let mut plain = std::collections::BTreeMap::<(u32, u32), (usize, usize)>::new();
            for (a, b) in mesh.triangles.iter().flat_map(|&t| sides(t)).filter(|(a, b)| a != b) {
                let entry = plain.entry((a.min(b), a.max(b))).or_default();
                if a < b { entry.0 += 1 } else { entry.1 += 1 }
            }
            let count = |test: fn(&(usize, usize)) -> bool| plain.values().filter(|uses| test(uses)).count();
            let report = edge_report(&mesh);
            prop_assert_eq!(report.edges, plain.len());
            prop_assert_eq!(report.open, count(|(f, b)| f + b == 1));
            prop_assert_eq!(report.over_used, count(|(f, b)| f + b > 2));
            prop_assert_eq!(report.misturned, count(|&(f, b)| f + b == 2 && f != b));
            prop_assert_eq!(report.unbalanced, count(|(f, b)| f != b));
        }
    }
}
