//! The walls of the channel: what of each facet lies in the material.

use rayon::prelude::*;
use rustc_hash::FxHashMap;

use super::super::cap::{Cap, Sheet};
use super::super::outline::{self, OutlineEdge};
use super::crossings::{Contradiction, Crossings};
use crate::{Bounds, Point, Shells};

/// Which faces count: all, or those of one shell.
#[derive(Clone, Copy)]
pub(super) enum Of<'a> {
    All,
    Shell(&'a Shells, u32),
}

impl Of<'_> {
    fn counts(self, face: u32) -> bool {
        match self {
            Of::All => true,
            Of::Shell(shells, shell) => shells.of_triangle.get(face as usize) == Some(&shell),
        }
    }
}

/// How often the surface goes round each corner of the tool.
pub(super) fn turns_at_corners(crossings: &Crossings, bounds: &Bounds, of: Of) -> Result<Vec<i32>, Contradiction> {
    let ready = crossings.ready;
    let mut sides_at: Vec<Vec<u32>> = vec![Vec::new(); ready.tool.corners.len()];
    for (number, side) in (0..).zip(&ready.sides) {
        side.ends.iter().for_each(|v| sides_at[*v as usize].push(number));
    }
    let outside = ready.tool.corners.iter().position(|p| is_out(bounds, p));
    let first = outside.unwrap_or(0);
    let mut turns: Vec<Option<i32>> = vec![None; ready.tool.corners.len()];
    turns[first] = Some(if outside.is_some() { 0 } else { turns_round(crossings, first as u32, of) });
    let mut open = vec![first];
    while let Some(corner) = open.pop() {
        let here = turns[corner].unwrap_or(0);
        for number in &sides_at[corner] {
            let side = ready.sides[*number as usize];
            let pierces = crossings.pierces[*number as usize].iter();
            let step: i32 = pierces.filter(|p| of.counts(p.face)).map(|p| p.step).sum();
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
    let turns: Vec<i32> = turns.into_iter().map(Option::unwrap_or_default).collect();
    // Nothing closed goes round what lies outside of its box.
    let is_told = |(p, turns): (&Point, &i32)| *turns == 0 || !is_out(bounds, p);
    if !ready.tool.corners.iter().zip(&turns).all(is_told) {
        return Err(Contradiction);
    }
    // And what is inside is so in every direction: looked at once more another way, where it was not found so at first.
    let inside = turns.iter().position(|turns| *turns != 0).filter(|i| *i != first);
    if let Some(corner) = inside
        && turns_round(crossings, corner as u32, of) != turns[corner]
    {
        return Err(Contradiction);
    }
    Ok(turns)
}

fn is_out(bounds: &Bounds, p: &Point) -> bool {
    (0..3).any(|k| p[k] < bounds.min[k] || p[k] > bounds.max[k])
}

/// How often the surface goes round a corner of the moved tool: faces above it that look up, minus those that look down.
fn turns_round(crossings: &Crossings, corner: u32, of: Of) -> i32 {
    let mesh = &crossings.solid.mesh;
    let p = crossings.ready.corner(corner);
    let turns = |face: u32| {
        let [a, b, c] = mesh.triangles[face as usize].map(|v| &mesh.vertices[v as usize]);
        if [a.x, b.x, c.x].iter().all(|x| *x < p.x) || [a.x, b.x, c.x].iter().all(|x| *x > p.x) || !of.counts(face) {
            return 0;
        }
        match crate::inside::turn_round(&[*a, *b, *c], p) {
            Some(turn) if super::signs::is_before([a, b, c], p) != (turn > 0) => turn,
            _ => 0,
        }
    };
    (0..mesh.triangles.len() as u32).into_par_iter().with_min_len(super::super::BLOCK).map(turns).sum()
}

/// Walls, looking out of the tool, and edges that got nodes between their ends, low → high.
#[derive(Default)]
pub(super) struct Walls {
    pub triangles: Vec<[u32; 3]>,
    pub chains: FxHashMap<(u32, u32), Vec<u32>>,
}

/// Fills what of each facet lies in the material: of all shells together, or, where outlines cross or cover one another, of
/// each by itself.
pub(super) fn fill(crossings: &mut Crossings, bounds: &Bounds, turns: &[i32]) -> Result<Walls, Contradiction> {
    let together = outlines(crossings, turns, Of::All);
    if together.iter().any(|edges| !outline::is_closed(edges)) {
        return Err(Contradiction);
    }
    let mut walls = Walls::default();
    let mut left: Vec<usize> = Vec::new();
    for (facet, edges) in together.iter().enumerate().filter(|(_, edges)| !edges.is_empty()) {
        match sheet(crossings, facet).fill(edges) {
            Some(triangles) => walls.triangles.extend(triangles),
            None => left.push(facet),
        }
    }
    if left.is_empty() {
        return Ok(walls);
    }
    let shells = Shells::of(&crossings.solid.mesh);
    let apart = outlines_by_shell(crossings, bounds, &shells)?;
    let (mut welded, mut chains) = (Vec::new(), Vec::new());
    for facet in left {
        let mut cap = Cap::default();
        sheet(crossings, facet).close_with_care(&shells, &apart[facet], &mut cap);
        if !cap.left_open.is_empty() {
            return Err(Contradiction);
        }
        crossings.points.extend(cap.new_points);
        walls.triangles.extend(cap.triangles);
        welded.extend(cap.welded);
        chains.extend(cap.chains);
    }
    // What closing one facet did holds for all, and for the faces.
    welded.sort_unstable();
    for (a, b) in welded {
        let (a, b) = (crossings.stand_in(a), crossings.stand_in(b));
        if a != b {
            crossings.stand_ins.insert(a, b);
        }
    }
    for ((low, high), inner) in chains {
        let [a, b] = [low, high].map(|v| crossings.stand_in(v));
        if a != b {
            let chain = walls.chains.entry((a.min(b), a.max(b))).or_default();
            chain.extend(inner.into_iter().map(|v| crossings.stand_in(v)));
        }
    }
    settle(crossings, &mut walls.chains);
    walls.triangles.iter_mut().flatten().for_each(|v| *v = crossings.stand_in(*v));
    Ok(walls)
}

fn sheet<'a>(crossings: &'a Crossings, facet: usize) -> Sheet<'a, impl Fn(u32) -> Point + 'a> {
    let own = crossings.own() + crossings.points.len() as u32;
    let plane = &crossings.ready.facets[facet].plane;
    Sheet::new(plane, crossings.solid.resolution, |v| crossings.place(v), own)
}

/// The outlines in each facet of all shells that the tool meets, none made one with another's.
fn outlines_by_shell(
    crossings: &Crossings,
    bounds: &Bounds,
    shells: &Shells,
) -> Result<Vec<Vec<OutlineEdge>>, Contradiction> {
    let mut met: Vec<u32> = crossings.links.iter().map(|(face, _)| shells.of_triangle[*face as usize]).collect();
    // What lies around all of the tool is met nowhere.
    if crossings.ready.tool.corners.iter().all(|p| !is_out(bounds, p)) && shells.count <= FEW_SHELLS {
        met.extend(0..shells.count);
    }
    met.sort_unstable();
    met.dedup();
    let mut apart: Vec<Vec<OutlineEdge>> = vec![Vec::new(); crossings.ready.facets.len()];
    for shell in met {
        let of = Of::Shell(shells, shell);
        let turns = turns_at_corners(crossings, bounds, of)?;
        apart.iter_mut().zip(outlines(crossings, &turns, of)).for_each(|(all, edges)| all.extend(edges));
    }
    Ok(apart)
}

/// With more shells than this, looking through all faces for each would take too long; what they then leave open goes the
/// long way.
const FEW_SHELLS: u32 = 64;

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
fn outlines(crossings: &Crossings, turns: &[i32], of: Of) -> Vec<Vec<OutlineEdge>> {
    let mut balance: Vec<FxHashMap<(u32, u32), (i32, u32)>> = vec![FxHashMap::default(); crossings.ready.facets.len()];
    let mut add = |facet: u32, from: u32, to: u32, count: i32, face: u32| {
        if from != to && count != 0 {
            let (key, along) = if from < to { ((from, to), 1) } else { ((to, from), -1) };
            balance[facet as usize].entry(key).or_insert((0, face)).0 += along * count;
        }
    };
    for (face, links) in crossings.links.iter().filter(|(face, _)| of.counts(*face)) {
        for link in links {
            add(link.facet, crossings.stand_in(link.from), crossings.stand_in(link.to), 1, *face);
        }
    }
    // The corners of the tool are the last points of all that were there before walls were filled.
    let first = crossings.first_corner;
    let corner = |v: u32| crossings.stand_in(first + v);
    let any_face = crossings.links.iter().find(|(face, _)| of.counts(*face)).map_or(0, |(face, _)| *face);
    for (number, side) in crossings.ready.sides.iter().enumerate() {
        let mut count = turns[side.ends[0] as usize];
        let mut last = corner(side.ends[0]);
        for pierce in &crossings.pierces[number] {
            let node = crossings.stand_in(pierce.node);
            add(side.facets[0], last, node, count, any_face);
            add(side.facets[1], node, last, count, any_face);
            count += if of.counts(pierce.face) { pierce.step } else { 0 };
            last = node;
        }
        let end = corner(side.ends[1]);
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
