//! Times the parts of the health report on hollow tori, and how they grow.
//!
//! `cargo run --release -p seamwright-geometry --example health_speed -- [MILLIONS OF FACES]...`
//!
//! All cores are used (`RAYON_NUM_THREADS` says how many).

use seamwright_geometry::{Mesh, Point, Progress, crossings, inspect, solids};
use std::error::Error;
use std::time::Instant;

fn main() -> Result<(), Box<dyn Error>> {
    let mut sizes: Vec<f64> = std::env::args().skip(1).map(|word| word.parse()).collect::<Result<_, _>>()?;
    if sizes.is_empty() {
        sizes = vec![0.1, 1.0, 5.0];
    }
    let progress = Progress::new();
    println!("   faces   inspect  crossings");
    for millions in sizes {
        let mesh = torus(millions);
        let begun = Instant::now();
        let report = inspect(&mesh);
        let inspect_ms = ms(begun);
        let begun = Instant::now();
        let found = crossings(&mesh, &progress)?;
        let crossings_ms = ms(begun);
        assert!(report.closed && found.pairs.is_empty());
        println!("{:>8} {inspect_ms:>6.0} ms {crossings_ms:>7.0} ms", mesh.triangles.len());
    }
    Ok(())
}

/// A hollow torus.
fn torus(millions: f64) -> Mesh {
    let steps = (millions * 1e6 / 8.0).sqrt() as u32;
    let outer = solids::torus(Point::origin(), 100.0, 40.0, 2 * steps, steps);
    let inner = solids::torus(Point::origin(), 100.0, 36.0, 2 * steps, steps);
    solids::hollow(&outer, &inner)
}

fn ms(begun: Instant) -> f64 {
    begun.elapsed().as_secs_f64() * 1e3
}
