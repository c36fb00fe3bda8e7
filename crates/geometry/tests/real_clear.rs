//! The clear insides of sections of meshes made by others: no line of the section reaches into them.
//!
//! The folder of meshes is named by `SEAMWRIGHT_MESHES`.

use std::path::PathBuf;

use seamwright_geometry::exchange::read_stl;
use seamwright_geometry::{ClearSection, Plane, Point, Progress, Section, Solid, Vector, section};

#[test]
fn no_line_of_a_real_section_reaches_into_its_clear_inside() {
    let Some(folder) = std::env::var_os("SEAMWRIGHT_MESHES").map(PathBuf::from) else {
        eprintln!("NOT RUN: SEAMWRIGHT_MESHES names no folder of real meshes");
        return;
    };
    let entries = std::fs::read_dir(&folder).unwrap().map(|entry| entry.unwrap().path());
    let is_stl = |path: &PathBuf| path.extension().is_some_and(|e| e.eq_ignore_ascii_case("stl"));
    let (mut sections, mut rooms) = (0, 0);
    for path in entries.filter(is_stl) {
        // Broken files are for other tests.
        let Ok(read) = read_stl(&path, &Progress::new()) else { continue };
        let solid = Solid::from_stock(read.mesh);
        for plane in planes(&solid) {
            let found = section(&solid, &plane);
            sections += usize::from(!found.loops.is_empty());
            let Some(room) = found.clear(&plane) else { continue };
            rooms += 1;
            check(&found, &plane, &room, &format!("{} {plane:?}", path.display()));
        }
    }
    eprintln!("{rooms} clear insides in {sections} sections");
    assert!(rooms > 0, "no room in {sections} sections");
}

/// Nine through each mesh.
fn planes(solid: &Solid) -> Vec<Plane> {
    let Some(bounds) = solid.mesh.bounds() else { return Vec::new() };
    let normals = [Vector::z(), Vector::new(0.4, -0.7, 0.3), Vector::new(-0.6, 0.2, 0.9)];
    let through = |share: f64| bounds.centre() + bounds.size() * share;
    let all = normals.iter().flat_map(|n| [-0.21, 0.013, 0.27].map(|share| Plane::through(through(share), *n)));
    all.filter_map(Result::ok).collect()
}

fn check(section: &Section, plane: &Plane, room: &ClearSection, what: &str) {
    let size = section.loops.iter().flat_map(|l| &l.points).map(|p| (p - room.centre).norm()).fold(0.0, f64::max);
    let within = size * 1e-9;
    assert!(room.girth_mm > 0.0 && room.breadth_mm <= room.length_mm * (1.0 + 1e-9), "{what}: {room:?}");
    let outline = &room.outline;
    let edges = (0..outline.len()).map(|i| (outline[i], outline[(i + 1) % outline.len()] - outline[i]));
    // The direction of edges as short as rounding means nothing.
    let inwards: Vec<(Point, Vector)> = edges
        .filter(|(_, along)| along.norm() > within)
        .map(|(a, along)| (a, plane.normal().cross(&along.normalize())))
        .collect();
    let depth = |p: &Point| inwards.iter().map(|(a, inwards)| inwards.dot(&(p - a))).fold(f64::INFINITY, f64::min);
    assert!(outline.iter().all(|p| depth(p) >= -within) && depth(&room.centre) > 0.0, "{what}: not convex");
    for line in &section.loops {
        let steps = if line.closed { line.points.len() } else { line.points.len().saturating_sub(1) };
        for (a, b) in (0..steps).map(|i| (line.points[i], line.points[(i + 1) % line.points.len()])) {
            for share in [0.0, 0.5] {
                let p = a + (b - a) * share;
                assert!(depth(&p) <= within, "{what}: a wall is {} mm within the room", depth(&p));
            }
        }
    }
}
