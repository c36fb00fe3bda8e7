//! Faces that should not be there.

use rustc_hash::{FxHashMap, FxHashSet};

use super::{Mended, Work};
use crate::health::{Duplicate, duplicates as find_duplicates};
use crate::predicates::on_one_line;
use crate::{Cancelled, EdgeTable, Progress};

/// Rounds of taking faces without area out: each takes all that are not beside another one that it takes, so that even
/// fans of hundreds of slivers are done. Our own choice, no source.
const ROUNDS: usize = 256;

/// Takes out faces without area.
pub(super) fn zero_area(mut work: Work, progress: &Progress) -> Result<Mended, Cancelled> {
    for _ in 0..ROUNDS {
        progress.check()?;
        let flat: Vec<u32> = (0..work.mesh.triangles.len() as u32)
            .filter(|t| on_one_line(work.mesh.corners(*t as usize).each_ref()))
            .collect();
        work.report.left = flat.len();
        if flat.is_empty() || !(merge_equal_corners(&mut work, &flat) || flip(&mut work, &flat)) {
            break;
        }
    }
    Ok(work.done())
}

/// Makes one vertex of corners at the same place, and drops the faces that this collapses.
fn merge_equal_corners(work: &mut Work, flat: &[u32]) -> bool {
    let mut stands_for: FxHashMap<u32, u32> = FxHashMap::default();
    let find = |stands_for: &FxHashMap<u32, u32>, mut v: u32| {
        while let Some(&other) = stands_for.get(&v) {
            v = other;
        }
        v
    };
    for &face in flat {
        let corners = work.mesh.triangles[face as usize];
        for k in 0..3 {
            let [a, b] = [corners[k], corners[(k + 1) % 3]];
            if work.mesh.vertices[a as usize] == work.mesh.vertices[b as usize] {
                let (a, b) = (find(&stands_for, a), find(&stands_for, b));
                if a != b {
                    stands_for.insert(a.max(b), a.min(b));
                    work.report.vertices_merged += 1;
                }
            }
        }
    }
    let before = work.mesh.triangles.len();
    if !stands_for.is_empty() {
        work.mesh.triangles.iter_mut().flatten().for_each(|v| *v = find(&stands_for, *v));
    }
    work.keep_faces(|_, [a, b, c]| a != b && b != c && c != a);
    work.mesh.triangles.len() < before
}

/// Leads the face across the long side of each flat one through its middle corner, so that the flat one is gone.
fn flip(work: &mut Work, flat: &[u32]) -> bool {
    let edges = EdgeTable::new(&work.mesh);
    let is_flat: FxHashSet<u32> = flat.iter().copied().collect();
    let mut touched: FxHashSet<u32> = FxHashSet::default();
    let mut made: FxHashSet<[u32; 2]> = FxHashSet::default();
    let mut gone: FxHashSet<u32> = FxHashSet::default();
    // Those beside a face with an area first: theirs is the side that leads on.
    let mut order: Vec<(bool, u32)> = Vec::new();
    for &face in flat {
        let across = across_long_side(work, &edges, face);
        order.push((across.is_some_and(|(_, other)| is_flat.contains(&other)), face));
    }
    order.sort_unstable();
    let mut changed = false;
    let mut flipped = 0;
    for (_, face) in order {
        if touched.contains(&face) {
            continue;
        }
        let [from, to, middle] = long_side_first(work, face);
        let users: Vec<(u32, bool)> = edges.faces_at(from, to);
        if users.len() == 1 {
            // Its long side is open: without it the other two are, in the same place.
            gone.insert(face);
            touched.insert(face);
            changed = true;
            continue;
        }
        let Some((_, other)) = across_long_side(work, &edges, face) else { continue };
        if touched.contains(&other) {
            continue;
        }
        let Some(&apex) = work.mesh.triangles[other as usize].iter().find(|v| **v != from && **v != to) else {
            continue;
        };
        touched.extend([face, other]);
        if apex == middle {
            gone.extend([face, other]);
            changed = true;
            continue;
        }
        let new_edge = [middle.min(apex), middle.max(apex)];
        if !edges.faces_at(middle, apex).is_empty() || !made.insert(new_edge) {
            continue;
        }
        work.mesh.triangles[face as usize] = [middle, from, apex];
        work.mesh.triangles[other as usize] = [middle, apex, to];
        work.came_from[face as usize] = work.came_from[other as usize];
        work.report.faces_added += 1;
        flipped += 1;
        changed = true;
    }
    work.keep_faces(|t, _| !gone.contains(&(t as u32)));
    // Each flip makes one face anew in the room of the flat one.
    work.report.faces_dropped += flipped;
    changed
}

