//! The walls of the channel: what of each facet lies in the material.

use rustc_hash::FxHashMap;

use super::super::cap::{Cap, Sheet};
use super::super::outline::{self, OutlineEdge};
use super::crossings::{Contradiction, Crossings};
use crate::{Bounds, Point, Shells};

/// How often the surface goes round each corner of the tool.
pub(super) fn turns_at_corners(crossings: &Crossings, bounds: &Bounds) -> Result<Vec<i32>, Contradiction> {
    let ready = crossings.ready;
    let mut sides_at: Vec<Vec<u32>> = vec![Vec::new(); ready.tool.corners.len()];
    for (number, side) in (0..).zip(&ready.sides) {
        side.ends.iter().for_each(|v| sides_at[*v as usize].push(number));
    }
    let is_out = |p: &Point| (0..3).any(|k| p[k] < bounds.min[k] || p[k] > bounds.max[k]);
    let outside = ready.tool.corners.iter().position(is_out);
    let first = outside.unwrap_or(0);
    let mut turns: Vec<Option<i32>> = vec![None; ready.tool.corners.len()];
    turns[first] = Some(if outside.is_some() { 0 } else { turns_round(crossings, first as u32) });
    let mut open = vec![first];
    while let Some(corner) = open.pop() {
        let here = turns[corner].unwrap_or(0);
        for number in &sides_at[corner] {
            let side = ready.sides[*number as usize];
            let step: i32 = crossings.pierces[*number as usize].iter().map(|p| p.step).sum();
            let (other, there) = if side.ends[0] as usize == corner {
                (side.ends[1] as usize, here + step)
            } else {
                (side.ends[0] as usize, here - step)
            };
            match turns[other] {
                None => {
                    turns[other] = Some(there);
                    open.push(other);
                }
                // The surface is open, so that ways from one place to another count differently.
                Some(known) if known != there => return Err(Contradiction),
                Some(_) => {}
            }
        }
    }
    Ok(turns.into_iter().map(Option::unwrap_or_default).collect())
}

/// How often the surface goes round a corner of the moved tool: faces above it that look up, minus those that look down.
fn turns_round(crossings: &Crossings, corner: u32) -> i32 {
    use rayon::prelude::*;
    let mesh = &crossings.solid.mesh;
    let p = crossings.ready.corner(corner);
    let turns = |face: &[u32; 3]| {
        let [a, b, c] = face.map(|v| &mesh.vertices[v as usize]);
        if [a.x, b.x, c.x].iter().all(|x| *x < p.x) || [a.x, b.x, c.x].iter().all(|x| *x > p.x) {
            return 0;
        }
        match crate::inside::turn_round(&[*a, *b, *c], p) {
            Some(turn) if super::signs::is_before([a, b, c], p) != (turn > 0) => turn,
            _ => 0,
        }
    };
    mesh.triangles.par_iter().with_min_len(super::super::BLOCK).map(turns).sum()
}

/// Walls, looking out of the tool, with points that they made and what they did to edges.
#[derive(Default)]
pub(super) struct Walls {
    pub triangles: Vec<[u32; 3]>,
    pub chains: FxHashMap<(u32, u32), Vec<u32>>,
    welded: Vec<(u32, u32)>,
    /// Whether some of it could only be made without care for its form.
    pub is_rough: bool,
}

