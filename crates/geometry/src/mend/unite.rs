//! Shells that cross become one solid. The one place where the library for that is used.

use std::time::Duration;

use manifold_rust::cancel::CancelToken;
use manifold_rust::manifold::Manifold;
use manifold_rust::types::{Error, MeshGL64, WindingRule};
use rustc_hash::FxHashMap;

use super::{MendError, Mended, NEW_FACE, Work};
use crate::{Cancelled, EdgeTable, Mesh, Progress, Shells, crossings, edge_report, nesting};

/// Unites what crosses, group by group: the closed shells that cross or lie on each other, and those inside them. Open
/// shells that cross are counted as left: they have no inside.
pub(super) fn crossing(mut work: Work, progress: &Progress) -> Result<Mended, MendError> {
    let edges = EdgeTable::new(&work.mesh);
    let shells = Shells::of_edges(&edges);
    let reports = shells.reports(&work.mesh, &edges);
    let mut parent: Vec<u32> = (0..shells.count).collect();
    let mut concerned = vec![false; shells.count as usize];
    for pair in crossings(&work.mesh, progress)?.by_shell(&shells) {
        if pair.crossing + pair.overlapping == 0 {
            continue;
        }
        if !pair.shells.iter().all(|&shell| reports[shell as usize].closed) {
            work.report.left += 1;
            continue;
        }
        pair.shells.iter().for_each(|&shell| concerned[shell as usize] = true);
        let [a, b] = pair.shells.map(|shell| root(&parent, shell));
        parent[a.max(b) as usize] = a.min(b);
    }
    if !concerned.contains(&true) {
        return Ok(work.done());
    }
    // What lies inside may be filled by what crosses the shell around it.
    let nesting = nesting(&work.mesh, &shells, &reports, progress)?;
    for inner in 0..shells.count {
        for &outer in &nesting.around[inner as usize] {
            if concerned[outer as usize] && reports[inner as usize].closed {
                concerned[inner as usize] = true;
                let [a, b] = [inner, outer].map(|shell| root(&parent, shell));
                parent[a.max(b) as usize] = a.min(b);
            }
        }
    }
    let mut groups: FxHashMap<u32, Vec<u32>> = FxHashMap::default();
    for (face, &shell) in (0..).zip(&shells.of_triangle) {
        if concerned[shell as usize] {
            groups.entry(root(&parent, shell)).or_default().push(face);
        }
    }
    let mut groups: Vec<(u32, Vec<u32>)> = groups.into_iter().collect();
    groups.sort_unstable();
    progress.stage("uniting shells that cross");
    let count = groups.len();
    let mut united = Vec::with_capacity(count);
    for (done, (shell, faces)) in groups.into_iter().enumerate() {
        progress.report(done as f64 / count as f64);
        united.push(unite(&work.mesh, &faces, progress).map_err(|why| match why {
            Refusal::Cancelled => MendError::Cancelled(Cancelled),
            Refusal::Because(reason) => MendError::CannotUnite { shell, reason },
        })?);
    }
    work.report.shells_united = concerned.iter().filter(|concerned| **concerned).count();
    work.keep_faces(|t, _| !concerned[shells.of_triangle[t] as usize]);
    for (mesh, came_from) in united {
        let first = work.mesh.vertices.len() as u32;
        work.mesh.vertices.extend(mesh.vertices);
        work.report.faces_added += mesh.triangles.len();
        for (face, from) in mesh.triangles.into_iter().zip(came_from) {
            work.push(face.map(|v| v + first), from);
        }
    }
    Ok(work.done())
}

fn root(parent: &[u32], mut i: u32) -> u32 {
    while parent[i as usize] != i {
        i = parent[i as usize];
    }
    i
}

enum Refusal {
    Cancelled,
    Because(String),
}

/// The solid of all places that these faces go round at least once, with the face that each of its faces is part of.
fn unite(mesh: &Mesh, faces: &[u32], progress: &Progress) -> Result<(Mesh, Vec<u32>), Refusal> {
    let mut part = Mesh {
        vertices: mesh.vertices.clone(),
        triangles: faces.iter().map(|&face| mesh.triangles[face as usize]).collect(),
    };
    crate::drop_unused_vertices(&mut part);
    let input = MeshGL64 {
        num_prop: 3,
        vert_properties: part.vertices.iter().flat_map(|p| [p.x, p.y, p.z]).collect(),
        tri_verts: part.triangles.iter().flatten().map(|&v| u64::from(v)).collect(),
        face_id: faces.iter().map(|&face| u64::from(face)).collect(),
        ..MeshGL64::default()
    };
    let output = off_thread(progress, move |token| {
        let given = Manifold::from_mesh_gl64_robust(&input);
        match given.status() {
            Error::NoError => {}
            refused => return Err(format!("{refused:?}")),
        }
        let made = given.rebuild_solid_with_token(WindingRule::Positive, Some(token));
        match made.status() {
            Error::NoError => Ok(made.get_mesh_gl64(-1)),
            refused => Err(format!("{refused:?}")),
        }
    })?;
    let stride = (output.num_prop as usize).max(3);
    let vertices = output.vert_properties.chunks_exact(stride).map(|p| crate::Point::new(p[0], p[1], p[2])).collect();
    let triangles = output.tri_verts.chunks_exact(3).map(|t| [t[0] as u32, t[1] as u32, t[2] as u32]).collect();
    let made = Mesh { vertices, triangles };
    let fits = made.triangles.iter().flatten().all(|v| (*v as usize) < made.vertices.len());
    if !fits || made.triangles.is_empty() || !edge_report(&made).closed() {
        return Err(Refusal::Because("what it makes is not closed".to_owned()));
    }
    let from = |t: usize| output.face_id.get(t).and_then(|id| u32::try_from(*id).ok()).unwrap_or(NEW_FACE);
    let came_from = (0..made.triangles.len()).map(from).collect();
    Ok((made, came_from))
}

/// Runs the library beside this thread, which passes a wish to stop on, and keeps a panic of its from reaching anybody.
fn off_thread<T: Send>(
    progress: &Progress,
    work: impl FnOnce(&CancelToken) -> Result<T, String> + Send,
) -> Result<T, Refusal> {
    let token = CancelToken::new();
    let outcome = std::thread::scope(|scope| {
        let running = scope.spawn(|| work(&token));
        while !running.is_finished() {
            if progress.check().is_err() {
                token.cancel();
            }
            std::thread::sleep(LOOK_EVERY);
        }
        running.join()
    });
    if progress.check().is_err() {
        return Err(Refusal::Cancelled);
    }
    outcome.unwrap_or_else(|_| Err("it failed within".to_owned())).map_err(Refusal::Because)
}

/// A wish to stop is passed on within this: shorter than anybody notices, too seldom to cost anything.
const LOOK_EVERY: Duration = Duration::from_millis(5);
