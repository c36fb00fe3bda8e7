//! Rims that lie in a plane.

use super::Work;
use crate::predicates::orient_2d;
use crate::{OpenLoop, Point, Vector};

/// A rim that lies in a plane.
pub(super) struct Flat {
    pub rim: OpenLoop,
    /// The axis along which its plane is seen most squarely, and the plane's normal with that coordinate positive.
    pub axis: usize,
    pub normal: Vector,
    pub offset_mm: f64,
    /// What it goes round, mm²: positive where it turns left as seen against that normal.
    pub area_mm2: f64,
}

impl Flat {
    /// `None` where a vertex is off the best plane (Newell's, through the middle) by more than the resolution.
    pub(super) fn of(work: &Work, rim: &OpenLoop, resolution_mm: f64) -> Option<Flat> {
        let places: Vec<Point> = rim.vertices.iter().map(|&v| work.mesh.vertices[v as usize]).collect();
        let origin = *places.first()?;
        let next = places.iter().cycle().skip(1);
        let area: Vector = places.iter().zip(next).map(|(a, b)| (a - origin).cross(&(b - origin))).sum();
        let normal = area.try_normalize(0.0)?;
        let middle = places.iter().map(|p| p - origin).sum::<Vector>() / places.len() as f64;
        if !places.iter().all(|p| (p - origin - middle).dot(&normal).abs() <= resolution_mm) {
            return None;
        }
        let axis = normal.iamax();
        let side = normal[axis].signum();
        let normal = normal * side;
        let offset_mm = normal.dot(&(origin + middle).coords);
        Some(Flat { rim: rim.clone(), axis, normal, offset_mm, area_mm2: side * area.norm() / 2.0 })
    }

    pub(super) fn order(a: &Flat, b: &Flat) -> std::cmp::Ordering {
        a.axis.cmp(&b.axis).then(a.offset_mm.total_cmp(&b.offset_mm))
    }

    /// Whether a vertex of the other, seen along the axis, lies within this rim: whether the ray to its right crosses this an
    /// odd number of times.
    fn goes_round(&self, work: &Work, other: &Flat) -> bool {
        let flat = |v: &u32| {
            let p = work.mesh.vertices[*v as usize];
            [p[(self.axis + 1) % 3], p[(self.axis + 2) % 3]]
        };
        let rim = &self.rim.vertices;
        // A vertex of this rim is on it, not within.
        let Some(spot) = other.rim.vertices.iter().find(|v| !rim.contains(v)).map(flat) else { return false };
        let crossings = rim.iter().zip(rim.iter().cycle().skip(1)).filter(|(a, b)| {
            let (a, b) = (flat(a), flat(b));
            let side = orient_2d(a, b, spot);
            (a[1] <= spot[1] && spot[1] < b[1] && side > 0.0) || (b[1] <= spot[1] && spot[1] < a[1] && side < 0.0)
        });
        crossings.count() % 2 == 1
    }

    fn is_in_plane_of(&self, other: &Flat, resolution_mm: f64) -> bool {
        let corners = [self.rim.bounds.min, self.rim.bounds.max];
        self.axis == other.axis
            && (self.offset_mm - other.offset_mm).abs() <= 2.0 * resolution_mm
            && (self.normal - other.normal).norm() * nalgebra::distance(&corners[0], &corners[1]) <= 2.0 * resolution_mm
    }
}

/// Rims by the plane that they lie in. They must be in order.
pub(super) fn in_planes(flat: &[Flat], resolution_mm: f64) -> Vec<Vec<&Flat>> {
    let mut planes: Vec<Vec<&Flat>> = Vec::new();
    for rim in flat {
        let near = |plane: &&mut Vec<&Flat>| {
            plane
                .last()
                .is_some_and(|last| last.axis == rim.axis && rim.offset_mm - last.offset_mm <= 2.0 * resolution_mm)
        };
        let here = planes.iter_mut().rev().take_while(near).find(|plane| rim.is_in_plane_of(plane[0], resolution_mm));
        match here {
            Some(plane) => plane.push(rim),
            None => planes.push(vec![rim]),
        }
    }
    planes
}

/// Rims in one plane, those of islands together with the smallest rim around them that turns the other way: what is filled
/// is the room between. All others are filled each by itself, whether or not they lie in one another.
pub(super) fn with_islands<'a>(work: &Work, plane: &[&'a Flat]) -> Vec<Vec<&'a Flat>> {
    let mut outer: Vec<&Flat> = plane.iter().copied().filter(|flat| flat.area_mm2 > 0.0).collect();
    outer.sort_by(|a, b| a.area_mm2.total_cmp(&b.area_mm2).then_with(|| a.rim.vertices.cmp(&b.rim.vertices)));
    let mut groups: Vec<Vec<&Flat>> = outer.iter().map(|flat| vec![*flat]).collect();
    for island in plane.iter().copied().filter(|flat| flat.area_mm2 <= 0.0) {
        match outer.iter().position(|flat| -island.area_mm2 < flat.area_mm2 && flat.goes_round(work, island)) {
            Some(i) => groups[i].push(island),
            None => groups.push(vec![island]),
        }
    }
    groups
}
