//! Times what is asked of a channel while it is placed: the wall around it, a blind end, centring.
//!
//! `cargo run --release -p seamwright-geometry --example bore_speed [faces in thousands …]`

use seamwright_geometry::bore::{Channel, End, SectionShape, Tip, Walls};
use seamwright_geometry::{Mesh, Point, Progress, Solid, Vector, solids};
use std::time::Instant;

/// By what share of them walls may be told too thick while a channel moves.
const OFF_SHARE: f64 = 0.1;

fn main() {
    let asked: Vec<f64> = std::env::args().skip(1).filter_map(|text| text.parse().ok()).collect();
    let thousands = if asked.is_empty() { vec![100.0, 1000.0] } else { asked };
    for thousands in thousands {
        let faces = thousands * 1e3;
        let round = (faces / 20.0).sqrt() as u32;
        let cells = (faces / 12.0).sqrt() as u32;
        for (name, mesh, from, to) in [
            ("blade", blade((faces / 4.0 / 24.0) as u32), Point::new(2.0, 0.5, -5.0), Point::new(9.0, -0.5, 395.0)),
            (
                "ball",
                solids::sphere(Point::origin(), 60.0, round),
                Point::new(4.0, 3.0, -70.0),
                Point::new(-3.0, 4.0, 70.0),
            ),
            (
                "ball, its middle",
                solids::sphere(Point::origin(), 60.0, round),
                Point::new(0.0, 0.0, -70.0),
                Point::new(0.0, 0.0, 70.0),
            ),
            ("box", block(cells), Point::new(30.0, 40.0, -5.0), Point::new(70.0, 60.0, 110.0)),
            ("bumps", bumps((faces / 2.0).sqrt() as u32), Point::new(20.0, -70.0, 5.0), Point::new(35.0, 72.0, -6.0)),
        ] {
            time(name, Solid::from_stock(mesh), from, to);
        }
    }
}

fn time(name: &str, solid: Solid, from: Point, to: Point) {
    let progress = Progress::new();
    println!("{name}, {} faces", solid.mesh.triangles.len());
    let walls = timed("  prepared", 1, || Walls::build(&solid, &progress));
    let Ok(walls) = walls else { return };
    let shape = SectionShape::Round { diameter_mm: 6.8, sides: 40 };
    let Ok(open) = Channel::new(vec![from, to], shape, [End::Open, End::Open]) else { return };
    let Ok(blind) = Channel::new(vec![from, to], shape, [End::Open, End::At]) else { return };
    let wall = |off_share| walls.least_roughly(&solid, &open, 1.2, off_share).least.map(|wall| wall.wall_mm);
    let exact = timed("  wall, exact", 10, || wall(0.0));
    let moving = timed("  wall, moving", 10, || wall(OFF_SHARE));
    println!("    {exact:?} mm, {moving:?} mm");
    let end = timed("  blind end", 10, || walls.blind_end(&solid, &blind, Tip::Last, 5.0));
    if let Some(end) = end {
        let line = vec![from, end.place];
        let ended = Channel::new(line, shape, [End::Open, End::At]);
        if let Ok(ended) = ended {
            timed("  wall with that end", 10, || walls.least_roughly(&solid, &ended, 1.2, OFF_SHARE));
        }
    }
    let found = timed("  centred", 1, || walls.centred(&solid, &open, &[], &progress));
    if let Ok(found) = found {
        println!("    {:.3} mm, was {:.3} mm", found.after_mm, found.before_mm);
    }
}

fn timed<T>(what: &str, times: u32, mut work: impl FnMut() -> T) -> T {
    let begun = Instant::now();
    let mut result = work();
    for _ in 1..times {
        result = work();
    }
    println!("{what}: {:.2} ms", begun.elapsed().as_secs_f64() * 1e3 / f64::from(times));
    result
}

/// A bent blade of 400 mm that narrows to its tip, in so many slices.
fn blade(slices: u32) -> Mesh {
    let mut mesh = solids::grid_box(Point::new(-20.0, -8.0, 0.0), Point::new(20.0, 8.0, 400.0), [16, 8, slices]);
    for p in &mut mesh.vertices {
        let share = p.z / 400.0;
        let narrow = 1.0 - 0.4 * share;
        // An edge on either side.
        let thick = 1.0 - (p.x / 20.0).abs() * 0.8;
        (p.x, p.y) = (p.x * narrow + 12.0 * share * share, p.y * narrow * thick);
    }
    mesh
}

fn block(cells: u32) -> Mesh {
    solids::grid_box(Point::origin(), Point::new(100.0, 100.0, 100.0), [cells, cells, cells])
}

/// A ring with bumps all over.
fn bumps(sides: u32) -> Mesh {
    let mut mesh = solids::torus(Point::origin(), 60.0, 30.0, sides, sides);
    for p in &mut mesh.vertices {
        let by = Vector::new((p.y * 0.7).sin(), (p.z * 0.9).sin(), (p.x * 0.8).sin());
        *p += by * 0.8;
    }
    mesh
}
