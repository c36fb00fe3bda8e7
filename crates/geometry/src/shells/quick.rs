//! Shells of meshes whose faces stand in order, told with a look at few edges only.
//!
//! Faces that share a vertex are joined: no shell can be larger than such a set. Faces that follow on each other and share
//! an edge are joined, and those at one of so many edges: no shell can be smaller than these. Where both come to the same,
//! those are the shells; elsewhere, as where shells touch in a vertex, all edges must be looked at.

use rayon::prelude::*;

use super::faces::{BLOCK, Recent, Use};
use super::sets::Sets;
use crate::Mesh;
use crate::parts::NOBODY;

/// What is told.
pub(super) struct Told {
    /// For each face a lower one of its shell, or itself if it is the lowest.
    pub parents: Vec<u32>,
    vertices: Sets,
    /// The lowest face of each shell, rising.
    lowest: Vec<u32>,
}

/// One edge of so many is looked at, chosen by its lower vertex.
const ONE_OF: u32 = 8;
/// Edges that are remembered, as a power of two: all those of [`faces::HELD`](super::faces) that are looked at.
const HELD: u32 = 11;
/// Faces at which it is tried whether it is worth it, and how many of them must share an edge with the face before: rows of
/// faces hang together then.
const TRIED: usize = 4096;
const IN_ORDER: usize = TRIED / 2;

/// `None` where that is not enough.
pub(super) fn tell(mesh: &Mesh) -> Option<Told> {
    let faces = &mesh.triangles;
    let step = (faces.len() / TRIED).max(1);
    let tried = faces.windows(2).step_by(step).take(TRIED);
    let (count, in_order) = tried.fold((0, 0), |(n, k), pair| (n + 1, k + usize::from(share_edge(&pair[0], &pair[1]))));
    if in_order * TRIED < count * IN_ORDER {
        return None;
    }
    let (vertices, of_faces) = (Sets::new(mesh.vertices.len()), Sets::new(faces.len()));
    let alone: Vec<Vec<Use>> = (faces.par_chunks(BLOCK).enumerate())
        .map_init(
            || Recent::new(HELD),
            |recent, (block, own)| {
                let first = (block * BLOCK) as u32;
                let mut before = first.checked_sub(1).map(|face| faces[face as usize]);
                for (face, corners) in (first..).zip(own) {
                    let [a, b, c] = *corners;
                    vertices.join(a, b);
                    vertices.join(a, c);
                    if before.is_some_and(|before| share_edge(&before, corners)) {
                        of_faces.join(face - 1, face);
                    }
                    before = Some(*corners);
                }
                let looked_at = |edge: &u64| is_looked_at((edge >> 32) as u32);
                recent.alone_among(own, looked_at, |a, b| of_faces.join(first + a, first + b), first)
            },
        )
        .collect();
    let mut alone = alone.concat();
    alone.par_sort_unstable();
    for pair in alone.windows(2).filter(|pair| pair[0].0 == pair[1].0) {
        of_faces.join(pair[0].1, pair[1].1);
    }
    let lowest: Vec<u32> =
        (0..faces.len() as u32).into_par_iter().filter(|face| of_faces.find(*face) == *face).collect();
    let mut at: Vec<u32> = lowest.iter().map(|face| vertices.find(faces[*face as usize][0])).collect();
    at.sort_unstable();
    let are_apart = at.windows(2).all(|pair| pair[0] != pair[1]);
    are_apart.then(|| Told { parents: of_faces.into_parents(), vertices, lowest })
}

impl Told {
    /// The shell of each vertex, numbered by their lowest faces; [`NOBODY`] for those that no face uses.
    pub(super) fn of_vertices(&self, mesh: &Mesh) -> Vec<u32> {
        let mut number = vec![NOBODY; mesh.vertices.len()];
        for (shell, face) in (0..).zip(&self.lowest) {
            number[self.vertices.find(mesh.triangles[*face as usize][0]) as usize] = shell;
        }
        (0..mesh.vertices.len() as u32).into_par_iter().map(|v| number[self.vertices.find(v) as usize]).collect()
    }
}

fn is_looked_at(low: u32) -> bool {
    // Fibonacci hashing (Knuth, "The Art of Computer Programming" 3, section 6.4): rows of any length are met.
    low.wrapping_mul(0x9e37_79b9) >> (u32::BITS - ONE_OF.ilog2()) == 0
}

/// Whether two corners of one, that are not the same, are corners of the other.
fn share_edge(one: &[u32; 3], other: &[u32; 3]) -> bool {
    let is_there = one.map(|v| (v == other[0]) | (v == other[1]) | (v == other[2]));
    (is_there[0] & is_there[1] & (one[0] != one[1]))
        | (is_there[1] & is_there[2] & (one[1] != one[2]))
        | (is_there[2] & is_there[0] & (one[2] != one[0]))
}
