//! Both sides of a cut put together: whole faces, parts of split faces, caps.
//!
//! The work of a cut on a large mesh is here: each vertex and face is read once and written once, block by block in
//! parallel, into arrays of the final size.

use rayon::prelude::*;
use rustc_hash::FxHashMap;

use super::BLOCK;
use super::cap::Cap;
use super::walls::Walls;
use crate::predicates::Where;
use crate::{FaceOrigin, Mesh, Point, Side, Solid};

/// The lower and the upper side.
pub(super) fn sides(solid: &Solid, class: &[Where], walls: &Walls, cap: &Cap, label: u32) -> (Solid, Solid) {
    let counts: Vec<[usize; 2]> = class.par_chunks(BLOCK).map(count).collect();
    let sides = [Side::Below, Side::Above];
    let strict = sides.map(|side| counts.iter().map(|c| c[side as usize]).sum::<usize>());
    let near = sides.map(|side| Near::new(solid, class, walls, cap, side, label));
    let [mut below, mut above] = sides.map(|side| {
        let (near, clear) = (&near[side as usize], walls.clear.iter().map(|c| c[side as usize]).sum::<usize>());
        Arrays::new(strict[side as usize] + near.vertices.len(), clear + near.faces.len())
    });

    let mut numbers = vec![0u32; class.len()];
    {
        let of_below = split(&mut below.vertices, counts.iter().map(|c| c[0]));
        let of_above = split(&mut above.vertices, counts.iter().map(|c| c[1]));
        let firsts = firsts(&counts);
        numbers
            .par_chunks_mut(BLOCK)
            .zip(class.par_chunks(BLOCK))
            .zip(solid.mesh.vertices.par_chunks(BLOCK))
            .zip((of_below, of_above, firsts))
            .for_each(|(((numbers, class), places), (below, above, firsts))| {
                place_vertices(numbers, class, places, [below, above], firsts);
            });
    }
    {
        let of_below = split(&mut below.triangles, walls.clear.iter().map(|c| c[0]));
        let of_above = split(&mut above.triangles, walls.clear.iter().map(|c| c[1]));
        let origins_below = split(&mut below.origins, walls.clear.iter().map(|c| c[0]));
        let origins_above = split(&mut above.origins, walls.clear.iter().map(|c| c[1]));
        solid
            .mesh
            .triangles
            .par_chunks(BLOCK)
            .zip(solid.origins.par_chunks(BLOCK))
            .zip((of_below, of_above, origins_below, origins_above))
            .for_each(|((faces, origins), (below, above, origins_below, origins_above))| {
                place_faces(faces, origins, &numbers, [below, above], [origins_below, origins_above]);
            });
    }
    let [near_below, near_above] = near;
    (below.finish(near_below, &numbers, solid), above.finish(near_above, &numbers, solid))
}

/// Vertices strictly below and above.
fn count(class: &[Where]) -> [usize; 2] {
    let of = |wanted: Where| class.iter().filter(|c| **c == wanted).count();
    [of(Where::Below), of(Where::Above)]
}

/// Number of the first vertex of each block, on both sides.
fn firsts(counts: &[[usize; 2]]) -> Vec<[u32; 2]> {
    let mut next = [0u32; 2];
    let take = |count: &[usize; 2]| {
        let first = next;
        next = [next[0] + count[0] as u32, next[1] + count[1] as u32];
        first
    };
    counts.iter().map(take).collect()
}

/// A vertex on the plane has this instead of a new number.
const ON: u32 = u32::MAX;
/// Set in the new number of a vertex above. Three corners with numbers on one side make a clear face.
const ABOVE: u32 = 1 << 31;

fn place_vertices(numbers: &mut [u32], class: &[Where], from: &[Point], to: [&mut [[f64; 3]]; 2], firsts: [u32; 2]) {
    let [below, above] = to;
    let (mut b, mut a) = (0, 0);
    for ((number, class), place) in numbers.iter_mut().zip(class).zip(from) {
        match class {
            Where::Below => {
                *number = firsts[0] + b as u32;
                below[b] = place.coords.into();
                b += 1;
            }
            Where::Above => {
                *number = (firsts[1] + a as u32) | ABOVE;
                above[a] = place.coords.into();
                a += 1;
            }
            Where::On => *number = ON,
        }
    }
}

fn place_faces(
    faces: &[[u32; 3]],
    origins: &[FaceOrigin],
    numbers: &[u32],
    to: [&mut [[u32; 3]]; 2],
    origins_to: [&mut [u32]; 2],
) {
    let ([below, above], [origins_below, origins_above]) = (to, origins_to);
    let (mut b, mut a) = (0, 0);
    for (face, origin) in faces.iter().zip(origins) {
        let new = face.map(|v| numbers[v as usize]);
        if (new[0] | new[1] | new[2]) & ABOVE == 0 {
            below[b] = new;
            origins_below[b] = bytemuck::cast(*origin);
            b += 1;
        } else if new[0] & new[1] & new[2] & ABOVE != 0 && !new.contains(&ON) {
            above[a] = new.map(|v| v & !ABOVE);
            origins_above[a] = bytemuck::cast(*origin);
            a += 1;
        }
    }
}

