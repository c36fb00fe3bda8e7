//! The outline that a plane draws on a solid.

mod clear;
mod frame;
mod graze;
mod keys;
mod support;
mod wall;

use rustc_hash::FxHashMap;

use crate::cut::{OutlineEdge, outline_of, outline_of_finite, outline_of_profile};
use crate::{CutSurface, Plane, Point, Solid};
pub use clear::{ClearSection, OPENING_DEG, Passage, STEP_MM, clear_section, narrowest_below};
pub use graze::{Graze, Lip};
pub(crate) use keys::along_curve;
pub use support::SectionSupport;
pub use wall::{FACING_DEG, ThinWall};

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

/// The outline of `plane` on `solid`, the very edges that a cut would cap, in time linear in the number of faces. A
/// [`SectionSupport`] gives the same in a fraction of a frame.
pub fn section(solid: &Solid, plane: &Plane) -> Section {
    drawn(solid, plane, outline_of(solid, plane))
}

/// The lines that a surface draws on a solid, in time linear in the number of faces: for a plane its section, for a finite
/// one the islands that it cuts, for a profile the lines along which it meets the faces. Lines of a profile do not lie in a
/// plane: their area is 0.
pub fn surface_outline(solid: &Solid, surface: &CutSurface) -> Vec<SectionLoop> {
    let loops = |plane: &Plane, outline| drawn(solid, plane, outline).loops;
    match surface {
        CutSurface::Plane(plane) => section(solid, plane).loops,
        CutSurface::FinitePlane(finite) => loops(&finite.plane(), outline_of_finite(solid, finite)),
        CutSurface::Profile(profile) => {
            let mut lines = loops(&profile.level(), outline_of_profile(solid, profile));
            lines.iter_mut().for_each(|line| line.area_mm2 = 0.0);
            lines
        }
    }
}

/// The section whose edges are these, with points numbered after the vertices of the solid.
fn drawn(solid: &Solid, plane: &Plane, (edges, points): (Vec<OutlineEdge>, Vec<Point>)) -> Section {
    let place = |v: u32| match solid.mesh.vertices.get(v as usize) {
        Some(p) => *p,
        None => points[v as usize - solid.mesh.vertices.len()],
    };
    let loops = chain(&edges)
        .into_iter()
        .map(|(vertices, closed)| measure(vertices.iter().map(|&v| place(v)).collect(), closed, plane));
    Section { loops: loops.collect() }
}

/// Walks along the directed edges, which are sorted by where they leave: lines that begin at a loose end first, then
/// rings. Each line with whether it is a ring.
fn chain(edges: &[OutlineEdge]) -> Vec<(Vec<u32>, bool)> {
    let mut stops = Stops::of(edges);
    let loose: Vec<u32> = edges.iter().map(|e| e.from).filter(|v| stops.surplus(*v) > 0).collect();
    let mut lines = Vec::new();
    for start in loose.into_iter().chain(edges.iter().map(|e| e.from)) {
        // A vertex where lines meet is walked from as often as something leaves it.
        while let Some(first) = stops.leave(start) {
            let (mut line, mut at) = (vec![start], first);
            while at != start {
                line.push(at);
                match stops.leave(at) {
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

/// Where the edges of an outline lead that have not been walked yet.
struct Stops {
    /// Ends of the edges, those that leave the same vertex beside each other.
    ends: Vec<u32>,
    of_vertex: FxHashMap<u32, Stop>,
}

/// The part of the ends that belongs to a vertex.
#[derive(Default)]
struct Stop {
    first: usize,
    left: usize,
    /// How many edges leave the vertex more than arrive.
    surplus: i32,
}

impl Stops {
    fn of(edges: &[OutlineEdge]) -> Stops {
        let mut ends = Vec::with_capacity(edges.len());
        let mut of_vertex = FxHashMap::with_capacity_and_hasher(edges.len(), Default::default());
        for leaving in edges.chunk_by(|a, b| a.from == b.from) {
            let first = ends.len();
            for edge in leaving {
                ends.extend(std::iter::repeat_n(edge.to, edge.count as usize));
            }
            let left = ends.len() - first;
            of_vertex.insert(leaving[0].from, Stop { first, left, surplus: left as i32 });
        }
        for edge in edges {
            of_vertex.entry(edge.to).or_default().surplus -= edge.count;
        }
        Stops { ends, of_vertex }
    }

    fn surplus(&self, v: u32) -> i32 {
        self.of_vertex.get(&v).map_or(0, |stop| stop.surplus)
    }

    /// Walks one edge from `v`.
    fn leave(&mut self, v: u32) -> Option<u32> {
        let stop = self.of_vertex.get_mut(&v)?;
        stop.left = stop.left.checked_sub(1)?;
        self.ends.get(stop.first + stop.left).copied()
    }
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

#[cfg(test)]
mod tests;
