//! Taking a closed polyhedron (a tool) away from a solid of many more faces.
//!
//! 1. Faces that the tool is nowhere near are told by one quick look and copied ([`near`]). For each vertex of the others,
//!    the facets that it lies beyond.
//! 2. The tool is moved by (ε, ε², ε³), with ε smaller than any number: then edges of the mesh go through facets and sides
//!    of the tool pierce faces, and nothing else meets. All questions are signs of orientations of four given places
//!    ([`signs`]); they cannot disagree.
//! 3. Where an edge goes through a facet there is one point, of the edge; where a side pierces a face, one of the side
//!    ([`crossings`]). Two of them bound what a face and a facet have in common, a *link*.
//! 4. What ε has kept apart is made one: points within the solid's [`Resolution`](crate::Resolution) of a vertex, or of one
//!    another. Edges are led through points that lie on them ([`weld`]).
//! 5. What is left of a face is bounded by its rim outside of the tool and by links ([`faces`]). What of a facet is wall is
//!    bounded by the same links the other way, and by its sides: how often the surface goes round their corners is counted
//!    from one outside, and steps where a face is pierced ([`walls`]). Both are filled as caps are, by constrained
//!    Delaunay triangulation and winding number, shell by shell where outlines cross.
//! 6. What took the place of the near faces is looked at once more: it must meet the others as those did.
//!
//! Error budget: signs have none. A point on an edge is off its facet by rounding, one on a side off its face by rounding
//! where the side is not nearly parallel to it; either may be off by the resolution where another point stands for it.
//!
//! Where a facet lies in a face that looks the same way, ε alone decides whether a sheet without thickness stays. The
//! result then says that it is *rough*, as it does where a part could only be filled without regard to its form; whoever
//! asked makes the tool larger by a few resolutions and tries again.
//!
//! Rejected: a boolean of what is near alone needs that closed first, and moves vertices; clipping by one plane of the tool
//! after the other leaves seams in the walls and needs a convex tool; a curve seen along the channel, as the profile cut
//! has it, has neither ends nor bends.

mod crossings;
mod faces;
mod near;
mod signs;
mod splice;
mod tool;
mod walls;
mod weld;

use rustc_hash::{FxHashMap, FxHashSet};

use super::assemble::along_chains;
use crate::bore::Tool;
use crate::{Bounds, Cancelled, FaceOrigin, Progress, Solid};
use crossings::{Contradiction, Crossings};
use near::Near;
use tool::Ready;
use walls::Of;

/// What is left of a solid.
pub(crate) enum Drilled {
    /// All of it.
    Missed,
    /// Less.
    Less(Box<Less>),
    /// It could not be told: the solid is open there, or its numbers are too large or too small to be exact.
    Unclear,
}

pub(crate) struct Less {
    pub solid: Solid,
    pub removed_mm3: f64,
    /// Whether a sheet without thickness or a part without form may be left.
    pub is_rough: bool,
}

/// `solid`, which lies in `bounds`, without what lies in `tool`. Walls get the origin `wall`.
pub(crate) fn subtract(
    solid: &Solid,
    tool: &Tool,
    bounds: &Bounds,
    wall: FaceOrigin,
    progress: &Progress,
) -> Result<Drilled, Cancelled> {
    progress.check()?;
    let Some(ready) = Ready::of(tool) else { return Ok(Drilled::Unclear) };
    let near = Near::of(solid, &ready);
    progress.check()?;
    let Ok(mut crossings) = Crossings::find(solid, &ready, &near) else { return Ok(Drilled::Unclear) };
    progress.check()?;
    match replaced(&mut crossings, bounds, wall) {
        Err(Contradiction) => Ok(Drilled::Unclear),
        Ok(None) => Ok(Drilled::Missed),
        Ok(Some(parts)) => {
            progress.check()?;
            if !is_tight(solid, &parts) {
                return Ok(Drilled::Unclear);
            }
            let removed_mm3 = removed_mm3(&crossings, &parts);
            let solid = splice::splice(solid, &near, &parts.gone, &parts.faces, &crossings.points);
            Ok(Drilled::Less(Box::new(Less { solid, removed_mm3, is_rough: parts.is_rough })))
        }
    }
}

/// What takes the place of what.
struct Parts {
    /// Faces of the solid that are gone, rising.
    gone: Vec<u32>,
    /// What there is instead.
    faces: Vec<([u32; 3], FaceOrigin)>,
    is_rough: bool,
}

