//! The fall-back: the shells concerned, as wholes, through the library for booleans.

use rayon::prelude::*;

use super::channel::Channel;
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

/// Places along a channel at which it is asked whether an open shell goes round them.
const PLACES: usize = 9;
/// The surface goes round a place at least half (A. Jacobson, L. Kavan, O. Sorkine-Hornung, "Robust inside-outside segmentation
/// using generalized winding numbers", 2013).
const HALF_ROUND: f64 = 0.5;

/// Why a channel that meets no surface is not bored all the same: a shell goes round it that is not closed.
pub(super) fn open_around(solid: &Solid, channel: &Channel, bounds: &Bounds) -> Option<BoreError> {
    let length_mm = channel.length_mm();
    let places = (0..PLACES).map(|i| channel.place_at(length_mm * i as f64 / (PLACES - 1) as f64));
    let is_near = |p: &Point| (0..3).all(|k| p[k] >= bounds.min[k] && p[k] <= bounds.max[k]);
    let at = places.filter(is_near).find(|p| turns(&solid.mesh, p) > HALF_ROUND)?;
    let edges = EdgeTable::new(&solid.mesh);
    let shells = Shells::of_edges(&edges);
    let reports = shells.reports(&solid.mesh, &edges);
    let holds = |b: &Bounds| (0..3).all(|k| at[k] >= b.min[k] && at[k] <= b.max[k]);
    let open = reports.iter().position(|report| !report.closed && holds(&report.bounds))?;
    let tool = channel.tools(bounds, 0.0).into_iter().next()?;
    let of_shell = |face: &u32| shells.of_triangle[*face as usize] as usize == open;
    let faults: Vec<u32> = edges.unbalanced_faces().into_iter().filter(of_shell).collect();
    Some(why_open(solid, &tool, &faults, of_shell))
}

/// How often a surface goes round a place: all of it, or a share where it is open (the solid angle of each face by A. van Oosterom
/// and J. Strackee, "The solid angle of a plane triangle", 1983).
fn turns(mesh: &Mesh, p: &Point) -> f64 {
    let angle = |face: usize| {
        let [a, b, c] = mesh.corners(face).map(|q| q - p);
        let (la, lb, lc) = (a.norm(), b.norm(), c.norm());
        let over = la * lb * lc + a.dot(&b) * lc + b.dot(&c) * la + c.dot(&a) * lb;
        let half = a.dot(&b.cross(&c)).atan2(over);
        if half.is_finite() { half } else { 0.0 }
    };
    let halves: f64 = (0..mesh.triangles.len()).into_par_iter().map(angle).sum();
    halves / (2.0 * std::f64::consts::PI)
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