/// The corners of a flat face in cyclic order, those of its longest side first.
fn long_side_first(work: &Work, face: u32) -> [u32; 3] {
    let [a, b, c] = work.mesh.triangles[face as usize];
    let place = |v: u32| work.mesh.vertices[v as usize];
    // On a line, the middle one is between the others along every axis.
    let between = |m: u32, p: u32, q: u32| {
        let (m, p, q) = (place(m), place(p), place(q));
        (0..3).all(|k| p[k].min(q[k]) <= m[k] && m[k] <= p[k].max(q[k]))
    };
    if between(c, a, b) {
        [a, b, c]
    } else if between(a, b, c) {
        [b, c, a]
    } else {
        [c, a, b]
    }
}

/// The one face on the other side of the long side of a flat face, if there is just one and it is turned alike.
fn across_long_side(work: &Work, edges: &EdgeTable, face: u32) -> Option<(bool, u32)> {
    let [from, to, _] = long_side_first(work, face);
    match edges.faces_at(from, to)[..] {
        [(a, x), (b, y)] if x != y => Some(if a == face { (y, b) } else { (x, a) }),
        _ => None,
    }
}

/// Drops faces that are there twice.
pub(super) fn duplicates(mut work: Work) -> Mended {
    let found = find_duplicates(&work.mesh);
    if found.is_empty() {
        return work.done();
    }
    let groups = Groups::of(&work, &found);
    let mut gone: FxHashSet<u32> = FxHashSet::default();
    for (first, others) in &groups.of_first {
        let same_way = others.iter().filter(|d| d.same_way).count() + 1;
        let other_way = others.len() + 1 - same_way;
        gone.extend(others.iter().map(|d| d.face));
        if same_way == other_way && !groups.is_doubled_surface(*first) {
            // A skin without thickness on or in a solid.
            gone.insert(*first);
        } else if other_way > same_way && !groups.is_doubled_surface(*first) {
            // More are turned the other way: one of those is the one to stay.
            let stays = others.iter().find(|d| !d.same_way).map(|d| d.face);
            gone.insert(*first);
            stays.iter().for_each(|face| {
                gone.remove(face);
            });
        }
    }
    work.keep_faces(|t, _| !gone.contains(&(t as u32)));
    work.done()
}

/// Faces on the same vertices, and which of them make whole surfaces that are stored twice.
struct Groups {
    of_first: Vec<(u32, Vec<Duplicate>)>,
    /// First faces, by the one that stands for their surface; surfaces that other faces are joined to.
    root: FxHashMap<u32, u32>,
    joined: FxHashSet<u32>,
}

impl Groups {
    fn of(work: &Work, found: &[Duplicate]) -> Groups {
        let mut by_first: FxHashMap<u32, Vec<Duplicate>> = FxHashMap::default();
        for duplicate in found {
            by_first.entry(duplicate.first).or_default().push(*duplicate);
        }
        let first_of: FxHashMap<u32, u32> =
            found.iter().map(|d| (d.face, d.first)).chain(by_first.keys().map(|first| (*first, *first))).collect();
        let mut root: FxHashMap<u32, u32> = by_first.keys().map(|first| (*first, *first)).collect();
        let mut joined: FxHashSet<u32> = FxHashSet::default();
        let edges = EdgeTable::new(&work.mesh);
        let mut single: Vec<u32> = Vec::new();
        for edge in edges.edges().filter(|edge| edge.count() > 1) {
            let mut firsts: Vec<u32> = Vec::new();
            let mut others = false;
            for (face, _) in edge.faces() {
                match first_of.get(&face) {
                    Some(first) => firsts.push(*first),
                    None => others = true,
                }
            }
            let Some(&one) = firsts.first() else { continue };
            for &other in &firsts {
                let (a, b) = (find(&mut root, one), find(&mut root, other));
                root.insert(a.max(b), a.min(b));
            }
            if others {
                single.push(one);
            }
        }
        for face in single {
            let surface = find(&mut root, face);
            joined.insert(surface);
        }
        let mut of_first: Vec<(u32, Vec<Duplicate>)> = by_first.into_iter().collect();
        of_first.sort_unstable_by_key(|(first, _)| *first);
        let firsts: Vec<u32> = of_first.iter().map(|(first, _)| *first).collect();
        let root = firsts.into_iter().map(|first| (first, find(&mut root, first))).collect();
        Groups { of_first, root, joined }
    }

    /// Whether the face is of a surface that is stored twice and that no other face is joined to.
    fn is_doubled_surface(&self, first: u32) -> bool {
        self.root.get(&first).is_some_and(|root| !self.joined.contains(root))
    }
}

fn find(root: &mut FxHashMap<u32, u32>, mut face: u32) -> u32 {
    while let Some(&up) = root.get(&face).filter(|up| **up != face) {
        let above = root.get(&up).copied().unwrap_or(up);
        root.insert(face, above);
        face = above;
    }
    face
}
