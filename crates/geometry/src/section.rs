//! The outline that a plane draws on a solid.

use rustc_hash::FxHashMap;

use crate::cut::{OutlineEdge, outline_of};
use crate::{Plane, Point, Solid};

/// Where a plane meets a solid.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Section {
    /// Connected lines of the outline.
    pub loops: Vec<SectionLoop>,
}

/// One line of a section.
#[derive(Clone, Debug, PartialEq)]
pub struct SectionLoop {
    /// Its corners, in order; the last is not the first again.
    pub points: Vec<Point>,
    /// Whether it comes back to its beginning. It does not where the solid is open.
    pub closed: bool,
    /// Length, mm.
    pub length_mm: f64,
    /// Enclosed area, mm²: negative for the outline of a hole; 0 where the line is not closed.
    pub area_mm2: f64,
}

impl SectionLoop {
    /// Whether it bounds a hole of the section.
    pub fn is_hole(&self) -> bool {
        self.area_mm2 < 0.0
    }
}

impl Section {
    /// Area of the section, holes taken off, mm². Parts where two shells overlap count twice.
    pub fn area_mm2(&self) -> f64 {
        self.loops.iter().map(|l| l.area_mm2).sum()
    }

    /// Length of all lines, mm.
    pub fn length_mm(&self) -> f64 {
        self.loops.iter().map(|l| l.length_mm).sum()
    }
}

/// The outline of `plane` on `solid`, the very edges that a cut would cap, in time linear in the number of faces.
pub fn section(solid: &Solid, plane: &Plane) -> Section {
    let (edges, points) = outline_of(solid, plane);
    let place = |v: u32| match solid.mesh.vertices.get(v as usize) {
        Some(p) => *p,
        None => points[v as usize - solid.mesh.vertices.len()],
    };
    let loops = chain(&edges)
        .into_iter()
        .map(|(vertices, closed)| measure(vertices.iter().map(|&v| place(v)).collect(), closed, plane));
    Section { loops: loops.collect() }
}

/// Walks along the directed edges: lines that begin at a loose end first, then rings.
fn chain(edges: &[OutlineEdge]) -> Vec<(Vec<u32>, bool)> {
    let mut leaving: FxHashMap<u32, Vec<u32>> = FxHashMap::default();
    let mut surplus: FxHashMap<u32, i32> = FxHashMap::default();
    for edge in edges {
        for _ in 0..edge.count {
            leaving.entry(edge.from).or_default().push(edge.to);
        }
        *surplus.entry(edge.from).or_default() += edge.count;
        *surplus.entry(edge.to).or_default() -= edge.count;
    }
    let starts = edges.iter().filter(|e| surplus[&e.from] > 0).chain(edges).map(|e| e.from);
    let mut lines = Vec::new();
    for start in starts {
        // A vertex where lines meet is walked from as often as something leaves it.
        while let Some(first) = leaving.get_mut(&start).and_then(Vec::pop) {
            let (mut line, mut at) = (vec![start], first);
            while at != start {
                line.push(at);
                match leaving.get_mut(&at).and_then(Vec::pop) {
                    Some(next) => at = next,
                    None => break,
                }
            }
            let closed = at == start;
            lines.push((line, closed));
        }
    }
    lines
}

fn measure(points: Vec<Point>, closed: bool, plane: &Plane) -> SectionLoop {
    let next = |i: usize| points[(i + 1) % points.len()];
    let steps = if closed { points.len() } else { points.len() - 1 };
    let length_mm = (0..steps).map(|i| (next(i) - points[i]).norm()).sum();
    let origin = points[0];
    let doubled: f64 =
        (0..points.len()).map(|i| (points[i] - origin).cross(&(next(i) - origin)).dot(&plane.normal())).sum();
    SectionLoop { closed, length_mm, area_mm2: if closed { doubled / 2.0 } else { 0.0 }, points }
}
