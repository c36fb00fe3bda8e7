//! The islands of a section, and which of them a finite plane reaches.

use rustc_hash::FxHashMap;

use super::super::cap::{Projection, signed_area, winding};
use super::super::outline::{OutlineEdge, Parts};
use super::super::walls::Walls;
use crate::predicates::Where;
use crate::{FinitePlane, Point, Solid};

/// What of a section hangs together.
pub(super) struct Islands {
    /// The whole outline.
    pub outline: Vec<OutlineEdge>,
    /// Where the plane ends in the material.
    pub ended_inside: Vec<Point>,
    island_of: FxHashMap<u32, u32>,
    reached: FxHashMap<u32, bool>,
}

/// How far an island reaches, from its edge inwards, mm.
#[derive(Clone, Copy)]
struct Extent {
    least: f64,
    most: f64,
}

impl Islands {
    pub fn of(solid: &Solid, walls: &Walls, class: &[Where], finite: &FinitePlane) -> Islands {
        let outline = walls.outline.edges();
        let (island_of, extents) = told_apart(solid, walls, class, finite);
        let mut edges_of: FxHashMap<u32, Vec<OutlineEdge>> = FxHashMap::default();
        for edge in &outline {
            if let Some(island) = island_of.get(&edge.from) {
                edges_of.entry(*island).or_default().push(*edge);
            }
        }
        let mut islands = Islands {
            outline,
            ended_inside: Vec::new(),
            island_of,
            reached: extents.iter().map(|(island, extent)| (*island, extent.least > 0.0)).collect(),
        };
        let mut names: Vec<u32> = extents.keys().copied().collect();
        names.sort_unstable();
        for name in names {
            let extent = extents[&name];
            if extent.least <= 0.0 && extent.most > 0.0 {
                let edges = edges_of.get(&name).map_or(&[][..], |edges| edges);
                islands.ended_inside.extend(end_within(solid, walls, finite, edges));
            }
        }
        islands.keep_holes(solid, walls, finite, &edges_of);
        islands
    }

    /// Whether vertex `v` of the walls lies in an island that is cut.
    pub fn reached(&self, v: u32) -> bool {
        self.island_of.get(&v).and_then(|island| self.reached.get(island)).copied().unwrap_or(false)
    }

    pub fn any_reached(&self) -> bool {
        self.reached.values().any(|reached| *reached)
    }

    /// A hole belongs with the smallest outline around it: where that is not reached, nor is the hole.
    fn keep_holes(
        &mut self,
        solid: &Solid,
        walls: &Walls,
        finite: &FinitePlane,
        edges_of: &FxHashMap<u32, Vec<OutlineEdge>>,
    ) {
        if self.reached.values().all(|reached| *reached) {
            return;
        }
        let projection = Projection::along(&finite.plane());
        let flat = |v: u32| projection.flat(&walls.position(solid, v));
        let mut by_area: Vec<(f64, u32)> =
            edges_of.iter().map(|(island, edges)| (signed_area(edges, &flat), *island)).collect();
        by_area.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        let (holes, outlines) = by_area.split_at(by_area.partition_point(|(area, _)| *area < 0.0));
        for (_, hole) in holes {
            let Some(spot) = edges_of[hole].first().map(|edge| flat(edge.from)) else { continue };
            let around = outlines.iter().find(|(_, island)| winding(&edges_of[island], spot, &flat) != 0);
            if around.is_some_and(|(_, island)| !self.reached[island]) {
                self.reached.insert(*hole, false);
            }
        }
    }
}

/// The island of every vertex in the plane, and how far each reaches. Islands hang together by the faces that the plane
/// crosses or touches.
fn told_apart(
    solid: &Solid,
    walls: &Walls,
    class: &[Where],
    finite: &FinitePlane,
) -> (FxHashMap<u32, u32>, FxHashMap<u32, Extent>) {
    let in_plane = |v: &u32| class.get(*v as usize).is_none_or(|class| *class == Where::On);
    let touching = walls.touching.iter().map(|(face, _)| solid.mesh.triangles[*face as usize]);
    let parts = walls.parts.iter().flatten().map(|(triangle, _)| *triangle);
    let mut steps: Vec<OutlineEdge> = Vec::new();
    for triangle in touching.chain(parts) {
        let mut met = triangle.iter().copied().filter(in_plane);
        if let Some(from) = met.next() {
            steps.push(OutlineEdge { from, to: from, count: 0, face: 0 });
            steps.extend(met.map(|to| OutlineEdge { from, to, count: 0, face: 0 }));
        }
    }
    let together = Parts::of(&steps);
    let mut island_of: FxHashMap<u32, u32> = FxHashMap::default();
    let mut extents: FxHashMap<u32, Extent> = FxHashMap::default();
    for v in steps.iter().flat_map(|step| [step.from, step.to]) {
        let island = together.find(v);
        if island_of.insert(v, island).is_none() {
            let inside = finite.inside_mm(&walls.position(solid, v));
            let extent = extents.entry(island).or_insert(Extent { least: inside, most: inside });
            (extent.least, extent.most) = (extent.least.min(inside), extent.most.max(inside));
        }
    }
    (island_of, extents)
}

/// The middle of the longest way on which the edge of the plane runs through the material of an island.
fn end_within(solid: &Solid, walls: &Walls, finite: &FinitePlane, edges: &[OutlineEdge]) -> Option<Point> {
    let crossing = |edge: &OutlineEdge| {
        let [a, b] = [edge.from, edge.to].map(|v| walls.position(solid, v));
        let (from, to) = (finite.inside_mm(&a), finite.inside_mm(&b));
        ((from > 0.0) != (to > 0.0)).then(|| a + (b - a) * (from / (from - to)))
    };
    let along = finite.plane().normal().cross(&finite.inwards());
    let mut crossings: Vec<Point> = edges.iter().filter_map(crossing).collect();
    crossings.sort_by(|a, b| a.coords.dot(&along).total_cmp(&b.coords.dot(&along)));
    let ways = crossings.chunks_exact(2).map(|way| (way[1] - way[0], way[0]));
    ways.max_by(|a, b| a.0.norm_squared().total_cmp(&b.0.norm_squared())).map(|(way, from)| from + way / 2.0)
}
