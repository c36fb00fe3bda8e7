//! Which faces hang together across shared edges.

use rayon::prelude::*;
use rustc_hash::FxHashMap;

use crate::Mesh;
use crate::parts::SHARED;
use crate::topology::EdgeTable;

/// For each face a lower one that it hangs together with, or itself if it is the lowest: steps downwards end at the
/// lowest. Only where more than three faces share an edge may their pairs be found and not that it is the same edge:
/// faces of one shell then end at different ones.
///
/// Union by lower face number over all shared edges, paths halved on the way (Tarjan and van Leeuwen, "Worst-case
/// analysis of set union algorithms", 1984). Most edges have both their faces close together in the file: a small table
/// that forgets finds these, block by block on all cores. What it forgot before a second face came is matched afterwards,
/// and what is alone even then is looked for once more among all faces, since an edge may have more than two. Where
/// faces stand in no order at all, a sorted table of all edges is faster.
pub(super) fn parents(mesh: &Mesh) -> Vec<u32> {
    parents_by_blocks(mesh, BLOCK, HELD)
}

fn parents_by_blocks(mesh: &Mesh, size: usize, held: u32) -> Vec<u32> {
    let mut parent: Vec<u32> = vec![0; mesh.triangles.len()];
    let blocks = parent.par_chunks_mut(size).zip(mesh.triangles.par_chunks(size)).enumerate();
    let alone: Vec<Vec<Use>> = blocks
        .map_init(
            || Recent::new(held),
            |recent, (block, (parent, faces))| {
                let first = (block * size) as u32;
                (parent.iter_mut().zip(first..)).for_each(|(parent, face)| *parent = face - first);
                recent.alone_among(parent, faces, first)
            },
        )
        .collect();
    (parent.par_chunks_mut(size).enumerate())
        .for_each(|(block, parent)| parent.iter_mut().for_each(|parent| *parent += (block * size) as u32));
    if alone.iter().map(Vec::len).sum::<usize>() > mesh.triangles.len() / MANY_ALONE {
        return joined(&EdgeTable::new(mesh), parent);
    }
    let still_alone = join_equal(&mut parent, alone.concat());
    join_others(&mut parent, mesh, still_alone);
    parent
}

/// The same from a table of all edges.
pub(super) fn parents_of(edges: &EdgeTable) -> Vec<u32> {
    joined(edges, (0..edges.faces() as u32).collect())
}

fn joined(edges: &EdgeTable, mut parent: Vec<u32>) -> Vec<u32> {
    for edge in edges.edges() {
        let mut faces = edge.faces().map(|(face, _)| face);
        let Some(first) = faces.next() else { continue };
        faces.for_each(|face| join(&mut parent, first, face));
    }
    parent
}

/// Faces that share one table that forgets.
const BLOCK: usize = 1 << 16;
/// Edges that such a table holds, as a power of two: it fits the second cache of common processors (256 KiB and more).
const HELD: u32 = 14;
/// When more than one edge for so many faces was not found at once, the mesh is in no order.
const MANY_ALONE: usize = 2;

/// A face at an edge: its lower and its higher vertex.
type Use = (u64, u32);

/// The edges seen last, each in the one place that its vertices name.
struct Recent {
    held: Vec<Use>,
}

impl Recent {
    /// No edge: both its vertices would be the same.
    const NOTHING: u64 = u64::MAX;
    /// In place of a face: this edge has found another one.
    const MATCHED: u32 = 1 << 31;

    /// With room for 2^`held` edges.
    fn new(held: u32) -> Recent {
        Recent { held: vec![(Self::NOTHING, Self::MATCHED); 1 << held] }
    }

    /// Joins the faces of a block; `parent` counts within it. Gives what found no second face.
    ///
    /// Faces that follow each other in a file share an edge more often than not: two at a time are looked at, and an edge
    /// between them needs no place in the table.
    fn alone_among(&mut self, parent: &mut [u32], faces: &[[u32; 3]], first: u32) -> Vec<Use> {
        let mut alone = Vec::new();
        let mut lose = |(edge, face): Use| alone.push((edge, face + first));
        let mut face = 0;
        while let Some(corners) = faces.get(face as usize) {
            let one = sides(*corners);
            let next = faces.get(face as usize + 1).map(|corners| sides(*corners));
            let Some((other, [i, j])) = next.and_then(|other| Some((other, in_common(&one, &other)?))) else {
                one.into_iter().for_each(|edge| self.look(edge, face, parent, &mut lose));
                face += 1;
                continue;
            };
            join(parent, face, face + 1);
            for k in 0..3 {
                if k != i {
                    self.look(one[k], face, parent, &mut lose);
                }
                if k != j {
                    self.look(other[k], face + 1, parent, &mut lose);
                }
            }
            face += 2;
        }
        for held in &mut self.held {
            if held.1 & Self::MATCHED == 0 {
                lose(*held);
            }
            *held = (Self::NOTHING, Self::MATCHED);
        }
        alone
    }

