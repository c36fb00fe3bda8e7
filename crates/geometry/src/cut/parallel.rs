//! Parting by many parallel planes in one pass.

use rayon::prelude::*;

use super::assemble::{self, Seam};
use super::cap::{self, Cap};
use super::levels::{Faces, Level, Levels, Stack, level_of};
use super::walls::{self, Walls};
use crate::predicates::Where;
use crate::{Cancelled, Mesh, Plane, Progress, Side, Solid};

/// Parts `solid` by parallel planes at once: the same pieces as [`cut`](super::cut) by one plane after another makes,
/// lowest first, in about the time that it takes to go through the solid once. Each plane comes with the label of its
/// caps. Vertices and faces of a piece may be in another order; where nothing lies between two planes, or beyond the
/// outermost, there is no piece.
///
/// `None` where that cannot be done with the same result for certain, and planes have to cut one after another: where
/// normals are not equal to the last bit, offsets do not rise or lie within four times the solid's
/// [`Resolution`](crate::Resolution) of each other, there are none or more than 127, where one face meets several of
/// them, where a coordinate is not finite or so large that rounding is coarser than the resolution, and where an outline
/// is open, crosses or covers itself.
///
/// Cancelled between its steps.
pub fn cut_parallel(
    solid: &Solid,
    planes: &[(Plane, u32)],
    progress: &Progress,
) -> Result<Option<Vec<Solid>>, Cancelled> {
    // The threads that share the work are entered once, not with every step.
    rayon::scope(|_| cut_within(solid, planes, progress))
}

fn cut_within(solid: &Solid, planes: &[(Plane, u32)], progress: &Progress) -> Result<Option<Vec<Solid>>, Cancelled> {
    progress.check()?;
    let stack = Stack::new(planes.iter().map(|(plane, _)| *plane).collect(), solid.resolution.on_plane_mm);
    let Some(stack) = stack.filter(|_| !solid.mesh.triangles.is_empty()) else { return Ok(None) };
    let Some(vertices) = stack.look_at(&solid.mesh.vertices) else { return Ok(None) };
    progress.check()?;
    let Some(faces) = stack.sort(&solid.mesh.triangles, &vertices.levels) else { return Ok(None) };
    progress.check()?;
    let (cuts, numbers) = rayon::join(|| all_closed(solid, &stack, &vertices.levels, &faces), || vertices.numbers());
    let Some(cuts) = cuts else { return Ok(None) };
    progress.check()?;
    let piece = |slab: usize| {
        let whole = whole(solid, &vertices, &faces, &numbers, slab);
        let with_plane = |whole: Solid, plane: usize, side: Side| match (cuts.get(plane), planes.get(plane)) {
            (Some((walls, cap)), Some((_, label))) => {
                let on_plane = |v: u32| vertices.levels[v as usize] == level_of(plane);
                assemble::finished(Seam { solid, on_plane, walls, cap, numbers: &numbers, label: *label }, side, whole)
            }
            _ => whole,
        };
        let whole = with_plane(whole, slab.wrapping_sub(1), Side::Above);
        with_plane(whole, slab, Side::Below)
    };
    let mut pieces: Vec<Solid> = (0..stack.slabs()).into_par_iter().with_max_len(1).map(piece).collect();
    pieces.retain(|piece| !piece.mesh.triangles.is_empty());
    progress.check()?;
    Ok(Some(pieces))
}

/// Walls and caps at every plane; `None` where one has no simple, closed outline.
fn all_closed(solid: &Solid, stack: &Stack, levels: &[Level], faces: &Faces) -> Option<Vec<(Walls, Cap)>> {
    let closed = |(j, plane): (usize, &Plane)| {
        let class = |v: u32| match levels[v as usize].cmp(&level_of(j)) {
            std::cmp::Ordering::Less => Where::Below,
            std::cmp::Ordering::Equal => Where::On,
            std::cmp::Ordering::Greater => Where::Above,
        };
        // Where a plane has nothing on one of its sides, it has no outline either, and there is nothing to close.
        let clear = [true; 2];
        match walls::split_among(solid, plane, &faces.special[j], class, clear, walls::Wanted::Walls) {
            walls::Split::Missed(_) => None,
            walls::Split::Crossed(walls) => {
                let cap = cap::close_simple(solid, plane, &walls)?;
                Some((*walls, cap))
            }
        }
    };
    stack.planes().par_iter().enumerate().with_max_len(1).map(closed).collect()
}

/// The faces of a slab that meet no plane, with their vertices, and room for what will be added.
fn whole(solid: &Solid, vertices: &Levels, faces: &Faces, numbers: &[u32], slab: usize) -> Solid {
    let met = |plane: usize| faces.special.get(plane).map_or(0, Vec::len);
    // A crossed face has at most two parts on a side, a cap hardly more faces than its outline has edges.
    let near = met(slab) + met(slab.wrapping_sub(1));
    let room = faces.runs.count(slab) + 3 * near;
    let places = || {
        let mut places = Vec::with_capacity(vertices.runs.count(slab) + near);
        vertices.runs.of_slab(slab).for_each(|run| places.extend_from_slice(&solid.mesh.vertices[run]));
        places
    };
    let triangles = || {
        let mut triangles = Vec::with_capacity(room);
        for run in faces.runs.of_slab(slab) {
            triangles.extend(solid.mesh.triangles[run].iter().map(|face| face.map(|v| numbers[v as usize])));
        }
        triangles
    };
    let origins = || {
        let mut origins = Vec::with_capacity(room);
        faces.runs.of_slab(slab).for_each(|run| origins.extend_from_slice(&solid.origins[run]));
        origins
    };
    let (triangles, (places, origins)) = rayon::join(triangles, || rayon::join(places, origins));
    Solid { mesh: Mesh { vertices: places, triangles }, origins, resolution: solid.resolution }
}
