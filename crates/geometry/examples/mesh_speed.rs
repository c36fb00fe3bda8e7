//! Times writing, reading, merging and looking over a mesh; "by stl_io" is that crate's reading and merging in one.
//!
//! `cargo run --release -p seamwright-geometry --example mesh_speed -- [MILLIONS OF FACES] [shuffled]`

use seamwright_geometry::exchange::{Overwrite, read_stl, write_stl};
use seamwright_geometry::{EdgeTable, Mesh, Point, Progress, Shells, inspect, solids};
use std::error::Error;
use std::time::Instant;

#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

/// Each step is repeated and its best time shown: what else the machine does only ever adds.
const REPEATS: usize = 3;

fn main() -> Result<(), Box<dyn Error>> {
    let mut arguments = std::env::args().skip(1);
    let millions: f64 = arguments.next().map_or(Ok(1.0), |word| word.parse())?;
    let steps = (millions * 1e6 / 4.0).sqrt() as u32;
    let mut mesh = solids::torus(Point::origin(), 100.0, 40.0, 2 * steps, steps);
    if arguments.next().as_deref() == Some("shuffled") {
        shuffle(&mut mesh);
    }
    println!("{} faces, {} vertices", mesh.triangles.len(), mesh.vertices.len());

    let folder = std::env::temp_dir().join(format!("mesh-speed-{}", std::process::id()));
    std::fs::create_dir_all(&folder)?;
    let path = folder.join("torus.stl");
    time("write", || write_stl(&path, &mesh, "torus", Overwrite::Allow).map(|_| ()))?;
    let (mut read_s, mut merge_s) = (f64::INFINITY, f64::INFINITY);
    for _ in 0..REPEATS {
        let read = read_stl(&path, &Progress::new())?;
        assert_eq!(read.mesh.triangles.len(), mesh.triangles.len());
        (read_s, merge_s) = (read_s.min(read.read_s), merge_s.min(read.merge_s));
    }
    println!("{:>12} {:8.1} ms\n{:>12} {:8.1} ms", "read", read_s * 1e3, "merge", merge_s * 1e3);
    time("by stl_io", || std::fs::File::open(&path).and_then(|mut file| stl_io::read_stl(&mut file)))?;
    std::fs::remove_dir_all(&folder)?;

    let edges = time("edge table", || Ok::<_, Box<dyn Error>>(EdgeTable::new(&mesh)))?;
    time("edge report", || Ok::<_, Box<dyn Error>>(edges.report(&mesh)))?;
    let shells = time("shells", || Ok::<_, Box<dyn Error>>(Shells::of_edges(&edges)))?;
    let at_once = time("of the mesh", || Ok::<_, Box<dyn Error>>(Shells::of(&mesh)))?;
    assert_eq!(at_once, shells);
    time("split", || Ok::<_, Box<dyn Error>>(shells.split(&mesh)))?;
    time("per shell", || Ok::<_, Box<dyn Error>>(shells.reports(&mesh, &edges)))?;
    time("inspect", || Ok::<_, Box<dyn Error>>(inspect(&mesh)))?;
    Ok(())
}

fn time<T, E>(name: &str, mut step: impl FnMut() -> Result<T, E>) -> Result<T, E> {
    let mut best = f64::INFINITY;
    for _ in 1..REPEATS {
        let begun = Instant::now();
        step()?;
        best = best.min(begun.elapsed().as_secs_f64());
    }
    let begun = Instant::now();
    let made = step()?;
    println!("{name:>12} {:8.1} ms", best.min(begun.elapsed().as_secs_f64()) * 1e3);
    Ok(made)
}

/// Faces in an order without locality, the same on every run (a linear congruential generator; multiplier from
/// Knuth's MMIX).
fn shuffle(mesh: &mut Mesh) {
    let mut state = 1_u64;
    for i in (1..mesh.triangles.len()).rev() {
        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        mesh.triangles.swap(i, ((state >> 32) as usize) % (i + 1));
    }
}