    /// Joins a face with that seen at the same edge before, or remembers it in the place of another, which is lost.
    #[inline(always)]
    fn look(&mut self, edge: u64, face: u32, parent: &mut [u32], lose: impl FnOnce(Use)) {
        if edge == Self::NOTHING {
            return;
        }
        // Fibonacci hashing (Knuth, "The Art of Computer Programming" 3, section 6.4).
        let place = edge.wrapping_mul(0x9e37_79b9_7f4a_7c15) >> (u64::BITS - self.held.len().ilog2());
        let held = &mut self.held[place as usize];
        if held.0 == edge {
            join(parent, held.1 & !Self::MATCHED, face);
            held.1 |= Self::MATCHED;
            return;
        }
        if held.1 & Self::MATCHED == 0 {
            lose(*held);
        }
        *held = (edge, face);
    }
}

/// The three sides of a face; those that join a vertex to itself are no edge.
fn sides([a, b, c]: [u32; 3]) -> [u64; 3] {
    [(a, b), (b, c), (c, a)].map(|(from, to)| if from == to { Recent::NOTHING } else { edge_between(from, to) })
}

/// Which sides of two faces are the same edge. All nine pairs are compared without a jump.
fn in_common(one: &[u64; 3], other: &[u64; 3]) -> Option<[usize; 2]> {
    let mut found = None;
    for (i, one) in one.iter().enumerate() {
        for (j, other) in other.iter().enumerate() {
            if one == other {
                found = Some([i, j]);
            }
        }
    }
    found.filter(|[i, _]| one[*i] != Recent::NOTHING)
}

fn edge_between(from: u32, to: u32) -> u64 {
    u64::from(from.min(to)) << 32 | u64::from(from.max(to))
}

/// The edges of a face. Sides that join a vertex to itself are none.
fn edges([a, b, c]: [u32; 3]) -> impl Iterator<Item = u64> {
    let sides = [(a, b), (b, c), (c, a)].into_iter().filter(|(from, to)| from != to);
    sides.map(|(from, to)| edge_between(from, to))
}

/// Joins faces at the same edge; gives what is alone at its edge.
fn join_equal(parent: &mut [u32], mut uses: Vec<Use>) -> Vec<Use> {
    uses.par_sort_unstable();
    let mut alone = Vec::new();
    for of_edge in uses.chunk_by(|a, b| a.0 == b.0) {
        match of_edge {
            [one] => alone.push(*one),
            several => several.windows(2).for_each(|pair| join(parent, pair[0].1, pair[1].1)),
        }
    }
    alone
}

/// Joins each face with all others at its edge.
fn join_others(parent: &mut [u32], mesh: &Mesh, uses: Vec<Use>) {
    if uses.is_empty() {
        return;
    }
    let mut is_end = vec![false; mesh.vertices.len()];
    uses.iter().for_each(|(edge, _)| is_end[(edge >> 32) as usize] = true);
    let wanted: FxHashMap<u64, u32> = uses.into_iter().collect();
    let of_block = |(block, faces): (usize, &[[u32; 3]])| {
        let at_edges = (0..).zip(faces).flat_map(|(face, corners)| edges(*corners).map(move |edge| (edge, face)));
        let at_ends = at_edges.filter(|(edge, _)| is_end[(edge >> 32) as usize]);
        let pairs =
            at_ends.filter_map(|(edge, face): (u64, u32)| Some((*wanted.get(&edge)?, (block * BLOCK) as u32 + face)));
        pairs.filter(|(one, other)| one != other).collect::<Vec<_>>()
    };
    let pairs: Vec<Vec<(u32, u32)>> = mesh.triangles.par_chunks(BLOCK).enumerate().map(of_block).collect();
    pairs.into_iter().flatten().for_each(|(one, other)| join(parent, one, other));
}

