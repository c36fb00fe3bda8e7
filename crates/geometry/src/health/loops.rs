//! Open edges, joined to the rims of holes.

use rustc_hash::FxHashMap;

use crate::{Bounds, EdgeTable, Mesh, Point};

/// A line of open edges (those with one face): the rim of a hole.
#[derive(Clone, Debug, PartialEq)]
pub struct OpenLoop {
    /// The vertices along it, each once. Faces that fill the hole run along it in this order.
    pub vertices: Vec<u32>,
    /// Whether the last vertex is joined to the first. Lines that end somewhere come about where faces are turned
    /// inconsistently or edges have more than two faces.
    pub closed: bool,
    /// Length, mm.
    pub length_mm: f64,
    /// The smallest upright box around it.
    pub bounds: Bounds,
}

/// The open edges of `mesh`, joined to lines, longest first (equally long ones in the order of their vertices). `edges`
/// must be the table of `mesh`.
///
/// Where several rims meet in a vertex, each is closed as soon as it comes to a vertex for the second time, so that no
/// line visits a vertex twice.
pub fn open_loops(mesh: &Mesh, edges: &EdgeTable) -> Vec<OpenLoop> {
    let mut lines = Lines::default();
    for edge in edges.edges().filter(|edge| edge.count() == 1) {
        for (_, forwards) in edge.faces() {
            // Against the face.
            let (from, to) = if forwards { (edge.high, edge.low) } else { (edge.low, edge.high) };
            lines.add(from, to);
        }
    }
    let mut loops: Vec<OpenLoop> = lines.walk().into_iter().filter_map(|line| line.measured(mesh)).collect();
    loops.sort_by(|a, b| b.length_mm.total_cmp(&a.length_mm).then_with(|| a.vertices.cmp(&b.vertices)));
    loops
}

/// Directed edges by the vertex they begin at.
#[derive(Default)]
struct Lines {
    next: FxHashMap<u32, Vec<u32>>,
    /// Vertices in the order in which they were first named.
    order: Vec<u32>,
    /// Edges that end at a vertex less those that begin there.
    balance: FxHashMap<u32, i32>,
}

struct Line {
    vertices: Vec<u32>,
    closed: bool,
}

impl Lines {
    fn add(&mut self, from: u32, to: u32) {
        let next = self.next.entry(from).or_default();
        if next.is_empty() {
            self.order.push(from);
        }
        next.push(to);
        *self.balance.entry(from).or_default() -= 1;
        *self.balance.entry(to).or_default() += 1;
    }

    fn walk(mut self) -> Vec<Line> {
        let mut found = Vec::new();
        let order = std::mem::take(&mut self.order);
        // Lines that end somewhere begin where more edges begin than end.
        let ends: Vec<u32> = order.iter().copied().filter(|v| self.balance[v] < 0).collect();
        for v in ends {
            for _ in 0..-self.balance[&v] {
                self.walk_from(v, &mut found);
            }
        }
        for v in order {
            while self.next.get(&v).is_some_and(|next| !next.is_empty()) {
                self.walk_from(v, &mut found);
            }
        }
        found
    }

    fn walk_from(&mut self, start: u32, found: &mut Vec<Line>) {
        let mut path = vec![start];
        let mut place_on_path: FxHashMap<u32, usize> = FxHashMap::from_iter([(start, 0)]);
        while let Some(next) = path.last().and_then(|v| self.next.get_mut(v)).and_then(Vec::pop) {
            if let Some(&i) = place_on_path.get(&next) {
                let vertices = path.split_off(i);
                vertices.iter().for_each(|v| {
                    place_on_path.remove(v);
                });
                found.push(Line { vertices, closed: true });
            }
            place_on_path.insert(next, path.len());
            path.push(next);
        }
        if path.len() > 1 {
            found.push(Line { vertices: path, closed: false });
        }
    }
}

