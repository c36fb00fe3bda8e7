//! A solid among others.

use super::{ReliefError, Relieved, relieve};
use crate::mend::NEW_FACE;
use crate::{Cancelled, EdgeTable, Mesh, Progress, Shells, drop_unused_vertices, nesting};

/// The faces of the solids that have a face of which `is_part` says so: whole shells, with the walls of their cavities.
pub fn solid_with(mesh: &Mesh, is_part: impl Fn(u32) -> bool, progress: &Progress) -> Result<Vec<bool>, Cancelled> {
    let edges = EdgeTable::new(mesh);
    let shells = Shells::of_edges(&edges);
    let mut wanted = vec![false; shells.count as usize];
    for (face, &shell) in (0..).zip(&shells.of_triangle) {
        wanted[shell as usize] |= is_part(face);
    }
    if shells.count > 1 && wanted.contains(&true) {
        let nesting = nesting(mesh, &shells, &shells.reports(mesh, &edges), progress)?;
        for (cavity, home) in nesting.cavity_of.iter().enumerate() {
            wanted[cavity] |= home.is_some_and(|home| wanted[home as usize]);
        }
    }
    Ok(shells.of_triangle.iter().map(|&shell| wanted[shell as usize]).collect())
}

/// Those faces of a mesh as one of their own, with their numbers.
pub fn taken_out(mesh: &Mesh, which: &[bool]) -> (Mesh, Vec<u32>) {
    let numbers: Vec<u32> = (0..).zip(which).filter(|(_, which)| **which).map(|(face, _)| face).collect();
    let triangles = numbers.iter().map(|&face| mesh.triangles[face as usize]).collect();
    let mut part = Mesh { vertices: mesh.vertices.clone(), triangles };
    drop_unused_vertices(&mut part);
    (part, numbers)
}

/// As [`relieve`], of the marked faces of a mesh (see [`solid_with`]); the others stay as they are.
pub fn relieve_among(
    mesh: &Mesh,
    marked: &[bool],
    other: &Mesh,
    clearance_mm: f64,
    progress: &Progress,
) -> Result<Relieved, ReliefError> {
    let (solid, numbers) = taken_out(mesh, marked);
    let relieved = relieve(&solid, other, clearance_mm, progress)?;
    if relieved.report.removed_mm3 <= 0.0 && relieved.report.faces_added == 0 {
        let came_from = (0..mesh.triangles.len() as u32).collect();
        return Ok(Relieved { mesh: mesh.clone(), came_from, report: relieved.report });
    }
    let rest: Vec<bool> = marked.iter().map(|marked| !marked).collect();
    let (mut whole, mut came_from) = taken_out(mesh, &rest);
    let first = whole.vertices.len() as u32;
    whole.vertices.extend(relieved.mesh.vertices);
    whole.triangles.extend(relieved.mesh.triangles.into_iter().map(|face| face.map(|v| v + first)));
    let number = |from: &u32| numbers.get(*from as usize).copied().unwrap_or(NEW_FACE);
    came_from.extend(relieved.came_from.iter().map(number));
    Ok(Relieved { mesh: whole, came_from, report: relieved.report })
}