/// For each of the sets of faces a lower one that has an edge in common with it, or itself if it is the lowest. `owners`
/// says which set uses each vertex.
pub(super) fn join_at_edges(mesh: &Mesh, of_face: &[u32], count: u32, owners: &[u32]) -> Vec<u32> {
    let mut parent: Vec<u32> = (0..count).collect();
    if count < 2 || !owners.par_iter().any(|owner| *owner == SHARED) {
        return parent;
    }
    let is_shared = |v: u64| owners[v as usize] == SHARED;
    let of_lot = |(faces, sets): (&[[u32; 3]], &[u32])| {
        let at_edges = faces.iter().zip(sets).flat_map(|(corners, set)| edges(*corners).map(move |edge| (edge, *set)));
        at_edges.filter(|(edge, _)| is_shared(edge >> 32) && is_shared(edge & 0xffff_ffff)).collect::<Vec<Use>>()
    };
    let lots = mesh.triangles.par_chunks(BLOCK).zip(of_face.par_chunks(BLOCK));
    let mut uses: Vec<Use> = lots.map(of_lot).collect::<Vec<_>>().concat();
    uses.par_sort_unstable();
    for pair in uses.windows(2).filter(|pair| pair[0].0 == pair[1].0) {
        join(&mut parent, pair[0].1, pair[1].1);
    }
    parent
}

/// Makes one of the sets of two faces; the lower one stands for it.
fn join(parent: &mut [u32], a: u32, b: u32) {
    // So it is for most: their paths are one step long already.
    if parent[a as usize] == parent[b as usize] {
        return;
    }
    let (a, b) = (find(parent, a), find(parent, b));
    parent[a.max(b) as usize] = a.min(b);
}

/// The face that stands for the set.
fn find(parent: &mut [u32], mut face: u32) -> u32 {
    loop {
        let above = parent[face as usize];
        if above == face {
            return face;
        }
        let higher = parent[above as usize];
        parent[face as usize] = higher;
        face = higher;
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::{Point, Shells};

    /// For each face the lowest of its shell.
    fn settled(mut parent: Vec<u32>) -> Vec<u32> {
        for face in 0..parent.len() {
            assert!(parent[face] as usize <= face);
            parent[face] = parent[parent[face] as usize];
        }
        parent
    }

    /// Two faces at an edge, many elsewhere, which the small table holds in their place, and two more at that edge.
    #[test]
    fn two_pairs_of_faces_at_one_edge_are_one_shell_however_far_apart_they_stand() {
        let elsewhere = (2..40).map(|i| [10 * i, 10 * i + 1, 10 * i + 2]);
        let triangles = [[0, 1, 2], [1, 0, 3]].into_iter().chain(elsewhere).chain([[0, 1, 4], [1, 0, 5]]);
        let mesh = Mesh { vertices: vec![Point::origin(); 400], triangles: triangles.collect() };
        let by_blocks = Shells::joined_at_edges(&mesh, Shells::numbered(parents_by_blocks(&mesh, 64, 1))).0;
        assert_eq!(by_blocks, Shells::of_edges(&EdgeTable::new(&mesh)));
        assert_eq!((by_blocks.count, by_blocks.of_triangle[41]), (39, 0));
    }

    proptest! {
        /// Few vertices, so that edges have one face, two and many, far apart and close together.
        #[test]
        fn what_a_small_table_forgets_is_found_all_the_same(
            faces in prop::collection::vec(prop::array::uniform3(0..25_u32), 0..80),
            size in 1..20_usize,
            held in 1..6_u32,
        ) {
            let mesh = Mesh { vertices: vec![Point::origin(); 25], triangles: faces };
            let by_blocks = Shells::joined_at_edges(&mesh, Shells::numbered(parents_by_blocks(&mesh, size, held))).0;
            prop_assert_eq!(by_blocks, Shells::of_edges(&EdgeTable::new(&mesh)));
        }

        #[test]
        fn faces_in_order_and_in_none_are_joined_alike(order in Just((0..280_usize).collect::<Vec<_>>()).prop_shuffle()) {
            let rings = [0.0, 30.0].map(|x| crate::solids::torus(Point::new(x, 0.0, 0.0), 5.0, 1.0, 10, 7));
            let both = crate::solids::joined(&[&rings[0], &rings[1]]);
            let shuffled = Mesh { triangles: order.iter().map(|&t| both.triangles[t]).collect(), ..both.clone() };
            for mesh in [both, shuffled] {
                let lowest = settled(parents_by_blocks(&mesh, 64, 6));
                prop_assert_eq!(&lowest, &settled(parents_of(&EdgeTable::new(&mesh))));
                prop_assert_eq!((0..).zip(&lowest).filter(|(face, lowest)| face == *lowest).count(), 2);
            }
        }
    }
}
