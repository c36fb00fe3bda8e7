//! Times the clear inside of sections, and the way out below.
//!
//! `cargo run --release -p seamwright-geometry --example clear_speed [file.stl]...`

use seamwright_geometry::exchange::read_stl;
use seamwright_geometry::{Plane, Point, Progress, SectionSupport, Solid, Vector, narrowest_below, solids};
use std::error::Error;
use std::time::Instant;

#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

fn main() -> Result<(), Box<dyn Error>> {
    for millions in [0.1, 1.0] {
        let steps = (millions * 1e6 / 4.0_f64).sqrt() as u32;
        let torus = solids::torus(Point::origin(), 130.0, 40.0, 2 * steps, steps);
        measure(&format!("torus of {} faces", torus.triangles.len()), &Solid::from_stock(torus))?;
    }
    for path in std::env::args().skip(1) {
        measure(&path, &Solid::from_stock(read_stl(path.as_ref(), &Progress::new())?.mesh))?;
    }
    Ok(())
}

/// At three heights.
fn measure(what: &str, solid: &Solid) -> Result<(), Box<dyn Error>> {
    let support = SectionSupport::build(solid, &Progress::new())?;
    let Some(bounds) = solid.mesh.bounds() else { return Ok(()) };
    println!("{what}: {} faces", solid.mesh.triangles.len());
    for share in [-0.25, 0.05, 0.25] {
        let plane = Plane::through(bounds.centre() + bounds.size() * share, Vector::z())?;
        let begun = Instant::now();
        let section = support.section(solid, &plane);
        let section_ms = ms(begun);
        let begun = Instant::now();
        let room = section.clear(&plane);
        let clear_ms = ms(begun);
        let begun = Instant::now();
        let passage = narrowest_below(solid, &support, &plane, &Progress::new())?;
        let passage_ms = ms(begun);
        let edges: usize = section.loops.iter().map(|line| line.points.len()).sum();
        let told = room.map(|room| [room.girth_mm, room.breadth_mm, room.length_mm, room.openings_mm]);
        let passage = format!("{passage:.1?}").chars().take(150).collect::<String>();
        println!(
            "  {edges} edges in {section_ms:.2} ms; girth, breadth, length, openings {told:.1?} in {clear_ms:.2} ms"
        );
        println!("  way out in {passage_ms:.0} ms: {passage}");
    }
    Ok(())
}

fn ms(begun: Instant) -> f64 {
    begun.elapsed().as_secs_f64() * 1e3
}
