//! A mesh handed out in parts, all in one go.

use std::ops::Range;
use std::sync::atomic::{AtomicU32, Ordering::Relaxed};

use rayon::prelude::*;

use crate::Mesh;

/// Part of a mesh: the faces with one number, in their order, and the vertices that they use, in theirs.
#[derive(Debug, PartialEq)]
pub(crate) struct Part {
    pub mesh: Mesh,
    /// The faces of the whole that these are, rising.
    pub faces: Vec<Range<usize>>,
}

/// Parts `mesh` by the numbers of its faces, from 0 up to `count`; faces with higher ones are left out. Takes the same
/// time for one part and for many.
pub(crate) fn split(mesh: &Mesh, of_face: &[u32], count: usize) -> Vec<Part> {
    split_owned(mesh, of_face, count, owners(mesh, of_face, count as u32))
}

/// The same, where it is known which part uses each vertex.
pub(crate) fn split_owned(mesh: &Mesh, of_face: &[u32], count: usize, owners: Vec<u32>) -> Vec<Part> {
    let of_vertices = || {
        let mut shared = shared(mesh, of_face, count as u32, &owners);
        let (numbers, vertices) = number(&owners, &mut shared, count);
        (shared, numbers, vertices)
    };
    let ((shared, numbers, vertices), faces) = rayon::join(of_vertices, || runs(of_face.iter().copied(), count));
    let corner = |v: u32, part: u32| match numbers[v as usize] {
        SHARED => shared.binary_search_by_key(&(v, part), |s| (s.vertex, s.part)).map_or(0, |i| shared[i].number),
        number => number,
    };
    let part =
        |(part, (faces, vertices)): (usize, (Runs, Runs))| taken(mesh, faces, &vertices, |v| corner(v, part as u32));
    faces.into_par_iter().zip(vertices).enumerate().map(part).collect()
}

/// A part of these faces and these vertices.
fn taken(mesh: &Mesh, faces: Runs, vertices: &[Range<usize>], number: impl Fn(u32) -> u32 + Sync) -> Part {
    let size = |runs: &[Range<usize>]| runs.iter().map(Range::len).sum::<usize>();
    let places = || {
        let mut places = Vec::with_capacity(size(vertices));
        vertices.iter().for_each(|run| places.extend_from_slice(&mesh.vertices[run.clone()]));
        places
    };
    let triangles = || {
        let mut triangles = Vec::with_capacity(size(&faces));
        for run in &faces {
            triangles.extend(mesh.triangles[run.clone()].iter().map(|face| face.map(&number)));
        }
        triangles
    };
    let (vertices, triangles) = rayon::join(places, triangles);
    Part { mesh: Mesh { vertices, triangles }, faces }
}

/// Where something stands in an array, rising and without a gap within each run.
type Runs = Vec<Range<usize>>;

/// No face of a part uses the vertex.
const NOBODY: u32 = u32::MAX;
/// Faces of several parts use the vertex.
pub(crate) const SHARED: u32 = u32::MAX - 1;
/// Faces that one thread looks at in one go: enough that handing them out costs nothing beside it.
const BLOCK: usize = 1 << 14;

/// The part that uses each vertex: a number below `count`, [`SHARED`] or [`NOBODY`]. The order in which threads come by
/// does not show.
pub(crate) fn owners(mesh: &Mesh, of_face: &[u32], count: u32) -> Vec<u32> {
    let owners: Vec<AtomicU32> = (0..mesh.vertices.len()).map(|_| AtomicU32::new(NOBODY)).collect();
    mesh.triangles.par_chunks(BLOCK).zip(of_face.par_chunks(BLOCK)).for_each(|(faces, parts)| {
        for (face, &part) in faces.iter().zip(parts).filter(|(_, part)| **part < count) {
            for v in face {
                let owner = &owners[*v as usize];
                let known = owner.load(Relaxed);
                if known == part || known == SHARED {
                    continue;
                }
                if owner.compare_exchange(NOBODY, part, Relaxed, Relaxed).is_err_and(|other| other != part) {
                    owner.store(SHARED, Relaxed);
                }
            }
        }
    });
    owners.into_iter().map(AtomicU32::into_inner).collect()
}