/// `None` where the tool does not meet the material.
fn replaced(crossings: &mut Crossings, bounds: &Bounds, wall: FaceOrigin) -> Result<Option<Parts>, Contradiction> {
    let (solid, near) = (crossings.solid, crossings.near);
    let turns = walls::turns_at_corners(crossings, bounds, Of::All)?;
    let is_swallowed = |face: &&u32| solid.mesh.triangles[**face as usize].iter().all(|v| near.is_inside(*v));
    if crossings.links.is_empty() && turns.iter().all(|t| *t == 0) && !near.faces.iter().any(|f| is_swallowed(&f)) {
        return Ok(None);
    }
    let mut touched: Vec<u32> = crossings.links.iter().map(|(face, _)| *face).collect();
    weld::unite(crossings, &touched);
    let led = weld::lead_through(crossings);
    touched.extend(beside(crossings, &led));
    touched.sort_unstable();
    touched.dedup();
    let made = walls::fill(crossings, bounds, &turns)?;
    let mut parts = Parts { gone: Vec::new(), faces: Vec::new(), is_rough: is_flush(crossings) };
    let links: FxHashMap<u32, usize> = crossings.links.iter().enumerate().map(|(i, (face, _))| (*face, i)).collect();
    let mut add = |triangle: [u32; 3], origin: FaceOrigin| {
        for part in along_chains(triangle, &made.chains) {
            if part[0] != part[1] && part[1] != part[2] && part[2] != part[0] {
                parts.faces.push((part, origin));
            }
        }
    };
    let mut is_rough = false;
    for &face in &near.faces {
        let is_touched = touched.binary_search(&face).is_ok();
        if is_touched {
            let links = links.get(&face).map_or(&[][..], |i| &crossings.links[*i].1);
            let outline = faces::outline(crossings, face, links);
            let (triangles, is_fine) = faces::fill(crossings, face, &outline);
            is_rough |= !is_fine;
            triangles.into_iter().for_each(|t| add(t, solid.origins[face as usize]));
            parts.gone.push(face);
        } else if is_swallowed(&&face) {
            parts.gone.push(face);
        }
    }
    made.triangles.iter().for_each(|&[a, b, c]| add([a, c, b], wall));
    parts.is_rough |= is_rough || cancel(&mut parts.faces);
    Ok(Some(parts))
}

/// Faces beside edges that were led through nodes.
fn beside(crossings: &Crossings, led: &[(u32, u32)]) -> Vec<u32> {
    if led.is_empty() {
        return Vec::new();
    }
    let led: FxHashSet<(u32, u32)> = led.iter().copied().collect();
    let has_led = |face: &&u32| {
        let t = crossings.solid.mesh.triangles[**face as usize];
        (0..3).any(|i| {
            let (a, b) = (t[i], t[(i + 1) % 3]);
            led.contains(&(a.min(b), a.max(b)))
        })
    };
    crossings.near.faces.iter().filter(has_led).copied().collect()
}

/// Whether a face lies in a facet that looks the same way: then ε alone decides whether it stays.
fn is_flush(crossings: &Crossings) -> bool {
    let (solid, ready) = (crossings.solid, crossings.ready);
    crossings.near.faces.iter().any(|&face| {
        let t = solid.mesh.triangles[face as usize];
        let corners = solid.mesh.corners(face as usize);
        let normal = (corners[1] - corners[0]).cross(&(corners[2] - corners[0]));
        crossings.near.level_with(t).any(|facet| {
            ready.facets[facet as usize].plane.normal().dot(&normal) > 0.0
                && ready.overlap(facet, &corners, solid.resolution.on_plane_mm)
        })
    })
}

/// Takes out pairs of faces that lie on each other back to back; with whether there were any, or faces without area.
fn cancel(faces: &mut Vec<([u32; 3], FaceOrigin)>) -> bool {
    let mut seen: FxHashMap<[u32; 3], Vec<usize>> = FxHashMap::default();
    let mut gone = vec![false; faces.len()];
    for (i, (face, _)) in faces.iter().enumerate() {
        let turned = |face: &[u32; 3]| {
            let first = (0..3).min_by_key(|k| face[*k]).unwrap_or(0);
            [face[first], face[(first + 1) % 3], face[(first + 2) % 3]]
        };
        let [a, b, c] = *face;
        match seen.get_mut(&turned(&[a, c, b])).and_then(Vec::pop) {
            Some(other) => (gone[i], gone[other]) = (true, true),
            None => seen.entry(turned(face)).or_default().push(i),
        }
    }
    let any = gone.contains(&true);
    let mut flags = gone.iter();
    faces.retain(|_| !*flags.next().unwrap_or(&false));
    any
}

/// Uses of undirected edges from the lower to the higher vertex, minus those the other way.
fn balance(faces: impl Iterator<Item = [u32; 3]>) -> FxHashMap<(u32, u32), i32> {
    let mut balance: FxHashMap<(u32, u32), i32> = FxHashMap::default();
    for [a, b, c] in faces {
        for (from, to) in [(a, b), (b, c), (c, a)] {
            if from != to {
                *balance.entry((from.min(to), from.max(to))).or_default() += if from < to { 1 } else { -1 };
            }
        }
    }
    balance.retain(|_, uses| *uses != 0);
    balance
}

/// Whether what is new meets the faces that stayed as those did that are gone.
fn is_tight(solid: &Solid, parts: &Parts) -> bool {
    let before = balance(parts.gone.iter().map(|face| solid.mesh.triangles[*face as usize]));
    before == balance(parts.faces.iter().map(|(face, _)| *face))
}

/// About a place near all of it, which keeps rounding small.
fn removed_mm3(crossings: &Crossings, parts: &Parts) -> f64 {
    let Some(first) = parts.gone.first() else { return walls_mm3(crossings, parts) };
    let o = crossings.solid.mesh.corners(*first as usize)[0];
    let sixfold = |face: [u32; 3]| {
        let [a, b, c] = face.map(|v| crossings.place(v) - o);
        a.dot(&b.cross(&c))
    };
    let before: f64 = parts.gone.iter().map(|face| sixfold(crossings.solid.mesh.triangles[*face as usize])).sum();
    let after: f64 = parts.faces.iter().map(|(face, _)| sixfold(*face)).sum();
    (before - after) / 6.0
}

/// Of a tool that touches no face.
fn walls_mm3(crossings: &Crossings, parts: &Parts) -> f64 {
    let o = *crossings.ready.corner(0);
    let sixfold = parts.faces.iter().map(|(face, _)| {
        let [a, b, c] = face.map(|v| crossings.place(v) - o);
        a.dot(&b.cross(&c))
    });
    -sixfold.sum::<f64>() / 6.0
}
