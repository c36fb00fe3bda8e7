//! The thinnest walls of sections of meshes made by others, checked by other means: both ends lie on the outline, and
//! what lies between is inside it.
//!
//! The folder of meshes is named by `SEAMWRIGHT_MESHES`.

use std::path::PathBuf;

use seamwright_geometry::exchange::read_stl;
use seamwright_geometry::{Plane, Point, Progress, Section, Solid, Vector, section};

#[test]
fn the_thinnest_wall_of_a_real_section_joins_two_places_of_the_outline_through_the_material() {
    let Some(folder) = std::env::var_os("SEAMWRIGHT_MESHES").map(PathBuf::from) else {
        eprintln!("NOT RUN: SEAMWRIGHT_MESHES names no folder of real meshes");
        return;
    };
    let entries = std::fs::read_dir(&folder).unwrap().map(|entry| entry.unwrap().path());
    let is_stl = |path: &PathBuf| path.extension().is_some_and(|e| e.eq_ignore_ascii_case("stl"));
    let (mut sections, mut walls) = (0, 0);
    for path in entries.filter(is_stl) {
        // Broken files are for other tests.
        let Ok(read) = read_stl(&path, &Progress::new()) else { continue };
        let solid = Solid::from_stock(read.mesh);
        for plane in planes(&solid) {
            let found = section(&solid, &plane);
            sections += usize::from(!found.loops.is_empty());
            let Some(wall) = found.thinnest_wall(&plane) else { continue };
            walls += 1;
            check(&found, &plane, wall.from, wall.to, wall.mm, &format!("{} {plane:?}", path.display()));
        }
    }
    eprintln!("{walls} walls in {sections} sections");
    assert!(walls * 2 > sections, "{walls} walls in {sections} sections");
}

/// Nine through each mesh.
fn planes(solid: &Solid) -> Vec<Plane> {
    let Some(bounds) = solid.mesh.bounds() else { return Vec::new() };
    let normals = [Vector::z(), Vector::new(0.4, -0.7, 0.3), Vector::new(-0.6, 0.2, 0.9)];
    let through = |share: f64| bounds.centre() + bounds.size() * share;
    let all = normals.iter().flat_map(|n| [-0.21, 0.013, 0.27].map(|share| Plane::through(through(share), *n)));
    all.filter_map(Result::ok).collect()
}

fn check(section: &Section, plane: &Plane, from: Point, to: Point, mm: f64, what: &str) {
    let size = section.loops.iter().flat_map(|l| &l.points).map(|p| (p - from).norm()).fold(0.0, f64::max);
    // The share of an edge by which rays begin inside its ends is 2⁻²⁰.
    let within = size * 1e-6;
    assert!(((to - from).norm() - mm).abs() <= within, "{what}: {mm}");
    for p in [from, to] {
        let nearest = edges(section).map(|(a, b)| distance(p, a, b)).fold(f64::INFINITY, f64::min);
        assert!(nearest <= within, "{what}: an end lies {nearest} off the outline");
    }
    if mm > 10.0 * within {
        for share in [0.1, 0.5, 0.9] {
            let turns = turns_around(section, plane, from + (to - from) * share);
            assert!(turns >= 1, "{what}: {share} of the way across is outside");
        }
    }
}

fn edges(section: &Section) -> impl Iterator<Item = (Point, Point)> + '_ {
    let closed = section.loops.iter().filter(|line| line.closed);
    closed.flat_map(|line| (0..line.points.len()).map(|i| (line.points[i], line.points[(i + 1) % line.points.len()])))
}

fn distance(p: Point, a: Point, b: Point) -> f64 {
    let along = b - a;
    let share = ((p - a).dot(&along) / along.norm_squared().max(f64::MIN_POSITIVE)).clamp(0.0, 1.0);
    (p - (a + along * share)).norm()
}

/// How often the outline goes round `p`: the sum of the angles under which its edges are seen.
fn turns_around(section: &Section, plane: &Plane, p: Point) -> i32 {
    let angle = |(a, b): (Point, Point)| {
        let (a, b) = (a - p, b - p);
        a.cross(&b).dot(&plane.normal()).atan2(a.dot(&b))
    };
    (edges(section).map(angle).sum::<f64>() / std::f64::consts::TAU).round() as i32
}
