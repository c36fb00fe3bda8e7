//! What is left, put in the place of what was there.
//!
//! The work on a large mesh is here: it is copied once. New points and faces take the places of those that are gone, so that
//! all others keep their numbers wherever there are enough of them.

use rayon::prelude::*;
use rustc_hash::{FxHashMap, FxHashSet};

use super::super::BLOCK;
use super::near::Near;
use crate::{FaceOrigin, Mesh, Point, Solid};

/// `solid` with `faces` in place of `gone` (rising). New points are numbered after its vertices.
pub(super) fn splice(
    solid: &Solid,
    near: &Near,
    gone: &[u32],
    faces: &[([u32; 3], FaceOrigin)],
    points: &[Point],
) -> Solid {
    let own = solid.mesh.vertices.len() as u32;
    let free = free_vertices(solid, near, gone, faces);
    // Where each new point goes.
    let mut numbers: FxHashMap<u32, u32> = FxHashMap::default();
    let mut places = free.iter().copied().chain(own..);
    let (mut given, mut most) = (Vec::new(), own);
    for v in faces.iter().flat_map(|(face, _)| *face).filter(|v| *v >= own) {
        numbers.entry(v).or_insert_with(|| {
            let place = places.next().unwrap_or(most);
            most = most.max(place + 1);
            given.push((place, points[(v - own) as usize]));
            place
        });
    }
    let left_over = &free[given.len().min(free.len())..];
    let room = faces.len().saturating_sub(gone.len());
    let (mut vertices, (mut triangles, mut origins)) = rayon::join(
        || copied(&solid.mesh.vertices, (most - own) as usize),
        || rayon::join(|| copied(&solid.mesh.triangles, room), || copied(&solid.origins, room)),
    );
    for (place, point) in given {
        match vertices.get_mut(place as usize) {
            Some(slot) => *slot = point,
            None => vertices.push(point),
        }
    }
    let mut slots = gone.iter();
    for (face, origin) in faces {
        let face = face.map(|v| numbers.get(&v).copied().unwrap_or(v));
        match slots.next() {
            Some(slot) => (triangles[*slot as usize], origins[*slot as usize]) = (face, *origin),
            None => {
                triangles.push(face);
                origins.push(*origin);
            }
        }
    }
    // The last faces and vertices fill what is still empty, from behind.
    for slot in slots.rev() {
        triangles.swap_remove(*slot as usize);
        origins.swap_remove(*slot as usize);
    }
    if !left_over.is_empty() {
        let mut moved: FxHashMap<u32, u32> = FxHashMap::default();
        for slot in left_over.iter().rev() {
            let last = (vertices.len() - 1) as u32;
            vertices.swap_remove(*slot as usize);
            if last != *slot {
                moved.insert(last, *slot);
            }
        }
        let end = vertices.len() as u32;
        triangles.par_chunks_mut(BLOCK).for_each(|faces| {
            for v in faces.iter_mut().flatten().filter(|v| **v >= end) {
                // What was moved may have become the last and moved on.
                while let Some(to) = moved.get(v) {
                    *v = *to;
                }
            }
        });
    }
    Solid { mesh: Mesh { vertices, triangles }, origins, resolution: solid.resolution }
}

fn copied<T: Copy + Send + Sync>(all: &[T], room: usize) -> Vec<T> {
    let mut copy = Vec::with_capacity(all.len() + room);
    copy.extend_from_slice(all);
    copy
}

/// Vertices that nothing uses any more, rising.
fn free_vertices(solid: &Solid, near: &Near, gone: &[u32], faces: &[([u32; 3], FaceOrigin)]) -> Vec<u32> {
    let own = solid.mesh.vertices.len() as u32;
    let mut free: FxHashSet<u32> = gone.iter().flat_map(|face| solid.mesh.triangles[*face as usize]).collect();
    for v in faces.iter().flat_map(|(face, _)| *face).filter(|v| *v < own) {
        free.remove(&v);
    }
    let is_gone = |face: &u32| gone.binary_search(face).is_ok();
    for v in near.faces.iter().filter(|face| !is_gone(face)).flat_map(|face| solid.mesh.triangles[*face as usize]) {
        free.remove(&v);
    }
    // All faces at a vertex inside are near. Others may have some farther off.
    if free.iter().any(|v| !near.is_inside(*v)) {
        let is_used = |face: &[u32; 3]| face.iter().any(|v| free.contains(v));
        let used: Vec<u32> = (0..solid.mesh.triangles.len() as u32)
            .into_par_iter()
            .with_min_len(BLOCK)
            .filter(|face| is_used(&solid.mesh.triangles[*face as usize]) && !is_gone(face))
            .flat_map_iter(|face| solid.mesh.triangles[face as usize])
            .collect();
        used.iter().for_each(|v| {
            free.remove(v);
        });
    }
    let mut free: Vec<u32> = free.into_iter().collect();
    free.sort_unstable();
    free
}
