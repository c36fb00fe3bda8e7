//! One side of a cut put together: whole faces, parts of split faces, caps.

use rayon::prelude::*;
use rustc_hash::FxHashMap;

use super::BLOCK;
use super::cap::Cap;
use super::walls::{Walls, origin_of};
use crate::predicates::Where;
use crate::{FaceOrigin, Mesh, Point, Side, Solid};

type Face = ([u32; 3], FaceOrigin);

pub(super) fn side(solid: &Solid, class: &[Where], walls: &Walls, cap: &Cap, side: Side, label: u32) -> Solid {
    let near = faces_near_plane(solid, walls, cap, side, label);
    let wanted = if side == Side::Below { Where::Below } else { Where::Above };
    let numbers = Numbers::new(solid, class, wanted);

    let mut vertices = numbers.kept(solid, class, wanted);
    let mut extra: FxHashMap<u32, u32> = FxHashMap::default();
    let own = solid.mesh.vertices.len();
    let place = |v: u32| match cap.new_points.get((v as usize).wrapping_sub(own + walls.points.len())) {
        Some(p) => *p,
        None => walls.position(solid, v),
    };
    let mut renumber = |v: u32| {
        if class.get(v as usize) == Some(&wanted) {
            return numbers.of[v as usize];
        }
        *extra.entry(v).or_insert_with(|| {
            vertices.push(place(v));
            (vertices.len() - 1) as u32
        })
    };
    let near: Vec<Face> = near.into_iter().map(|(t, origin)| (t.map(&mut renumber), origin)).collect();

    let clear = |t: &[u32; 3]| t.iter().all(|&v| class[v as usize] == wanted);
    let whole: Vec<Vec<Face>> = solid
        .mesh
        .triangles
        .par_chunks(BLOCK)
        .zip(solid.origins.par_chunks(BLOCK))
        .map(|(triangles, origins)| {
            let faces = triangles.iter().zip(origins).filter(|(t, _)| clear(t));
            faces.map(|(t, origin)| (t.map(|v| numbers.of[v as usize]), *origin)).collect()
        })
        .collect();
    let count = near.len() + whole.iter().map(Vec::len).sum::<usize>();
    let (mut triangles, mut origins) = (Vec::with_capacity(count), Vec::with_capacity(count));
    for (triangle, origin) in whole.into_iter().flatten().chain(near) {
        triangles.push(triangle);
        origins.push(origin);
    }
    Solid { mesh: Mesh { vertices, triangles }, origins, resolution: solid.resolution }
}

/// All faces of this side that touch the plane, in the common numbering.
fn faces_near_plane(solid: &Solid, walls: &Walls, cap: &Cap, side: Side, label: u32) -> Vec<Face> {
    let mut touching: Vec<u32> = walls.touching.iter().filter(|(_, s)| **s == side).map(|(face, _)| *face).collect();
    touching.sort_unstable();
    let touching = touching.into_iter().map(|face| (solid.mesh.triangles[face as usize], face));
    let parts = walls.parts[side as usize].iter().copied();
    let mut faces: Vec<Face> = Vec::new();
    for (triangle, face) in touching.chain(parts) {
        let origin = origin_of(solid, face);
        for part in along_chains(triangle, &cap.chains) {
            let part = part.map(|v| cap.welded.get(&v).copied().unwrap_or(v));
            if part[0] != part[1] && part[1] != part[2] && part[2] != part[0] {
                faces.push((part, origin));
            }
        }
    }
    let turned = |[a, b, c]: [u32; 3]| if side == Side::Below { [a, b, c] } else { [a, c, b] };
    faces.extend(cap.triangles.iter().map(|&t| (turned(t), FaceOrigin::Cap(label))));
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

/// New numbers of the vertices that lie strictly on one side.
struct Numbers {
    of: Vec<u32>,
    count: usize,
}

impl Numbers {
    fn new(solid: &Solid, class: &[Where], wanted: Where) -> Numbers {
        let mut of = vec![0u32; solid.mesh.vertices.len()];
        let counts: Vec<u32> =
            class.par_chunks(BLOCK).map(|block| block.iter().filter(|c| **c == wanted).count() as u32).collect();
        let mut first = 0;
        let firsts: Vec<u32> = counts
            .iter()
            .map(|count| {
                first += count;
                first - count
            })
            .collect();
        of.par_chunks_mut(BLOCK).zip(class.par_chunks(BLOCK)).zip(firsts).for_each(|((of, class), first)| {
            let mut next = first;
            for (number, class) in of.iter_mut().zip(class) {
                if *class == wanted {
                    *number = next;
                    next += 1;
                }
            }
        });
        Numbers { of, count: first as usize }
    }

    fn kept(&self, solid: &Solid, class: &[Where], wanted: Where) -> Vec<Point> {
        let mut kept = Vec::with_capacity(self.count + self.count / 16);
        kept.extend(solid.mesh.vertices.iter().zip(class).filter(|(_, c)| **c == wanted).map(|(p, _)| *p));
        kept
    }
}