/// Fills what of each facet lies in the material.
pub(super) fn fill(crossings: &mut Crossings, turns: &[i32]) -> Result<Walls, Contradiction> {
    let mut walls = Walls::default();
    let outlines = outlines(crossings, turns);
    let mut shells: Option<Shells> = None;
    for (facet, edges) in outlines.into_iter().enumerate() {
        if edges.is_empty() {
            continue;
        }
        if !outline::is_closed(&edges) {
            return Err(Contradiction);
        }
        let plane = crossings.ready.facets[facet].plane;
        let own = crossings.own() + crossings.points.len() as u32;
        let place = |v: u32| crossings.place(v);
        let sheet = Sheet::new(&plane, crossings.solid.resolution, place, own);
        if let Some(triangles) = sheet.fill(&edges) {
            walls.triangles.extend(triangles);
            continue;
        }
        let mut cap = Cap::default();
        let shells = shells.get_or_insert_with(|| Shells::of(&crossings.solid.mesh));
        sheet.close_with_care(shells, &edges, &mut cap);
        if !cap.left_open.is_empty() {
            return Err(Contradiction);
        }
        walls.is_rough = true;
        crossings.points.extend(cap.new_points);
        walls.triangles.extend(cap.triangles);
        walls.welded.extend(cap.welded);
        for (edge, chain) in cap.chains {
            // A side of the tool may be parted in both its facets.
            walls.chains.entry(edge).or_default().extend(chain);
        }
    }
    let mut welded = std::mem::take(&mut walls.welded);
    welded.sort_unstable();
    for (a, b) in welded {
        let (a, b) = (crossings.stand_in(a), crossings.stand_in(b));
        if a != b {
            crossings.stand_ins.insert(a, b);
        }
    }
    settle(crossings, &mut walls.chains);
    Ok(walls)
}

/// Chains from end to end, each node once, in their order along the edge.
fn settle(crossings: &Crossings, chains: &mut FxHashMap<(u32, u32), Vec<u32>>) {
    for (&(low, high), chain) in chains.iter_mut() {
        let from = crossings.place(low);
        let far = |v: &u32| (crossings.place(*v) - from).norm_squared();
        chain.retain(|v| *v != low && *v != high);
        chain.sort_by(|a, b| far(a).total_cmp(&far(b)).then(a.cmp(b)));
        chain.dedup();
        chain.insert(0, low);
        chain.push(high);
    }
}

/// The outline of the material in each facet: where faces cross it, and the parts of its sides that lie in the material.
fn outlines(crossings: &mut Crossings, turns: &[i32]) -> Vec<Vec<OutlineEdge>> {
    let mut balance: Vec<FxHashMap<(u32, u32), (i32, u32)>> = vec![FxHashMap::default(); crossings.ready.facets.len()];
    let mut add = |facet: u32, from: u32, to: u32, count: i32, face: u32| {
        if from != to && count != 0 {
            let (key, along) = if from < to { ((from, to), 1) } else { ((to, from), -1) };
            balance[facet as usize].entry(key).or_insert((0, face)).0 += along * count;
        }
    };
    for (face, links) in &crossings.links {
        for link in links {
            add(link.facet, crossings.stand_in(link.from), crossings.stand_in(link.to), 1, *face);
        }
    }
    let corners = corner_nodes(crossings, turns);
    let any_face = crossings.links.first().map_or(0, |(face, _)| *face);
    for (number, side) in crossings.ready.sides.iter().enumerate() {
        let mut count = turns[side.ends[0] as usize];
        let mut last = corners[side.ends[0] as usize];
        for pierce in &crossings.pierces[number] {
            let node = crossings.stand_in(pierce.node);
            add(side.facets[0], last, node, count, any_face);
            add(side.facets[1], node, last, count, any_face);
            count += pierce.step;
            last = node;
        }
        let end = corners[side.ends[1] as usize];
        add(side.facets[0], last, end, count, any_face);
        add(side.facets[1], end, last, count, any_face);
    }
    let edges = |balance: FxHashMap<(u32, u32), (i32, u32)>| {
        let mut edges: Vec<OutlineEdge> = Vec::with_capacity(balance.len());
        for ((low, high), (count, face)) in balance {
            let (from, to) = if count > 0 { (low, high) } else { (high, low) };
            if count != 0 {
                edges.push(OutlineEdge { from, to, count: count.abs(), face });
            }
        }
        edges.sort_unstable_by_key(|e| (e.from, e.to));
        edges
    };
    balance.into_iter().map(edges).collect()
}

/// Nodes for the corners of the tool; those outside the material have none, and nobody asks for it.
fn corner_nodes(crossings: &Crossings, turns: &[i32]) -> Vec<u32> {
    let first = crossings.own() + crossings.points.len() as u32 - crossings.ready.tool.corners.len() as u32;
    (first..).zip(turns).map(|(node, turns)| if *turns == 0 { NOWHERE } else { crossings.stand_in(node) }).collect()
}

const NOWHERE: u32 = u32::MAX;
