//! Which vertices and faces the curve is near to. All others are told by a quick look.

use rayon::prelude::*;

use super::super::BLOCK;
use super::super::marks::Marks;
use super::curve::{Curve, Spot};
use crate::predicates::{LARGEST_FLAT, Where};
use crate::{Profile, Side, Solid};

/// A solid as seen along the axis of a profile.
pub(super) struct Seen {
    /// Every vertex (u, v). From here on these numbers are exact.
    pub spots: Vec<Spot>,
    /// Faces near the curve, rising.
    pub near: Vec<u32>,
    /// The side of every vertex; *on* for those of faces near the curve.
    pub vertices: Marks,
    /// The side of every face; *on* for those that share a vertex with the near ones.
    pub faces: Marks,
    /// The whole ones among the latter, rising, with their side.
    pub touching: Vec<(u32, Side)>,
}

impl Seen {
    pub fn of(solid: &Solid, profile: &Profile, curve: &Curve) -> Seen {
        let spot = |p| profile.seen(p);
        let spots: Vec<Spot> = solid.mesh.vertices.par_iter().with_min_len(BLOCK).map(spot).collect();
        let mut class: Vec<Where> = spots.par_iter().with_min_len(BLOCK).map(|p| place(curve.side(*p))).collect();
        let near: Vec<Vec<u32>> = solid
            .mesh
            .triangles
            .par_chunks(BLOCK)
            .enumerate()
            .map(|(i, faces)| near_faces(faces, (i * BLOCK) as u32, &spots, curve))
            .collect();
        let near = near.concat();
        for face in &near {
            solid.mesh.triangles[*face as usize].iter().for_each(|v| class[*v as usize] = Where::On);
        }
        let (faces, touching) = set_apart(solid, &class, &near);
        let side_of = |face: u32| curve.side(spots[solid.mesh.triangles[face as usize][0] as usize]);
        let touching = touching.into_iter().map(|face| (face, side_of(face))).collect();
        Seen { vertices: Marks::counted(class), spots, near, faces, touching }
    }
}

/// Marks all faces; gives back those that are not near the curve but share a vertex with some that are.
fn set_apart(solid: &Solid, class: &[Where], near: &[u32]) -> (Marks, Vec<u32>) {
    let faces = &solid.mesh.triangles;
    let mut marks = vec![Where::On; faces.len()];
    let blocks: Vec<([usize; 2], Vec<u32>)> = (marks.par_chunks_mut(BLOCK).zip(faces.par_chunks(BLOCK)).enumerate())
        .map(|(i, (marks, faces))| {
            let (mut clear, mut touching) = ([0; 2], Vec::new());
            for ((face, corners), mark) in ((i * BLOCK) as u32..).zip(faces).zip(marks) {
                let [a, b, c] = corners.map(|v| class[v as usize]);
                if a == b && b == c && a != Where::On {
                    *mark = a;
                    clear[usize::from(a == Where::Above)] += 1;
                } else if near.binary_search(&face).is_err() {
                    touching.push(face);
                }
            }
            (clear, touching)
        })
        .collect();
    let touching = blocks.iter().flat_map(|(_, touching)| touching).copied().collect();
    (Marks::new(marks, blocks.into_iter().map(|(clear, _)| clear)), touching)
}

fn place(side: Side) -> Where {
    if side == Side::Below { Where::Below } else { Where::Above }
}

fn near_faces(faces: &[[u32; 3]], first: u32, spots: &[Spot], curve: &Curve) -> Vec<u32> {
    let mut near = Vec::new();
    for (face, corners) in (first..).zip(faces) {
        let [a, b, c] = corners.map(|v| spots[v as usize]);
        let side = curve.clear_side(a);
        if side.is_some() && side == curve.clear_side(b) && side == curve.clear_side(c) {
            continue;
        }
        let over = |k: usize, pick: fn(f64, f64) -> f64| pick(pick(a[k], b[k]), c[k]);
        let (low, high) = ([over(0, f64::min), over(1, f64::min)], [over(0, f64::max), over(1, f64::max)]);
        let bounded = are_bounded(&[a, b, c]);
        // A face with a number that is none, or beyond all bounds, may have corners on both sides.
        if !bounded || curve.meets(low, high) {
            near.push(face);
        }
    }
    near
}

/// Whether the signs of these numbers can be told exactly.
pub(super) fn are_bounded(spots: &[Spot; 3]) -> bool {
    spots.iter().flatten().all(|x| x.abs() <= LARGEST_FLAT)
}