impl Line {
    fn measured(mut self, mesh: &Mesh) -> Option<OpenLoop> {
        if self.closed {
            // Begins at its lowest vertex, whichever way it was come to.
            let lowest = self.vertices.iter().enumerate().min_by_key(|(_, v)| **v).map_or(0, |(i, _)| i);
            self.vertices.rotate_left(lowest);
        }
        let places: Vec<Point> = self.vertices.iter().map(|&v| mesh.vertices[v as usize]).collect();
        let bounds = Bounds::of(places.iter().copied())?;
        let around = places.iter().cycle().skip(1).take(if self.closed { places.len() } else { places.len() - 1 });
        let length_mm = places.iter().zip(around).map(|(a, b)| nalgebra::distance(a, b)).sum();
        Some(OpenLoop { vertices: self.vertices, closed: self.closed, length_mm, bounds })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{edge_report, solids};
    use proptest::prelude::*;

    fn loops(mesh: &Mesh) -> Vec<OpenLoop> {
        open_loops(mesh, &EdgeTable::new(mesh))
    }

    #[test]
    fn a_face_taken_out_leaves_a_loop_that_it_fills() {
        let mut mesh = solids::sphere(Point::origin(), 5.0, 3);
        let face = mesh.triangles.swap_remove(7);
        let found = loops(&mesh);
        assert_eq!(found.len(), 1);
        assert!(found[0].closed);
        let [a, b, c] = [found[0].vertices[0], found[0].vertices[1], found[0].vertices[2]];
        assert!([[a, b, c], [b, c, a], [c, a, b]].contains(&face));
        let corners = face.map(|v| mesh.vertices[v as usize]);
        let around: f64 = (0..3).map(|k| nalgebra::distance(&corners[k], &corners[(k + 1) % 3])).sum();
        assert!((found[0].length_mm - around).abs() < 1e-12);
    }

    #[test]
    fn holes_that_touch_in_a_vertex_are_two() {
        let mut mesh = solids::grid_box(Point::origin(), Point::new(4.0, 4.0, 1.0), [4, 4, 1]);
        let on_top = |t: &[u32; 3]| t.iter().all(|v| mesh.vertices[*v as usize].z == 1.0);
        let in_cell = |t: &[u32; 3], low: f64| {
            t.iter().all(|v| (0..2).all(|k| (low..=low + 1.0).contains(&mesh.vertices[*v as usize][k])))
        };
        let kept = |t: &&[u32; 3]| !(on_top(t) && (in_cell(t, 1.0) || in_cell(t, 2.0)));
        mesh.triangles = mesh.triangles.iter().filter(kept).copied().collect();
        let found = loops(&mesh);
        assert_eq!(found.iter().map(|l| (l.vertices.len(), l.closed)).collect::<Vec<_>>(), [(4, true), (4, true)]);
        assert_eq!(found.iter().map(|l| l.length_mm).collect::<Vec<_>>(), [4.0, 4.0]);
    }

    #[test]
    fn a_turned_face_beside_a_hole_leaves_lines_that_end() {
        let mut mesh = solids::sphere(Point::origin(), 5.0, 4);
        mesh.triangles.swap_remove(0);
        let rim = loops(&mesh)[0].vertices.clone();
        let beside = mesh.triangles.iter_mut().find(|t| rim[..2].iter().all(|v| t.contains(v))).unwrap();
        beside.swap(0, 1);
        let found = loops(&mesh);
        assert!(found.iter().any(|l| !l.closed));
        assert_eq!(edges_of(&found), edge_report(&mesh).open);
    }

    fn edges_of(loops: &[OpenLoop]) -> usize {
        loops.iter().map(|l| l.vertices.len() - usize::from(!l.closed)).sum()
    }

    proptest! {
        #[test]
        fn every_open_edge_is_in_one_line(kept in prop::collection::vec(any::<bool>(), 180)) {
            let ball = solids::sphere(Point::origin(), 5.0, 3);
            let triangles = ball.triangles.iter().zip(kept).filter(|(_, kept)| *kept).map(|(t, _)| *t).collect();
            let mesh = Mesh { triangles, ..ball };
            let found = loops(&mesh);
            prop_assert_eq!(edges_of(&found), edge_report(&mesh).open);
            prop_assert!(found.iter().all(|l| l.closed), "faces turned alike leave closed rims");
            for l in &found {
                let mut once = l.vertices.clone();
                once.sort_unstable();
                once.dedup();
                prop_assert_eq!(once.len(), l.vertices.len());
            }
        }
    }
}
