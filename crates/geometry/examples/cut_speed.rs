//! Times one oblique cut, eight parallel cuts and the section outline.
//!
//! `cargo run --release -p seamwright-geometry --example cut_speed -- [MILLIONS OF FACES]`

use seamwright_geometry::{CutOutcome, Plane, Point, Progress, Solid, Vector, bodies, cut, section, solids};
use std::error::Error;
use std::time::Instant;

#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

/// Each step is repeated and its median shown.
const REPEATS: usize = 7;

fn main() -> Result<(), Box<dyn Error>> {
    let millions: f64 = std::env::args().nth(1).map_or(Ok(1.0), |word| word.parse())?;
    let steps = (millions * 1e6 / 8.0).sqrt() as u32;
    let outer = solids::torus(Point::origin(), 100.0, 40.0, 2 * steps, steps);
    let inner = solids::torus(Point::origin(), 100.0, 36.0, 2 * steps, steps);
    let solid = Solid::from_stock(solids::hollow(&outer, &inner));
    println!("{} faces, {} vertices", solid.mesh.triangles.len(), solid.mesh.vertices.len());
    let normal = Vector::new(0.3, 0.9, 0.25);
    let plane = Plane::new(normal, 0.0123)?;
    let mut sides = None;
    time("one cut", || {
        if let CutOutcome::Parted(parted) = cut(&solid, &plane, 1, &Progress::new()).unwrap() {
            sides = Some(*parted);
        }
    });
    if let Some(parted) = &sides {
        println!(
            "cap area {:.1} mm², {} + {} faces",
            parted.cap_area_mm2,
            parted.below.mesh.triangles.len(),
            parted.above.mesh.triangles.len()
        );
    }
    time("eight cuts", || {
        let mut rest = solid.clone();
        for i in 0..8 {
            let plane = Plane::new(normal, -100.0 + 28.57 * f64::from(i)).unwrap();
            if let CutOutcome::Parted(parted) = cut(&rest, &plane, 1, &Progress::new()).unwrap() {
                rest = parted.above;
            }
        }
    });
    time("section", || {
        section(&solid, &plane);
    });
    time("bodies", || {
        if let Some(parted) = &sides {
            bodies(parted.below.clone());
        }
    });
    Ok(())
}

fn time(name: &str, mut step: impl FnMut()) {
    let mut times: Vec<f64> = (0..REPEATS)
        .map(|_| {
            let begun = Instant::now();
            step();
            begun.elapsed().as_secs_f64() * 1e3
        })
        .collect();
    times.sort_by(f64::total_cmp);
    println!("{name:>12} {:8.2} ms (best {:.2})", times[REPEATS / 2], times[0]);
}
