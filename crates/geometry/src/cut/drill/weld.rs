//! What ε has kept apart is made one, and edges are led through what lies on them.
//!
//! Making vertices one keeps a closed surface closed. Without the second, a node on the rim of a face would leave a sliver
//! between that rim and the face beyond.

use rustc_hash::FxHashMap;

use super::crossings::{Crossings, Pierce, Stop};
use super::tool::NONE;
use crate::Point;

/// Makes nodes one that lie on one spot. A vertex of the solid that is near stands for all of them; vertices stay apart.
pub(super) fn unite(crossings: &mut Crossings, touched: &[u32]) {
    let on_mm = crossings.solid.resolution.on_plane_mm;
    let mut spots = Spots { cell_mm: (CELL * on_mm).max(f64::MIN_POSITIVE), within: FxHashMap::default() };
    let mut corners: Vec<u32> =
        touched.iter().flat_map(|face| crossings.solid.mesh.triangles[*face as usize]).collect();
    corners.sort_unstable();
    corners.dedup();
    for v in corners {
        spots.add(v, crossings.place(v));
    }
    for node in crossings.own()..crossings.own() + crossings.points.len() as u32 {
        let p = crossings.place(node);
        match spots.nearest(&p, on_mm) {
            Some(known) => {
                crossings.stand_ins.insert(node, known);
            }
            None => spots.add(node, p),
        }
    }
}

/// Edge of the cells in which spots are looked for, in resolutions: so large that most searches open one cell.
const CELL: f64 = 64.0;

struct Spots {
    cell_mm: f64,
    within: FxHashMap<[i64; 3], Vec<(u32, Point)>>,
}

impl Spots {
    fn cell(&self, p: &Point, by_mm: f64) -> [i64; 3] {
        // Casts saturate, so that every number falls into a cell.
        [0, 1, 2].map(|k| ((p[k] + by_mm) / self.cell_mm).floor() as i64)
    }

    fn add(&mut self, node: u32, p: Point) {
        let cell = self.cell(&p, 0.0);
        self.within.entry(cell).or_default().push((node, p));
    }

    fn nearest(&self, p: &Point, within_mm: f64) -> Option<u32> {
        let (low, high) = (self.cell(p, -within_mm), self.cell(p, within_mm));
        let mut best: Option<(f64, u32)> = None;
        for x in low[0]..=high[0] {
            for y in low[1]..=high[1] {
                for z in low[2]..=high[2] {
                    for (node, q) in self.within.get(&[x, y, z]).into_iter().flatten() {
                        let off = nalgebra::distance(p, q);
                        if off <= within_mm && best.is_none_or(|(least, _)| off < least) {
                            best = Some((off, *node));
                        }
                    }
                }
            }
        }
        best.map(|(_, node)| node)
    }
}

/// Leads edges of the mesh and sides of the tool through the nodes that lie on them. Gives back the edges.
pub(super) fn lead_through(crossings: &mut Crossings) -> Vec<(u32, u32)> {
    let on_mm = crossings.solid.resolution.on_plane_mm;
    let mut led = Vec::new();
    let links = std::mem::take(&mut crossings.links);
    for (face, links) in &links {
        let corners = crossings.solid.mesh.triangles[*face as usize];
        let mut nodes: Vec<u32> =
            links.iter().flat_map(|link| [link.from, link.to]).map(|v| crossings.stand_in(v)).collect();
        nodes.sort_unstable();
        nodes.dedup();
        for i in 0..3 {
            let (a, b) = (corners[i].min(corners[(i + 1) % 3]), corners[i].max(corners[(i + 1) % 3]));
            for &node in &nodes {
                let is_there = node == a
                    || node == b
                    || crossings.stops_of(a, b).iter().any(|s| crossings.stand_in(s.node) == node);
                if is_there {
                    continue;
                }
                let ends = [a, b].map(|v| crossings.place(v));
                if let Some(along) = lies_on(&crossings.place(node), ends, on_mm) {
                    let stops = crossings.stops.entry((a, b)).or_default();
                    let at = stops.iter().position(|s| s.along > along).unwrap_or(stops.len());
                    stops.insert(at, Stop { node, facet: NONE, along, enters: false });
                    led.push((a, b));
                }
            }
        }
    }
    let mut of_facet: FxHashMap<u32, Vec<u32>> = FxHashMap::default();
    for link in links.iter().flat_map(|(_, links)| links) {
        let nodes = of_facet.entry(link.facet).or_default();
        nodes.extend([link.from, link.to].map(|v| crossings.stand_in(v)));
    }
    crossings.links = links;
    for (facet, mut nodes) in of_facet {
        nodes.sort_unstable();
        nodes.dedup();
        for &number in &crossings.ready.facets[facet as usize].sides {
            let side = crossings.ready.sides[number as usize];
            let ends = side.ends.map(|v| *crossings.ready.corner(v));
            for &node in &nodes {
                let pierces = &crossings.pierces[number as usize];
                if pierces.iter().any(|p| crossings.stand_in(p.node) == node) {
                    continue;
                }
                if let Some(along) = lies_on(&crossings.place(node), ends, on_mm) {
                    let pierces = &mut crossings.pierces[number as usize];
                    let at = pierces.iter().position(|p| p.along > along).unwrap_or(pierces.len());
                    pierces.insert(at, Pierce { node, along, step: 0, face: NONE });
                }
            }
        }
    }
    led
}

/// How far along it a place lies on the line between two others, off its ends.
fn lies_on(p: &Point, [a, b]: [Point; 2], on_mm: f64) -> Option<f64> {
    let along = b - a;
    let share = (p - a).dot(&along) / along.norm_squared();
    let is_on = share > 0.0 && share < 1.0 && (a + along * share - p).norm() <= on_mm;
    let is_off_ends = nalgebra::distance(p, &a) > on_mm && nalgebra::distance(p, &b) > on_mm;
    (is_on && is_off_ends).then_some(share)
}
