//! Edges with more than two faces, and vertices that join surfaces in one point, become clean sheets.

use rustc_hash::{FxHashMap, FxHashSet};

use super::{Mended, Work};
use crate::topology::Edge;
use crate::{Cancelled, EdgeTable, Mesh, Progress, Vector};

/// Rounds of parting edges whose ends stay together: each parts every such edge once where faces are not shared, and few
/// faces have several. Our own choice, no source.
const ROUNDS: usize = 16;

/// Parts sheets.
pub(super) fn split(mut work: Work, progress: &Progress) -> Result<Mended, Cancelled> {
    let edges = EdgeTable::new(&work.mesh);
    work.report.edges_parted = edges.edges().filter(|edge| edge.count() > 2).count();
    part_vertices(&mut work, &edges);
    for _ in 0..ROUNDS {
        progress.check()?;
        let edges = EdgeTable::new(&work.mesh);
        work.report.left = edges.edges().filter(|edge| edge.count() > 2).count();
        if work.report.left == 0 || !part_at_middles(&mut work, &edges) {
            break;
        }
    }
    work.report.edges_parted -= work.report.left.min(work.report.edges_parted);
    Ok(work.done())
}

/// Gives every fan of faces around a vertex a vertex of its own: faces are of one fan if they are paired at an edge there.
fn part_vertices(work: &mut Work, edges: &EdgeTable) {
    let faces = work.mesh.triangles.len();
    // A corner is the place of a vertex in a face: 3 · face + place.
    let mut parent: Vec<u32> = (0..3 * faces as u32).collect();
    let corner = |mesh: &Mesh, face: u32, vertex: u32| {
        let place = mesh.triangles[face as usize].iter().position(|v| *v == vertex).unwrap_or(0);
        3 * face + place as u32
    };
    for edge in edges.edges() {
        for [a, b] in pairs(&work.mesh, edge) {
            for vertex in [edge.low, edge.high] {
                let (x, y) = (corner(&work.mesh, a, vertex), corner(&work.mesh, b, vertex));
                let (x, y) = (find(&mut parent, x), find(&mut parent, y));
                parent[x.max(y) as usize] = x.min(y);
            }
        }
    }
    // The first fan of a vertex keeps it.
    let mut first_fan = vec![u32::MAX; work.mesh.vertices.len()];
    let mut own: FxHashMap<u32, u32> = FxHashMap::default();
    for i in 0..3 * faces as u32 {
        let fan = find(&mut parent, i);
        let vertex = work.mesh.triangles[i as usize / 3][i as usize % 3];
        let first = &mut first_fan[vertex as usize];
        if *first == u32::MAX {
            *first = fan;
        }
        if *first != fan {
            let new = *own.entry(fan).or_insert_with(|| {
                work.mesh.vertices.push(work.mesh.vertices[vertex as usize]);
                work.report.vertices_added += 1;
                work.mesh.vertices.len() as u32 - 1
            });
            work.mesh.triangles[i as usize / 3][i as usize % 3] = new;
        }
    }
}

/// Where sheets stay together at both ends of an edge, all but the first get a vertex in its middle.
fn part_at_middles(work: &mut Work, edges: &EdgeTable) -> bool {
    let mut touched: FxHashSet<u32> = FxHashSet::default();
    let mut changed = false;
    for edge in edges.edges().filter(|edge| edge.count() > 2) {
        let mut sheets: Vec<Vec<u32>> = pairs(&work.mesh, edge).into_iter().map(Vec::from).collect();
        let paired: FxHashSet<u32> = sheets.iter().flatten().copied().collect();
        sheets.extend(edge.faces().filter(|(face, _)| !paired.contains(face)).map(|(face, _)| vec![face]));
        for sheet in sheets.into_iter().skip(1) {
            if sheet.iter().any(|face| touched.contains(face)) {
                continue;
            }
            let [a, b] = [edge.low, edge.high].map(|v| work.mesh.vertices[v as usize]);
            let middle = work.mesh.vertices.len() as u32;
            work.mesh.vertices.push(nalgebra::center(&a, &b));
            work.report.vertices_added += 1;
            for face in sheet {
                touched.insert(face);
                let corners = work.mesh.triangles[face as usize];
                let half = |end: u32| corners.map(|v| if v == end { middle } else { v });
                work.mesh.triangles[face as usize] = half(edge.low);
                let from = work.came_from[face as usize];
                work.push(half(edge.high), from);
                work.report.faces_added += 1;
            }
            changed = true;
        }
    }
    changed
}

/// The faces at an edge in pairs that belong to one sheet.
///
/// Two faces are a pair as they are. Of more, going round the edge, each behind which material begins is paired with the
/// one before which it ends, innermost first: solids that touch along an edge come apart, and a fin stays whole.
fn pairs(mesh: &Mesh, edge: Edge<'_>) -> Vec<[u32; 2]> {
    if edge.count() < 2 {
        return Vec::new();
    }
    if edge.count() == 2 {
        let mut faces = edge.faces().map(|(face, _)| face);
        return faces.next().zip(faces.next()).map(|(a, b)| vec![[a, b]]).unwrap_or_default();
    }
    let round = around(mesh, edge);
    let mut open: Vec<u32> = Vec::new();
    let mut done: FxHashSet<u32> = FxHashSet::default();
    let mut pairs = Vec::new();
    // Twice round: what begins before the start of counting ends after it.
    for &(face, forwards) in round.iter().chain(&round) {
        if done.contains(&face) {
            continue;
        }
        if !forwards {
            if !open.contains(&face) {
                open.push(face);
            }
        } else if let Some(begun) = open.pop() {
            done.extend([begun, face]);
            pairs.push([begun, face]);
        }
    }
    pairs
}

/// The faces at an edge, counter-clockwise as seen against the direction from low to high. Faces at the same angle come with
/// those that end material first, so that two of them without thickness between are not paired with each other unless
/// nothing else is there.
fn around(mesh: &Mesh, edge: Edge<'_>) -> Vec<(u32, bool)> {
    let [low, high] = [edge.low, edge.high].map(|v| mesh.vertices[v as usize]);
    let along = high - low;
    let least = along.iamin();
    let first = along.cross(&Vector::ith(least, 1.0));
    let second = along.cross(&first) / along.norm();
    let angle = |face: u32| {
        let third = mesh.triangles[face as usize].into_iter().find(|v| *v != edge.low && *v != edge.high);
        let off = mesh.vertices[third.unwrap_or(edge.low) as usize] - low;
        off.dot(&second).atan2(off.dot(&first))
    };
    let mut round: Vec<(f64, u32, bool)> = edge.faces().map(|(face, forwards)| (angle(face), face, forwards)).collect();
    round.sort_by(|a, b| a.0.total_cmp(&b.0).then(b.2.cmp(&a.2)).then(a.1.cmp(&b.1)));
    round.into_iter().map(|(_, face, forwards)| (face, forwards)).collect()
}

fn find(parent: &mut [u32], mut i: u32) -> u32 {
    while parent[i as usize] != i {
        parent[i as usize] = parent[parent[i as usize] as usize];
        i = parent[i as usize];
    }
    i
}
