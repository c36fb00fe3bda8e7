//! Times the thinnest wall of sections, and the count of bodies on both sides.
//!
//! `cargo run --release -p seamwright-geometry --example wall_speed [file.stl]`

use seamwright_geometry::exchange::read_stl;
use seamwright_geometry::{Plane, Point, Progress, Section, Solid, Vector, count_bodies_of_sides, section, solids};
use std::time::Instant;

fn main() {
    let along_axis = |ring: f64, tube: f64, edges: u32| solids::torus(Point::origin(), ring, tube, edges, 12);
    for edges in [1000, 10_000, 40_000] {
        let torus = Solid::from_stock(along_axis(100.0, 3.0, edges / 2));
        time(&format!("ring of {edges} edges"), &torus, &Plane::new(Vector::z(), 0.1).unwrap());
    }
    let disc = Solid::from_stock(solids::torus(Point::origin(), 100.0, 90.0, 6, 20_000));
    time("two discs of 20000 edges", &disc, &Plane::new(Vector::y(), 0.1).unwrap());
    for path in std::env::args().skip(1) {
        let mesh = match read_stl(path.as_ref(), &Progress::new()) {
            Ok(read) => read.mesh,
            Err(error) => return eprintln!("{error}"),
        };
        let solid = Solid::from_stock(mesh);
        let Some(bounds) = solid.mesh.bounds() else { continue };
        for normal in [Vector::x(), Vector::y(), Vector::z(), Vector::new(0.3, 0.5, 0.8)] {
            for share in [-0.2, 0.05, 0.25] {
                let through = bounds.centre() + bounds.size() * share;
                if let Ok(plane) = Plane::through(through, normal) {
                    time(&path, &solid, &plane);
                }
            }
        }
    }
}

fn time(what: &str, solid: &Solid, plane: &Plane) {
    let found: Section = section(solid, plane);
    let edges: usize = found.loops.iter().map(|line| line.points.len()).sum();
    let begun = Instant::now();
    let wall = found.thinnest_wall(plane);
    let wall_ms = begun.elapsed().as_secs_f64() * 1e3;
    let begun = Instant::now();
    let counts = count_bodies_of_sides(solid, plane, &Progress::new());
    let count_ms = begun.elapsed().as_secs_f64() * 1e3;
    println!(
        "{what}: {edges} edges, {} lines, wall {:?} mm in {wall_ms:.2} ms; bodies {counts:?} of {} faces in {count_ms:.1} ms",
        found.loops.len(),
        wall.map(|wall| wall.mm),
        solid.mesh.triangles.len(),
    );
}
