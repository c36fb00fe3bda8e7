//! What is left of the faces that the tool touches.

use rustc_hash::FxHashMap;

use super::super::cap::Sheet;
use super::super::outline::OutlineEdge;
use super::crossings::{Crossings, Link};
use super::tool::NONE;
use crate::Plane;

/// The outline of what is left of a face: of its rim what lies outside, and the links. Edges that cancel are left out.
pub(super) fn outline(crossings: &Crossings, face: u32, links: &[Link]) -> Vec<OutlineEdge> {
    let corners = crossings.solid.mesh.triangles[face as usize];
    let mut edges: Vec<OutlineEdge> = Vec::with_capacity(8);
    let mut add = |from: u32, to: u32| {
        let (from, to) = (crossings.stand_in(from), crossings.stand_in(to));
        if from == to {
            return;
        }
        match edges.iter().position(|e| e.from == to && e.to == from) {
            Some(i) => {
                edges[i].count -= 1;
                if edges[i].count == 0 {
                    edges.swap_remove(i);
                }
            }
            None => match edges.iter_mut().find(|e| e.from == from && e.to == to) {
                Some(edge) => edge.count += 1,
                None => edges.push(OutlineEdge { from, to, count: 1, face }),
            },
        }
    };
    for i in 0..3 {
        let (a, b) = (corners[i], corners[(i + 1) % 3]);
        let (low, high) = (a.min(b), a.max(b));
        let mut inside = crossings.near.is_inside(low);
        let mut last = low;
        let stops = crossings.stops_of(a, b);
        for (node, crossed) in stops.iter().map(|s| (s.node, s.facet != NONE)).chain([(high, false)]) {
            if !inside {
                if a < b { add(last, node) } else { add(node, last) }
            }
            inside ^= crossed;
            last = node;
        }
    }
    links.iter().for_each(|link| add(link.from, link.to));
    edges
}

/// Triangles whose sides, added up, are the outline; with whether they lie in it and cover it once.
pub(super) fn fill(crossings: &Crossings, face: u32, edges: &[OutlineEdge]) -> (Vec<[u32; 3]>, bool) {
    if let Some(t) = one_triangle(edges) {
        let [a, b, c] = t.map(|v| crossings.place(v));
        return (vec![t], (b - a).cross(&(c - a)).norm() > 0.0);
    }
    let [a, b, c] = crossings.solid.mesh.corners(face as usize);
    if let Ok(plane) = Plane::through(a, (b - a).cross(&(c - a))) {
        let own = crossings.own() + crossings.points.len() as u32;
        let sheet = Sheet::new(&plane, crossings.solid.resolution, |v| crossings.place(v), own);
        if let Some(triangles) = sheet.fill(edges) {
            return (triangles, true);
        }
    }
    (fans(edges), false)
}

fn one_triangle(edges: &[OutlineEdge]) -> Option<[u32; 3]> {
    let [first, ..] = edges else { return None };
    if edges.len() != 3 || edges.iter().any(|e| e.count != 1) {
        return None;
    }
    let second = edges.iter().find(|e| e.from == first.to)?;
    let third = edges.iter().find(|e| e.from == second.to && e.to == first.from)?;
    Some([first.from, second.from, third.from])
}

/// Each loop of the outline as a fan. Closes whatever the outline looks like.
fn fans(edges: &[OutlineEdge]) -> Vec<[u32; 3]> {
    let mut leaving: FxHashMap<u32, Vec<u32>> = FxHashMap::default();
    for e in edges {
        leaving.entry(e.from).or_default().extend(std::iter::repeat_n(e.to, e.count.unsigned_abs() as usize));
    }
    let mut triangles = Vec::new();
    for e in edges {
        while let Some(mut last) = leaving.get_mut(&e.from).and_then(Vec::pop) {
            // What leaves comes back: as many edges arrive everywhere as leave.
            while last != e.from {
                let Some(next) = leaving.get_mut(&last).and_then(Vec::pop) else { break };
                if next != e.from {
                    triangles.push([e.from, last, next]);
                }
                last = next;
            }
        }
    }
    triangles.retain(|[a, b, c]| a != b && b != c && c != a);
    triangles
}
