//! Times the parts of the health report on hollow tori with a wall of half a millimetre, and how they grow.
//!
//! `cargo run --release -p seamwright-geometry --example health_speed -- [MILLIONS OF FACES]...`
//!
//! All cores are used (`RAYON_NUM_THREADS` says how many).

use seamwright_geometry::{Mesh, Point, Progress, Shells, crossings, defects, gaps, inspect, solids, thin_walls};
use std::error::Error;
use std::time::Instant;

fn main() -> Result<(), Box<dyn Error>> {
    let mut sizes: Vec<f64> = std::env::args().skip(1).map(|word| word.parse()).collect::<Result<_, _>>()?;
    if sizes.is_empty() {
        sizes = vec![0.1, 1.0, 5.0];
    }
    let progress = Progress::new();
    println!("   faces   inspect   defects  crossings      gaps      thin   (ms)");
    for millions in sizes {
        let mesh = torus(millions);
        let shells = Shells::of(&mesh);
        let mut times = Vec::new();
        let report = timed(&mut times, || inspect(&mesh));
        let defects = timed(&mut times, || defects(&mesh, &progress))?;
        let found = timed(&mut times, || crossings(&mesh, &progress))?;
        // The wall is half a millimetre thick: the gap reaches across it, the search for thin walls does not.
        let gaps = timed(&mut times, || gaps(&mesh, &shells, &[], 0.6, &progress))?;
        let thin = timed(&mut times, || thin_walls(&mesh, 0.4, 1.0, &progress))?;
        assert!(report.closed && defects.open.is_empty() && found.pairs.is_empty());
        assert!(gaps.len() == 1 && thin.faces.is_empty());
        print!("{:>8}", mesh.triangles.len());
        times.iter().for_each(|ms| print!("  {ms:>8.0}"));
        println!();
    }
    Ok(())
}

fn timed<T>(times: &mut Vec<f64>, work: impl FnOnce() -> T) -> T {
    let begun = Instant::now();
    let result = work();
    times.push(begun.elapsed().as_secs_f64() * 1e3);
    result
}

/// A hollow torus.
fn torus(millions: f64) -> Mesh {
    let steps = (millions * 1e6 / 8.0).sqrt() as u32;
    let outer = solids::torus(Point::origin(), 100.0, 40.0, 2 * steps, steps);
    let inner = solids::torus(Point::origin(), 100.0, 39.5, 2 * steps, steps);
    solids::hollow(&outer, &inner)
}
