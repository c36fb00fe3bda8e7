//! Rims of holes are closed.

use rustc_hash::{FxHashMap, FxHashSet};

use super::patch::{Rim, least_area};
use super::refine::Patch;
use super::surface::Surface;
use super::{Mended, NEW_FACE, Work};
use crate::cut::fill_flat;
use crate::predicates::{on_one_line, orient_2d};
use crate::{Cancelled, EdgeTable, OpenLoop, Point, Progress, Resolution, Vector, open_loops};

/// Fills holes. Rims that are not closed are left.
pub(super) fn fill(work: Work, most_edges: usize, curved: bool, progress: &Progress) -> Result<Mended, Cancelled> {
    fill_those(work, most_edges, curved, &|_| true, progress)
}

/// Fills those holes whose rims, given by their vertices, are `wanted`.
pub(super) fn fill_those(
    mut work: Work,
    most_edges: usize,
    curved: bool,
    wanted: &dyn Fn(&[u32]) -> bool,
    progress: &Progress,
) -> Result<Mended, Cancelled> {
    let edges = EdgeTable::new(&work.mesh);
    let loops: Vec<OpenLoop> = open_loops(&work.mesh, &edges).into_iter().filter(|rim| wanted(&rim.vertices)).collect();
    if loops.is_empty() {
        return Ok(work.done());
    }
    let resolution_mm = Resolution::of(&work.mesh).on_plane_mm;
    let (mut flat, mut others): (Vec<Flat>, Vec<OpenLoop>) = (Vec::new(), Vec::new());
    for rim in loops {
        match Flat::of(&work, &rim, resolution_mm).filter(|_| rim.closed) {
            Some(plane) => flat.push(Flat { rim, ..plane }),
            None => others.push(rim),
        }
    }
    flat.sort_by(Flat::order);
    let mut known = Known::new(&edges, &flat, &others);
    for plane in in_planes(&flat, resolution_mm) {
        progress.check()?;
        for group in with_islands(&work, &plane) {
            fill_group(&mut work, &mut known, &group, &mut others);
        }
    }
    let mut surface = None;
    for rim in others {
        progress.check()?;
        if !curved || !rim.closed || rim.vertices.len() > most_edges {
            work.report.left += 1;
            continue;
        }
        let surface = match &surface {
            Some(surface) => surface,
            None => surface.insert(Surface::of(&work.mesh, progress)?),
        };
        let places: Vec<Point> = rim.vertices.iter().map(|&v| work.mesh.vertices[v as usize]).collect();
        let is_free = |i: usize, j: usize| known.is_free(rim.vertices[i], rim.vertices[j]);
        let Some(faces) = least_area(&Rim { places: &places, is_free: &is_free }) else {
            work.report.left += 1;
            continue;
        };
        let plain = Patch { rim: places.len(), places, faces };
        let patch = surface.fair(&work.mesh, &rim.vertices, &plain, &is_free, progress)?.unwrap_or(plain);
        let first = work.mesh.vertices.len() as u32;
        let within = &patch.places[patch.rim..];
        work.mesh.vertices.extend(within);
        work.report.vertices_added += within.len();
        let vertex = |i: usize| rim.vertices.get(i).copied().unwrap_or(first + i.saturating_sub(patch.rim) as u32);
        let faces: Vec<[u32; 3]> = patch.faces.iter().map(|face| face.map(vertex)).collect();
        close(&mut work, &mut known, &faces, 1);
    }
    Ok(work.done())
}

/// Adds faces that close so many rims.
fn close(work: &mut Work, known: &mut Known, faces: &[[u32; 3]], rims: usize) {
    work.report.holes_filled += rims;
    for &face in faces {
        known.add(face);
        work.push(face, NEW_FACE);
        work.report.faces_added += 1;
        let [a, b, c] = face.map(|v| work.mesh.vertices[v as usize]);
        work.report.filled_mm2 += (b - a).cross(&(c - a)).norm() / 2.0;
    }
}

/// A rim that lies in a plane.
struct Flat {
    rim: OpenLoop,
    /// The axis along which its plane is seen most squarely, and the plane's normal with that coordinate positive.
    axis: usize,
    normal: Vector,
    offset_mm: f64,
    /// What it goes round, mm²: positive where it turns left as seen against that normal.
    area_mm2: f64,
}