/// The arrays of one side, as plain numbers: those can be had zeroed from the system without being written.
struct Arrays {
    vertices: Vec<[f64; 3]>,
    triangles: Vec<[u32; 3]>,
    origins: Vec<u32>,
}

impl Arrays {
    fn new(vertices: usize, faces: usize) -> Arrays {
        Arrays { vertices: vec![[0.0; 3]; vertices], triangles: vec![[0; 3]; faces], origins: vec![0; faces] }
    }

    /// Adds what lies near the plane, after everything else.
    fn finish(mut self, near: Near, numbers: &[u32], solid: &Solid) -> Solid {
        let strict = self.vertices.len() - near.vertices.len();
        for (to, place) in self.vertices[strict..].iter_mut().zip(&near.vertices) {
            *to = place.coords.into();
        }
        let renumber = |v: u32| match near.extra.get(&v) {
            Some(extra) => strict as u32 + extra,
            None => numbers[v as usize] & !ABOVE,
        };
        let clear = self.triangles.len() - near.faces.len();
        for (i, (face, origin)) in near.faces.iter().enumerate() {
            self.triangles[clear + i] = face.map(renumber);
            self.origins[clear + i] = bytemuck::cast(*origin);
        }
        Solid {
            mesh: Mesh { vertices: bytemuck::allocation::cast_vec(self.vertices), triangles: self.triangles },
            origins: bytemuck::allocation::cast_vec(self.origins),
            resolution: solid.resolution,
        }
    }
}

/// Hands out consecutive parts of an array.
fn split<T>(mut array: &mut [T], counts: impl Iterator<Item = usize>) -> Vec<&mut [T]> {
    counts
        .map(|count| {
            let (part, rest) = std::mem::take(&mut array).split_at_mut(count);
            array = rest;
            part
        })
        .collect()
}

/// The faces of one side that touch the plane, in the common numbering of the walls, and the vertices that only they use.
struct Near {
    faces: Vec<Face>,
    vertices: Vec<Point>,
    /// Number within `vertices` of those.
    extra: FxHashMap<u32, u32>,
}

type Face = ([u32; 3], FaceOrigin);

impl Near {
    fn new(solid: &Solid, class: &[Where], walls: &Walls, cap: &Cap, side: Side, label: u32) -> Near {
        let faces = faces_near_plane(solid, walls, cap, side, label);
        let own = solid.mesh.vertices.len();
        let place = |v: u32| match cap.new_points.get((v as usize).wrapping_sub(own + walls.points.len())) {
            Some(p) => *p,
            None => walls.position(solid, v),
        };
        let strict = if side == Side::Below { Where::Below } else { Where::Above };
        let (mut vertices, mut extra) = (Vec::new(), FxHashMap::default());
        for v in faces.iter().flat_map(|(face, _)| *face) {
            if class.get(v as usize) != Some(&strict) {
                extra.entry(v).or_insert_with(|| {
                    vertices.push(place(v));
                    (vertices.len() - 1) as u32
                });
            }
        }
        Near { faces, vertices, extra }
    }
}

fn faces_near_plane(solid: &Solid, walls: &Walls, cap: &Cap, side: Side, label: u32) -> Vec<Face> {
    let mut touching: Vec<u32> = walls.touching.iter().filter(|(_, s)| **s == side).map(|(face, _)| *face).collect();
    touching.sort_unstable();
    let touching = touching.into_iter().map(|face| (solid.mesh.triangles[face as usize], face));
    let parts = walls.parts[side as usize].iter().copied();
    let mut faces: Vec<Face> = Vec::new();
    for (triangle, face) in touching.chain(parts) {
        let origin = solid.origins[face as usize];
        for part in along_chains(triangle, &cap.chains) {
            let part = part.map(|v| cap.welded.get(&v).copied().unwrap_or(v));
            if part[0] != part[1] && part[1] != part[2] && part[2] != part[0] {
                faces.push((part, origin));
            }
        }
    }
    let turned = |[a, b, c]: [u32; 3]| if side == Side::Below { [a, b, c] } else { [a, c, b] };
    faces.extend(cap.triangles.iter().map(|&t| (turned(t), FaceOrigin::cap(label, side))));
    faces
}

/// The triangle, parted where vertices were put along its edges.
fn along_chains(triangle: [u32; 3], chains: &FxHashMap<(u32, u32), Vec<u32>>) -> Vec<[u32; 3]> {
    if chains.is_empty() {
        return vec![triangle];
    }
    let mut done = Vec::new();
    let mut todo = vec![triangle];
    while let Some(t) = todo.pop() {
        let parted = (0..3).find_map(|i| {
            let (a, b, c) = (t[i], t[(i + 1) % 3], t[(i + 2) % 3]);
            let chain = chains.get(&(a.min(b), a.max(b)))?;
            let along: Vec<u32> = if a < b { chain.clone() } else { chain.iter().rev().copied().collect() };
            // The chain's ends may be welded to other vertices; the corners themselves are welded later.
            let inner = &along[1..along.len() - 1];
            let mut fan = Vec::with_capacity(inner.len() + 1);
            let mut last = a;
            for &v in inner.iter().chain([&b]) {
                fan.push([last, v, c]);
                last = v;
            }
            Some(fan)
        });
        match parted {
            Some(fan) => todo.extend(fan),
            None => done.push(t),
        }
    }
    done
}
