//! Planes of flat faces.

use super::{Detail, DetailKind, OF_A_KIND};
use crate::{Bounds, Cancelled, EdgeTable, Mesh, Plane, Point, Progress, Vector};

/// Faces turned against each other by less belong to one flat face: sine of a third of a degree. Our own choice, no source.
const TURNED: f64 = 0.006;
/// Area of a flat face that is offered, as a share of the square of the model's diagonal. Our own choice, no source.
const AREA_SHARE: f64 = 0.004;
/// What a flat face is off its plane at most, as a share of the model's diagonal. Our own choice, no source.
const OFF_SHARE: f64 = 0.001;
/// Places shown of each.
const SHOWN: usize = 64;

pub(super) fn find(
    mesh: &Mesh,
    edges: &EdgeTable,
    bounds: &Bounds,
    progress: &Progress,
) -> Result<Vec<Detail>, Cancelled> {
    let size = bounds.diagonal();
    let across = |face: usize| {
        let [a, b, c] = mesh.corners(face);
        (b - a).cross(&(c - a)) / 2.0
    };
    let faces = mesh.triangles.len();
    let normals: Vec<Vector> =
        (0..faces).map(|face| across(face).try_normalize(0.0).unwrap_or_else(Vector::zeros)).collect();
    progress.check()?;
    let mut parent: Vec<u32> = (0..faces as u32).collect();
    for edge in edges.edges() {
        let mut at_edge = edge.faces().map(|(face, _)| face);
        let (Some(one), Some(other), None) = (at_edge.next(), at_edge.next(), at_edge.next()) else { continue };
        let [n, m] = [one, other].map(|face| normals[face as usize]);
        if n.dot(&m) > 0.0 && n.cross(&m).norm() <= TURNED {
            let (a, b) = (root(&mut parent, one), root(&mut parent, other));
            parent[a.max(b) as usize] = a.min(b);
        }
    }
    progress.check()?;
    // Area, area times normal and area times place of each.
    let mut sums = vec![(0.0, Vector::zeros(), Vector::zeros()); faces];
    for face in 0..faces {
        let group = root(&mut parent, face as u32) as usize;
        let (normal, corners) = (across(face), mesh.corners(face));
        let area = normal.norm();
        let middle = corners.iter().map(|p| p.coords).sum::<Vector>() / 3.0;
        let sum = &mut sums[group];
        *sum = (sum.0 + area, sum.1 + normal, sum.2 + middle * area);
    }
    let mut large: Vec<(usize, f64, Plane)> = (sums.iter().enumerate())
        .filter(|(_, sum)| sum.0 >= AREA_SHARE * size * size)
        .filter_map(|(group, (area, normal, place))| {
            Some((group, *area, Plane::through(Point::from(place / *area), normal.try_normalize(0.0)?).ok()?))
        })
        .collect();
    large.sort_by(|a, b| b.1.total_cmp(&a.1));
    // Slowly curved surfaces hang together by small turns as well: those are not flat. Many more than wanted need not be
    // looked at to know.
    large.truncate(4 * OF_A_KIND);
    let mut of_large: Vec<Vec<Point>> = vec![Vec::new(); large.len()];
    let mut off_mm = vec![0.0_f64; large.len()];
    for face in 0..faces {
        let group = root(&mut parent, face as u32) as usize;
        let Some(i) = large.iter().position(|(g, ..)| *g == group) else { continue };
        for p in mesh.corners(face) {
            off_mm[i] = off_mm[i].max(large[i].2.distance_mm(&p).abs());
            of_large[i].push(p);
        }
    }
    let flat = large.into_iter().zip(of_large).zip(off_mm).filter(|(_, off)| *off <= OFF_SHARE * size);
    let detail = |(((_, area, plane), places), off_mm): (((usize, f64, Plane), Vec<Point>), f64)| {
        let step = (places.len() / SHOWN).max(1);
        let places = places.into_iter().step_by(step).collect();
        Detail { plane, kind: DetailKind::Flat, off_mm, extent: area, places }
    };
    Ok(flat.take(OF_A_KIND).map(detail).collect())
}

fn root(parent: &mut [u32], mut face: u32) -> u32 {
    while parent[face as usize] != face {
        parent[face as usize] = parent[parent[face as usize] as usize];
        face = parent[face as usize];
    }
    face
}