impl Flat {
    /// `None` where a vertex is off the best plane (Newell's, through the middle) by more than the resolution.
    fn of(work: &Work, rim: &OpenLoop, resolution_mm: f64) -> Option<Flat> {
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

    fn order(a: &Flat, b: &Flat) -> std::cmp::Ordering {
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
fn in_planes(flat: &[Flat], resolution_mm: f64) -> Vec<Vec<&Flat>> {
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
fn with_islands<'a>(work: &Work, plane: &[&'a Flat]) -> Vec<Vec<&'a Flat>> {
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

/// Fills rims in one plane by a triangulation of that plane; hands over to the others those that it cannot.
fn fill_group(work: &mut Work, known: &mut Known, group: &[&Flat], others: &mut Vec<OpenLoop>) {
    let Some(axis) = group.first().map(|flat| flat.axis) else { return };
    let mut places: Vec<[f64; 2]> = Vec::new();
    let mut vertices: Vec<u32> = Vec::new();
    let mut number: FxHashMap<u32, u32> = FxHashMap::default();
    let mut bounds: Vec<[u32; 2]> = Vec::new();
    for flat in group {
        let rim = &flat.rim.vertices;
        for (&from, &to) in rim.iter().zip(rim.iter().cycle().skip(1)) {
            bounds.push([from, to].map(|v| {
                *number.entry(v).or_insert_with(|| {
                    let p = work.mesh.vertices[v as usize];
                    places.push([p[(axis + 1) % 3], p[(axis + 2) % 3]]);
                    vertices.push(v);
                    vertices.len() as u32 - 1
                })
            }));
        }
    }
    let filled = fill_flat(&places, &bounds)
        .map(|triangles| -> Vec<[u32; 3]> { triangles.into_iter().map(|t| t.map(|i| vertices[i as usize])).collect() });
    let sound = |face: &[u32; 3]| !on_one_line(face.map(|v| work.mesh.vertices[v as usize]).each_ref());
    match filled.filter(|faces| faces.iter().all(sound) && known.have_room_for(faces, &bounds, &vertices)) {
        Some(faces) => close(work, known, &faces, group.len()),
        None if group.len() > 1 => {
            for flat in group {
                fill_group(work, known, std::slice::from_ref(flat), others);
            }
        }
        None => others.extend(group.iter().map(|flat| flat.rim.clone())),
    }
}

/// Edges between vertices of rims that are there: a new one must not lie on them.
struct Known {
    edges: FxHashSet<[u32; 2]>,
}

impl Known {
    fn new(edges: &EdgeTable, flat: &[Flat], others: &[OpenLoop]) -> Known {
        let rims = flat.iter().map(|flat| &flat.rim).chain(others);
        let on_rim: FxHashSet<u32> = rims.flat_map(|rim| rim.vertices.iter().copied()).collect();
        let between = edges.edges().filter(|edge| on_rim.contains(&edge.low) && on_rim.contains(&edge.high));
        Known { edges: between.map(|edge| [edge.low, edge.high]).collect() }
    }

    fn is_free(&self, a: u32, b: u32) -> bool {
        !self.edges.contains(&[a.min(b), a.max(b)])
    }

    fn add(&mut self, [a, b, c]: [u32; 3]) {
        for (from, to) in [(a, b), (b, c), (c, a)] {
            self.edges.insert([from.min(to), from.max(to)]);
        }
    }

    /// Whether the inner edges of these faces are free. Edges of the rims are there already.
    fn have_room_for(&self, faces: &[[u32; 3]], bounds: &[[u32; 2]], vertices: &[u32]) -> bool {
        let rim: FxHashSet<[u32; 2]> = bounds.iter().map(|pair| pair.map(|i| vertices[i as usize])).collect();
        faces
            .iter()
            .flat_map(|&[a, b, c]| [(a, b), (b, c), (c, a)])
            .all(|(from, to)| rim.contains(&[from, to]) || rim.contains(&[to, from]) || self.is_free(from, to))
    }
}
