//! Shells that cross become one solid.

use rustc_hash::FxHashMap;

use super::{MendError, Mended, NEW_FACE, Work, clear};
use crate::booleans::{self, Refusal};
use crate::{Cancelled, EdgeTable, Mesh, Progress, ShellPair, ShellReport, Shells, crossings, nesting};

/// Unites what crosses, group by group: the closed shells that cross or lie on each other, and those inside them. Open
/// shells that cross are closed first where their holes are clear; others are counted as left: they have no inside.
pub(super) fn crossing(work: Work, progress: &Progress) -> Result<Mended, MendError> {
    let edges = EdgeTable::new(&work.mesh);
    let shells = Shells::of_edges(&edges);
    let reports = shells.reports(&work.mesh, &edges);
    let pairs = crossings(&work.mesh, progress)?.by_shell(&shells);
    let mut crossed = vec![false; reports.len()];
    for shell in pairs.iter().filter(|pair| pair.crossing + pair.overlapping > 0).flat_map(|pair| pair.shells) {
        crossed[shell as usize] = true;
    }
    let Some(closed) = clear::closed(&work.mesh, &edges, &shells, &reports, &crossed, progress)? else {
        return of_closed(work, &shells, &reports, &pairs, progress);
    };
    let work = Work { mesh: closed.mesh, came_from: closed.came_from, report: closed.report };
    let edges = EdgeTable::new(&work.mesh);
    let shells = Shells::of_edges(&edges);
    let reports = shells.reports(&work.mesh, &edges);
    let pairs = crossings(&work.mesh, progress)?.by_shell(&shells);
    of_closed(work, &shells, &reports, &pairs, progress)
}

fn of_closed(
    mut work: Work,
    shells: &Shells,
    reports: &[ShellReport],
    pairs: &[ShellPair],
    progress: &Progress,
) -> Result<Mended, MendError> {
    let mut parent: Vec<u32> = (0..shells.count).collect();
    let mut concerned = vec![false; shells.count as usize];
    for pair in pairs {
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
    let nesting = nesting(&work.mesh, shells, reports, progress)?;
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
    let before = work.came_from.clone();
    work.report.shells_united = concerned.iter().filter(|concerned| **concerned).count();
    work.keep_faces(|t, _| !concerned[shells.of_triangle[t] as usize]);
    for (mesh, came_from) in united {
        let first = work.mesh.vertices.len() as u32;
        work.mesh.vertices.extend(mesh.vertices);
        work.report.faces_added += mesh.triangles.len();
        for (face, from) in mesh.triangles.into_iter().zip(came_from) {
            work.push(face.map(|v| v + first), before.get(from as usize).copied().unwrap_or(NEW_FACE));
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

/// The solid of all places that these faces go round at least once, with the face that each of its faces is part of.
fn unite(mesh: &Mesh, faces: &[u32], progress: &Progress) -> Result<(Mesh, Vec<u32>), Refusal> {
    let mut part = Mesh {
        vertices: mesh.vertices.clone(),
        triangles: faces.iter().map(|&face| mesh.triangles[face as usize]).collect(),
    };
    crate::drop_unused_vertices(&mut part);
    let made = booleans::united(&part, faces, progress)?;
    Ok((made.mesh, made.came_from))
}
