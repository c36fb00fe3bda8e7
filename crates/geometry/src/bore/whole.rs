//! The fall-back: the shells concerned, as wholes, through the library for booleans.

use super::tool::Tool;
use super::{BoreError, Fault};
use crate::booleans::{self, Overlaps, Refusal};
use crate::{Bounds, EdgeTable, FaceOrigin, Mesh, Point, Progress, Shells, Solid, closest, edge_report};

/// `solid` without what lies in `tool`. Shells whose box the tool does not meet are left alone.
pub(super) fn subtract(solid: &Solid, tool: &Tool, label: u32, progress: &Progress) -> Result<Solid, BoreError> {
    let edges = EdgeTable::new(&solid.mesh);
    let shells = Shells::of_edges(&edges);
    let reports = shells.reports(&solid.mesh, &edges);
    let near = Bounds::of(tool.corners.iter().copied());
    let meets = |other: &Bounds| {
        near.is_some_and(|near| (0..3).all(|k| near.min[k] <= other.max[k] && other.min[k] <= near.max[k]))
    };
    let concerned: Vec<bool> = reports.iter().map(|report| meets(&report.bounds)).collect();
    let at = tool.middle[0];
    if let Some(open) = reports.iter().zip(&concerned).position(|(report, concerned)| *concerned && !report.closed) {
        let of_shell = |face: &u32| shells.of_triangle[*face as usize] as usize == open;
        let faults: Vec<u32> = edges.unbalanced_faces().into_iter().filter(of_shell).collect();
        return Err(why_open(solid, tool, &faults, of_shell));
    }
    let is_concerned = |face: usize| concerned[shells.of_triangle[face] as usize];
    let faces: Vec<u32> = (0..solid.mesh.triangles.len()).filter(|f| is_concerned(*f)).map(|f| f as u32).collect();
    if faces.is_empty() {
        return Ok(solid.clone());
    }
    let mut part = Mesh {
        vertices: solid.mesh.vertices.clone(),
        triangles: faces.iter().map(|&face| solid.mesh.triangles[face as usize]).collect(),
    };
    crate::drop_unused_vertices(&mut part);
    let (mesh, _) = tool.mesh();
    let made = booleans::without(&part, &mesh, Overlaps::None, progress).map_err(|why| match why {
        Refusal::Cancelled => BoreError::Cancelled(crate::Cancelled),
        Refusal::Because(reason) => BoreError::Refused { at, reason },
    })?;
    let kept = |face: &usize| !is_concerned(*face);
    let mut mesh = Mesh { vertices: solid.mesh.vertices.clone(), triangles: Vec::new() };
    let mut origins: Vec<FaceOrigin> = Vec::new();
    for face in (0..solid.mesh.triangles.len()).filter(kept) {
        mesh.triangles.push(solid.mesh.triangles[face]);
        origins.push(solid.origins[face]);
    }
    let first = mesh.vertices.len() as u32;
    mesh.vertices.extend(made.mesh.vertices);
    for (face, from) in made.mesh.triangles.into_iter().zip(made.came_from) {
        mesh.triangles.push(face.map(|v| v + first));
        // What comes from no face of the part is a wall.
        let of = faces.get(from as usize).and_then(|face| solid.origins.get(*face as usize));
        origins.push(of.copied().unwrap_or(FaceOrigin::bore(label)));
    }
    crate::drop_unused_vertices(&mut mesh);
    Ok(Solid { mesh, origins, resolution: solid.resolution })
}

/// What is wrong with a shell that is not closed: `faults` are faces at edges that do not balance.
fn why_open(solid: &Solid, tool: &Tool, faults: &[u32], of_shell: impl Fn(&u32) -> bool) -> BoreError {
    let off = |p: &Point| {
        let runs = tool.middle.windows(2).map(|run| nalgebra::distance(p, &closest::on_segment(p, &run[0], &run[1])));
        runs.fold(f64::INFINITY, f64::min)
    };
    let corners = faults.iter().flat_map(|face| solid.mesh.corners(*face as usize));
    let nearest = corners.map(|p| (off(&p), p)).min_by(|a, b| a.0.total_cmp(&b.0));
    let (off_mm, at) = nearest.unwrap_or((0.0, tool.middle[0]));
    let faces = (0..solid.mesh.triangles.len() as u32).filter(of_shell);
    let triangles = faces.map(|face| solid.mesh.triangles[face as usize]).collect();
    let report = edge_report(&Mesh { vertices: solid.mesh.vertices.clone(), triangles });
    let fault = match (report.open, report.misturned) {
        (1.., _) => Fault::Holes,
        (0, 1..) => Fault::Turned,
        (0, 0) => Fault::Sheets,
    };
    BoreError::Open { at, off_mm, faults: faults.len(), fault }
}