/// A vertex of several parts, in one of them.
struct Shared {
    vertex: u32,
    part: u32,
    number: u32,
}

/// All of those, by vertex, then by part.
fn shared(mesh: &Mesh, of_face: &[u32], count: u32, owners: &[u32]) -> Vec<Shared> {
    if !owners.par_iter().any(|owner| *owner == SHARED) {
        return Vec::new();
    }
    let mut found: Vec<(u32, u32)> = (mesh.triangles.iter().zip(of_face))
        .filter(|(_, part)| **part < count)
        .flat_map(|(face, part)| face.map(|v| (v, *part)))
        .filter(|(v, _)| owners[*v as usize] == SHARED)
        .collect();
    found.sort_unstable();
    found.dedup();
    found.into_iter().map(|(vertex, part)| Shared { vertex, part, number: 0 }).collect()
}

/// Numbers the vertices of each part; gives the numbers of those that are not shared, [`SHARED`] for the others, and the
/// vertices of each part.
fn number(owners: &[u32], shared: &mut [Shared], count: usize) -> (Vec<u32>, Vec<Runs>) {
    let mut numbers = vec![0; owners.len()];
    let mut next = vec![0; count];
    let mut take = |part: u32| {
        let number = &mut next[part as usize];
        *number += 1;
        *number - 1
    };
    if shared.is_empty() {
        for (number, owner) in numbers.iter_mut().zip(owners).filter(|(_, owner)| **owner != NOBODY) {
            *number = take(*owner);
        }
        return (numbers, runs(owners.iter().copied(), count));
    }
    let mut vertices: Vec<Runs> = vec![Vec::new(); count];
    let mut shared = shared.iter_mut().peekable();
    for (v, &owner) in owners.iter().enumerate() {
        let mut use_in = |part: u32| {
            add(&mut vertices[part as usize], v);
            take(part)
        };
        match owner {
            NOBODY => {}
            SHARED => {
                numbers[v] = SHARED;
                while let Some(one) = shared.next_if(|one| one.vertex as usize == v) {
                    one.number = use_in(one.part);
                }
            }
            part => numbers[v] = use_in(part),
        }
    }
    (numbers, vertices)
}

/// Where each number below `count` stands.
pub(crate) fn runs(of: impl Iterator<Item = u32>, count: usize) -> Vec<Runs> {
    let mut runs: Vec<Runs> = vec![Vec::new(); count];
    let mut last = (NOBODY, 0);
    let mut close = |(number, from): (u32, usize), to: usize| {
        if let Some(runs) = runs.get_mut(number as usize) {
            runs.push(from..to);
        }
    };
    let mut end = 0;
    for (i, number) in of.enumerate() {
        if number != last.0 {
            close(last, i);
            last = (number, i);
        }
        end = i + 1;
    }
    close(last, end);
    runs
}

fn add(runs: &mut Vec<Range<usize>>, i: usize) {
    match runs.last_mut() {
        Some(last) if last.end == i => last.end += 1,
        _ => runs.push(i..i + 1),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Point, drop_unused_vertices};
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn parts_are_what_is_left_when_the_others_are_taken_away(
            faces in prop::collection::vec((prop::array::uniform3(0..30_u32), 0..5_u32), 0..60),
            count in 0..5_usize,
        ) {
            let vertices = (0..30).map(|i| Point::new(f64::from(i), 0.0, 0.0)).collect();
            let (triangles, of_face): (Vec<[u32; 3]>, Vec<u32>) = faces.into_iter().unzip();
            let mesh = Mesh { vertices, triangles };
            let parts = split(&mesh, &of_face, count);
            prop_assert_eq!(parts.len(), count);
            for (number, part) in (0..).zip(parts) {
                let wanted: Vec<usize> = (0..of_face.len()).filter(|&t| of_face[t] == number).collect();
                let mut alone = Mesh {
                    vertices: mesh.vertices.clone(),
                    triangles: wanted.iter().map(|&t| mesh.triangles[t]).collect(),
                };
                drop_unused_vertices(&mut alone);
                prop_assert_eq!(part.mesh, alone);
                prop_assert!(part.faces.into_iter().flatten().eq(wanted));
            }
        }
    }
}
