//! Times the outline of a plane on a hollow torus, with and without the tree, and the building of the tree.
//!
//! `cargo run --release -p seamwright-geometry --example section_speed -- [MILLIONS OF FACES]...`
//!
//! The tree is built on all cores (`RAYON_NUM_THREADS` says how many); sections are made on one, or with *whole*, which
//! passes over all faces, on all.

use seamwright_geometry::{Plane, Point, Progress, Section, SectionSupport, Solid, Vector, section, solids};
use std::error::Error;
use std::time::Instant;

#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

/// Places of the plane; the median time is shown.
const FRAMES: u32 = 41;
/// How far the plane moves from one frame to the next, mm.
const STEP_MM: f64 = 0.7;

fn main() -> Result<(), Box<dyn Error>> {
    let mut sizes: Vec<f64> = std::env::args().skip(1).map(|word| word.parse()).collect::<Result<_, _>>()?;
    if sizes.is_empty() {
        sizes = vec![0.1, 1.0, 4.0];
    }
    println!("   faces     build     MiB   order    points   section (worst)      whole");
    for millions in sizes {
        for shuffled in [false, true] {
            measure(&torus(millions, shuffled), if shuffled { "shuffled" } else { "in rows" })?;
        }
    }
    Ok(())
}

/// A hollow torus; `shuffled` puts its faces in an order that has nothing to do with where they lie.
fn torus(millions: f64, shuffled: bool) -> Solid {
    let steps = (millions * 1e6 / 8.0).sqrt() as u32;
    let outer = solids::torus(Point::origin(), 100.0, 40.0, 2 * steps, steps);
    let inner = solids::torus(Point::origin(), 100.0, 36.0, 2 * steps, steps);
    let mut mesh = solids::hollow(&outer, &inner);
    if shuffled {
        let mut random = 1u64;
        for i in (1..mesh.triangles.len()).rev() {
            // Knuth's MMIX generator (The Art of Computer Programming, vol. 2, 3.3.4).
            random = random.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            mesh.triangles.swap(i, (random >> 33) as usize % (i + 1));
        }
    }
    Solid::from_stock(mesh)
}

fn measure(solid: &Solid, order: &str) -> Result<(), Box<dyn Error>> {
    let begun = Instant::now();
    let support = SectionSupport::build(solid, &Progress::new())?;
    let build_ms = ms(begun);
    let (mut with, mut whole) = (Vec::new(), Vec::new());
    let offset_mm = |frame: u32| (f64::from(frame) - f64::from(FRAMES / 2)) * STEP_MM;
    let planes: Vec<Plane> =
        (0..FRAMES).map(|frame| Plane::new(Vector::new(0.3, 0.9, 0.25), offset_mm(frame))).collect::<Result<_, _>>()?;
    let timed = |times: &mut Vec<f64>, make: &dyn Fn(&Plane) -> Section| -> Vec<Section> {
        let one = |plane| {
            let begun = Instant::now();
            let made = make(plane);
            times.push(ms(begun));
            made
        };
        planes.iter().map(one).collect()
    };
    let found = timed(&mut with, &|plane| support.section(solid, plane));
    let known = timed(&mut whole, &|plane| section(solid, plane));
    if found != known {
        return Err("the sections differ".into());
    }
    let count = |section: &Section| section.loops.iter().map(|line| line.points.len()).sum::<usize>();
    let mut points: Vec<usize> = found.iter().map(count).collect();
    points.sort_unstable();
    let ([typical, worst], [whole, _]) = (summary(with), summary(whole));
    println!(
        "{:8} {build_ms:6.0} ms {:7.1} {order} {:7} {typical:6.2} ms ({worst:5.2}) {whole:7.2} ms",
        solid.mesh.triangles.len(),
        support.bytes() as f64 / f64::from(1 << 20),
        points[points.len() / 2],
    );
    Ok(())
}

/// Median and largest.
fn summary(mut times: Vec<f64>) -> [f64; 2] {
    times.sort_by(f64::total_cmp);
    [times[times.len() / 2], times[times.len() - 1]]
}

fn ms(begun: Instant) -> f64 {
    begun.elapsed().as_secs_f64() * 1e3
}
