//! The parts into which the curve divides a face, as rings of nodes.

use super::crossings::{Crossings, Link, NONE};
use crate::{Side, Vector};

/// A part of a face: its rim, in the face's own turn.
#[derive(Clone)]
pub(super) struct Ring {
    pub face: u32,
    pub side: Side,
    pub rim: Vec<Rim>,
}

/// A node of a rim.
#[derive(Clone, Copy, PartialEq)]
pub(super) struct Rim {
    pub node: u32,
    /// The strip in which the way to the next node lies; [`NONE`] where it runs along the rim of the face.
    pub strip: u32,
}

/// The parts of a face. Each lies wholly on one side. A face that the curve does not cross is one part.
pub(super) fn of_face(crossings: &Crossings, face: u32, links: &[Link]) -> Vec<Ring> {
    let corners = crossings.solid.mesh.triangles[face as usize];
    if corners[0] == corners[1] || corners[1] == corners[2] || corners[2] == corners[0] {
        // Its sides cancel: without it, nothing is open that was closed.
        return Vec::new();
    }
    let mut side = crossings.curve.side(crossings.spots[corners[0] as usize]);
    let mut rim: Vec<Spot> = Vec::with_capacity(6);
    for i in 0..3 {
        let (a, b) = (corners[i], corners[(i + 1) % 3]);
        rim.push(Spot { node: a, crossed: false, side });
        let stops = crossings.stops_of(a, b);
        let mut add = |stop: &super::crossings::Stop| {
            let crossed = stop.strip != NONE;
            side = if crossed { side.other() } else { side };
            rim.push(Spot { node: stop.node, crossed, side });
        };
        if a < b { stops.iter().for_each(&mut add) } else { stops.iter().rev().for_each(&mut add) }
    }
    walk(&rim, links)
        .unwrap_or_else(|| vec![(side, rim.iter().map(|s| Rim { node: s.node, strip: NONE }).collect())])
        .into_iter()
        .map(|(side, rim)| Ring { face, side, rim })
        .collect()
}

/// A node on the rim of a face.
struct Spot {
    node: u32,
    /// Whether a strip leads from here into the face.
    crossed: bool,
    /// On which side the way to the next one lies.
    side: Side,
}

/// Walks along the rim and, wherever a strip leads into the face, along that to where it comes out. `None` where the
/// links lead nowhere, which exact numbers do not allow.
fn walk(spots: &[Spot], links: &[Link]) -> Option<Vec<(Side, Vec<Rim>)>> {
    let mut walked = vec![false; spots.len()];
    let mut rings = Vec::new();
    for start in 0..spots.len() {
        if walked[start] {
            continue;
        }
        let mut rim = Vec::new();
        let mut at = start;
        loop {
            if std::mem::replace(&mut walked[at], true) {
                return None;
            }
            rim.push(Rim { node: spots[at].node, strip: NONE });
            let next = (at + 1) % spots.len();
            at = if spots[next].crossed { cross(spots, next, links, &mut rim)? } else { next };
            if at == start {
                break;
            }
        }
        rings.push((spots[start].side, rim));
    }
    Some(rings)
}

/// Follows the links from a crossing to the one where they come out.
fn cross(spots: &[Spot], from: usize, links: &[Link], rim: &mut Vec<Rim>) -> Option<usize> {
    let (mut node, mut last) = (spots[from].node, usize::MAX);
    for _ in 0..=links.len() {
        if last != usize::MAX
            && let Some(out) = spots.iter().position(|s| s.crossed && s.node == node)
        {
            return Some(out);
        }
        let (index, link) = links.iter().enumerate().find(|(i, link)| *i != last && link.ends.contains(&node))?;
        rim.push(Rim { node, strip: link.strip });
        node = if link.ends[0] == node { link.ends[1] } else { link.ends[0] };
        last = index;
    }
    None
}

impl Ring {
    /// Twice the area times the normal (Newell's sum), about the first node so that it stays small.
    pub fn doubled(&self, crossings: &Crossings) -> Vector {
        let Some(first) = self.rim.first() else { return Vector::zeros() };
        let o = crossings.place(first.node);
        let places: Vec<Vector> = self.rim.iter().map(|r| crossings.place(r.node) - o).collect();
        places.windows(2).map(|pair| pair[0].cross(&pair[1])).sum()
    }

    /// Replaces nodes by those that stand for them.
    pub fn settle(&mut self, crossings: &Crossings) {
        self.rim.iter_mut().for_each(|r| r.node = crossings.stand_in(r.node));
        let mut kept: Vec<Rim> = Vec::with_capacity(self.rim.len());
        for r in self.rim.drain(..) {
            // Of several that became one, the last leads on.
            match kept.last_mut() {
                Some(last) if last.node == r.node => *last = r,
                _ => kept.push(r),
            }
        }
        while kept.len() > 1 && kept[0].node == kept[kept.len() - 1].node {
            kept.pop();
        }
        self.rim = kept;
    }
}
