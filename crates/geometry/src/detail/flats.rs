//! Planes of flat faces.

use super::{Detail, DetailKind, OF_A_KIND};
use crate::{Bounds, Cancelled, EdgeTable, Mesh, Plane, Point, Progress, Vector};

/// Faces turned against each other by less belong to one flat face: sine of a third of a degree. Our own choice, no source.
const TURNED: f64 = 0.006;
/// Area of a flat face that is offered, as a share of the square of the model's diagonal. Our own choice, no source.
const AREA_SHARE: f64 = 0.004;
/// What a flat face is off its plane at most, as a share of the model's diagonal. Our own choice, no source.
const OFF_SHARE: f64 = 0.001;
/// Places shown of each, about. Our own choice, no source.
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
    let mut large: Vec<Large> = (sums.iter().enumerate())
        .filter(|(_, sum)| sum.0 >= AREA_SHARE * size * size)
        .filter_map(|(group, (area, normal, place))| {
            let plane = Plane::through(Point::from(place / *area), normal.try_normalize(0.0)?).ok()?;
            Some(Large { group, area: *area, plane, off_mm: 0.0, places: Vec::new() })
        })
        .collect();
    large.sort_by(|a, b| b.area.total_cmp(&a.area));
    // Slowly curved surfaces hang together by small turns as well: those are not flat. Many more than wanted need not be
    // looked at to know.
    large.truncate(4 * OF_A_KIND);
    for face in 0..faces {
        let group = root(&mut parent, face as u32) as usize;
        let Some(flat) = large.iter_mut().find(|flat| flat.group == group) else { continue };
        for p in mesh.corners(face) {
            flat.off_mm = flat.off_mm.max(flat.plane.distance_mm(&p).abs());
            flat.places.push(p);
        }
    }
    let flat = large.into_iter().filter(|flat| flat.off_mm <= OFF_SHARE * size).take(OF_A_KIND);
    Ok(flat.map(Large::detail).collect())
}

/// A large group of faces that hang together by small turns.
struct Large {
    group: usize,
    area: f64,
    plane: Plane,
    off_mm: f64,
    places: Vec<Point>,
}

impl Large {
    fn detail(self) -> Detail {
        let step = (self.places.len() / SHOWN).max(1);
        let places = self.places.into_iter().step_by(step).collect();
        Detail { plane: self.plane, kind: DetailKind::Flat, off_mm: self.off_mm, extent: self.area, places }
    }
}

fn root(parent: &mut [u32], mut face: u32) -> u32 {
    while parent[face as usize] != face {
        parent[face as usize] = parent[parent[face as usize] as usize];
        face = parent[face as usize];
    }
    face
}
