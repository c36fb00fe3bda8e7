//! How far two solids are from each other.

use rayon::prelude::*;

use crate::booleans::Made;
use crate::distance::{Surface, least_distance};
use crate::inside::look_up;
use crate::mend::NEW_FACE;
use crate::tree::FaceTree;
use crate::{Cancelled, EdgeTable, Mesh, Point, Progress, Shells, closest};

/// Share of a distance by which it may be less than told: far below what any printer keeps, and enough to spare looking at
/// every pair of faces of two walls that are equally far apart everywhere. Our own choice, no source.
pub const ROOM_SHARE: f64 = 1e-3;

/// A solid that distances are measured from, many times.
pub(super) struct Measured<'a> {
    mesh: &'a Mesh,
    tree: FaceTree,
}

impl<'a> Measured<'a> {
    pub(super) fn new(mesh: &'a Mesh, progress: &Progress) -> Result<Measured<'a>, Cancelled> {
        Ok(Measured { mesh, tree: FaceTree::build(mesh, progress)? })
    }

    pub(super) fn mesh(&self) -> &Mesh {
        self.mesh
    }

    fn surface(&self) -> Surface<'_> {
        Surface { mesh: self.mesh, tree: &self.tree }
    }

    /// The least distance of the two solids, mm; 0 where they have a place in common.
    pub(super) fn least_from(&self, solid: &Mesh, progress: &Progress) -> Result<f64, Cancelled> {
        let other = Measured::new(solid, progress)?;
        let near = least_distance([self.surface(), other.surface()], f64::INFINITY, ROOM_SHARE, progress)?;
        let least_mm = near.map_or(f64::INFINITY, |near| near.distance_mm);
        let apart = least_mm > 0.0 && !self.has_a_shell_in(&other) && !other.has_a_shell_in(self);
        Ok(if apart { least_mm } else { 0.0 })
    }

    /// Whether a shell begins in the material of another solid, whose surface it does not meet.
    fn has_a_shell_in(&self, other: &Measured<'_>) -> bool {
        let shells = Shells::of_edges(&EdgeTable::new(self.mesh));
        let mut seen = vec![false; shells.count as usize];
        let first = |(face, shell): (usize, &u32)| {
            (!std::mem::replace(&mut seen[*shell as usize], true)).then(|| self.mesh.corners(face)[0])
        };
        let begins: Vec<Point> = shells.of_triangle.iter().enumerate().filter_map(first).collect();
        begins.par_iter().any(|place| {
            let mut turns = 0;
            let on = look_up(other.mesh, &other.tree, place, &mut |_, turn| turns += turn);
            on || turns > 0
        })
    }

    /// The faces of this solid that come nearer than that to `solid`.
    pub(super) fn faces_near(&self, solid: &Mesh, within_mm: f64, progress: &Progress) -> Result<Vec<u32>, Cancelled> {
        let tree = FaceTree::build(solid, progress)?;
        let is_near = |&face: &u32| {
            let one = FaceTree::build_among(self.mesh, &[face], progress)?;
            let surfaces = [Surface { mesh: self.mesh, tree: &one }, Surface { mesh: solid, tree: &tree }];
            Ok(least_distance(surfaces, within_mm, ROOM_SHARE, progress)?.is_some())
        };
        let all: Vec<u32> = (0..self.mesh.triangles.len() as u32).collect();
        let near: Vec<bool> = all.par_iter().map(is_near).collect::<Result<_, Cancelled>>()?;
        Ok(all.into_iter().zip(near).filter(|(_, near)| *near).map(|(face, _)| face).collect())
    }

    /// The greatest distance of a corner of a new face from this solid, mm; 0 without new faces.
    pub(super) fn farthest_new(&self, made: &Made, progress: &Progress) -> Result<f64, Cancelled> {
        let new = made.mesh.triangles.iter().zip(&made.came_from).filter(|(_, from)| **from == NEW_FACE);
        let mut corners: Vec<u32> = new.flat_map(|(face, _)| *face).collect();
        corners.sort_unstable();
        corners.dedup();
        let distance = |&v: &u32| {
            progress.check()?;
            let p = &made.mesh.vertices[v as usize];
            let mut least = f64::INFINITY;
            self.tree.near(p, f64::INFINITY, &mut |face| {
                least = least.min(nalgebra::distance(&closest::on_triangle(p, &self.mesh.corners(face as usize)), p));
                least
            });
            Ok(least)
        };
        corners.par_iter().map(distance).try_reduce(|| 0.0, |a, b| Ok(f64::max(a, b)))
    }
}
