//! Rings of nodes into triangles, so that every edge of the ring keeps its partner whatever the ring looks like.

use rustc_hash::FxHashMap;

use super::super::constrained::{self, Bound};
use super::super::walls::lower;
use super::crossings::Crossings;
use super::rings::Ring;
use crate::Vector;
use crate::predicates::orient_2d;

/// Triangles whose sides, added up, are those of the ring.
pub(super) fn of_ring(crossings: &Crossings, ring: &Ring) -> Vec<[u32; 3]> {
    let nodes: Vec<u32> = ring.rim.iter().map(|r| r.node).collect();
    if nodes.len() == 3 && nodes[0] != nodes[1] && nodes[1] != nodes[2] && nodes[2] != nodes[0] {
        return vec![[nodes[0], nodes[1], nodes[2]]];
    }
    let [a, b, c] = crossings.solid.mesh.corners(ring.face as usize);
    let flat = Flat::across((b - a).cross(&(c - a)));
    simple_rings(nodes).into_iter().flat_map(|nodes| of_simple(crossings, &flat, nodes)).collect()
}

/// Parts a ring where it comes back to a node. Ways there and back cancel.
fn simple_rings(nodes: Vec<u32>) -> Vec<Vec<u32>> {
    let mut rings = Vec::new();
    let mut path: Vec<u32> = Vec::with_capacity(nodes.len());
    let mut at: FxHashMap<u32, usize> = FxHashMap::default();
    for node in nodes {
        if let Some(&first) = at.get(&node) {
            let ring = path.split_off(first);
            ring.iter().for_each(|n| {
                at.remove(n);
            });
            if ring.len() >= 3 {
                rings.push(ring);
            }
        }
        at.insert(node, path.len());
        path.push(node);
    }
    if path.len() >= 3 {
        rings.push(path);
    }
    rings
}

fn of_simple(crossings: &Crossings, flat: &Flat, nodes: Vec<u32>) -> Vec<[u32; 3]> {
    match nodes[..] {
        [a, b, c] => return vec![[a, b, c]],
        [a, b, c, d] => {
            if let Some(triangles) = of_four(crossings, flat, [a, b, c, d]) {
                return triangles;
            }
        }
        _ => {}
    }
    let places: Vec<[f64; 2]> = nodes.iter().map(|n| flat.seen(crossings, *n)).collect();
    let count = nodes.len() as u32;
    let bounds: Vec<Bound> = (0..count).map(|i| Bound { from: i, to: (i + 1) % count, count: 1 }).collect();
    match constrained::fill(&places, &bounds) {
        // Anything else is turned over somewhere, or has a part without area.
        Some(filled) if filled.lowest == 0 && filled.triangles.len() == nodes.len() - 2 => {
            filled.triangles.iter().map(|t| t.map(|i| nodes[i as usize])).collect()
        }
        _ => clip_ears(&places, &nodes),
    }
}

/// Along the shorter diagonal of those that lie inside. Depends on places only, so that the two faces of a seam, which are
/// each other turned round, are parted alike by a later cut.
fn of_four(crossings: &Crossings, flat: &Flat, [a, b, c, d]: [u32; 4]) -> Option<Vec<[u32; 3]>> {
    let turn = |t: [u32; 3]| {
        let [p, q, r] = t.map(|n| flat.seen(crossings, n));
        orient_2d(p, q, r)
    };
    let inside = |t: [[u32; 3]; 2]| t.iter().all(|t| turn(*t) > 0.0).then_some(t);
    let ways = [inside([[a, b, c], [a, c, d]]), inside([[a, b, d], [b, c, d]])];
    let place = |n| crossings.place(n);
    let lengths = [(place(c) - place(a)).norm_squared(), (place(d) - place(b)).norm_squared()];
    let least = |m: u32, n: u32| if lower(&place(m), &place(n)) { place(m) } else { place(n) };
    let first_is_shorter = match lengths[0].partial_cmp(&lengths[1])? {
        std::cmp::Ordering::Equal => lower(&least(a, c), &least(b, d)),
        order => order.is_lt(),
    };
    let [first, second] = ways;
    let way = if first_is_shorter { first.or(second) } else { second.or(first) };
    way.map(|way| way.to_vec())
}

/// Above so many nodes, a ring that could not be filled is not searched for ears, which takes the square of them.
const MOST_EARS: usize = 512;

/// Cuts off corner after corner: the one that turns left most widely and has no other node in it, or else the one that turns
/// right least.
fn clip_ears(places: &[[f64; 2]], nodes: &[u32]) -> Vec<[u32; 3]> {
    let mut left: Vec<usize> = (0..nodes.len()).collect();
    let mut triangles = Vec::with_capacity(nodes.len());
    while left.len() > 3 {
        let count = left.len();
        let corner = |i: usize| [left[(i + count - 1) % count], left[i], left[(i + 1) % count]];
        let turn = |i: usize| {
            let [a, b, c] = corner(i).map(|k| places[k]);
            orient_2d(a, b, c)
        };
        let is_empty = |i: usize| {
            let t = corner(i);
            let [a, b, c] = t.map(|k| places[k]);
            left.iter().filter(|k| !t.contains(k)).all(|k| {
                let p = places[*k];
                orient_2d(a, b, p) < 0.0 || orient_2d(b, c, p) < 0.0 || orient_2d(c, a, p) < 0.0
            })
        };
        let widest = |ears: &mut dyn Iterator<Item = usize>| ears.max_by(|i, j| turn(*i).total_cmp(&turn(*j)));
        let ear = if count > MOST_EARS {
            Some(1)
        } else {
            widest(&mut (0..count).filter(|i| turn(*i) > 0.0 && is_empty(*i))).or_else(|| widest(&mut (0..count)))
        };
        let ear = ear.unwrap_or(0);
        triangles.push(corner(ear).map(|k| nodes[k]));
        left.remove(ear);
    }
    if let [a, b, c] = left[..] {
        triangles.push([a, b, c].map(|k| nodes[k]));
    }
    triangles
}

/// Drops the coordinate in which a face is seen most squarely, and keeps its turn.
struct Flat {
    axes: [usize; 2],
}

impl Flat {
    fn across(normal: Vector) -> Flat {
        let dropped = normal.iamax();
        let axes = [(dropped + 1) % 3, (dropped + 2) % 3];
        Flat { axes: if normal[dropped] < 0.0 { [axes[1], axes[0]] } else { axes } }
    }

    fn seen(&self, crossings: &Crossings, node: u32) -> [f64; 2] {
        let p = crossings.place(node);
        self.axes.map(|k| p[k])
    }
}
