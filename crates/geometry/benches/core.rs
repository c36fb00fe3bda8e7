//! The work of the core, timed by itself: `cargo bench -p seamwright-geometry`, `-- cut` for a part of it.
//!
//! 10⁵ and 10⁶ triangles; 4·10⁶ too where `SEAMWRIGHT_BENCH_LARGE` is set. A look at what a change does, in under a
//! minute once it is built; `cargo xtask bench` compares with libraries.
//!
//! With divan, which needs five crates: it bounds the time of each bench, which matters where one run takes a second, and
//! drops what a run makes outside of the time.

use std::collections::BTreeMap;
use std::sync::Mutex;

use divan::counter::ItemsCount;
use divan::{Bencher, black_box};
use seamwright_geometry::bore::{Channel, End, SectionShape, Walls, bore};
use seamwright_geometry::{
    CutOutcome, Facet, Plane, Point, Progress, SectionSupport, Shells, Solid, Vector, bodies, cut, cut_parallel,
    merge_exact, section, solids,
};

/// That of the program.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

fn main() {
    divan::main();
}

fn sizes() -> Vec<usize> {
    let large = std::env::var_os("SEAMWRIGHT_BENCH_LARGE").map(|_| 4_000_000);
    [100_000, 1_000_000].into_iter().chain(large).collect()
}

#[divan::bench(args = sizes(), max_time = 2)]
fn one_cut(bencher: Bencher, triangles: usize) {
    let solid = ring(triangles);
    let bencher = bencher.counter(ItemsCount::new(triangles));
    bencher.bench(|| cut(black_box(solid), &oblique(1.0), 0, &Progress::new()));
}

#[divan::bench(args = sizes(), max_time = 2)]
fn eight_cuts(bencher: Bencher, triangles: usize) {
    let solid = ring(triangles);
    let offsets = [-95.0, -70.0, -45.0, -20.0, 20.0, 45.0, 70.0, 95.0];
    bencher.counter(ItemsCount::new(triangles)).bench(|| parted(black_box(solid), &offsets));
}

/// A rod right through both walls on both sides of the ring.
#[divan::bench(args = sizes(), max_time = 2)]
fn one_bore(bencher: Bencher, triangles: usize) {
    let solid = ring(triangles);
    let channel = rod_channel();
    bencher.counter(ItemsCount::new(triangles)).bench(|| bore(black_box(solid), &channel, 0, &Progress::new()));
}

/// What is done in every frame while an end is dragged.
#[divan::bench(args = sizes(), max_time = 2)]
fn wall_around_a_bore(bencher: Bencher, triangles: usize) {
    let solid = ring(triangles);
    let walls = Walls::build(solid, &Progress::new());
    let channel = rod_channel();
    bencher.bench(|| walls.as_ref().map(|walls| walls.least(black_box(solid), &channel, 2.0)));
}

#[divan::bench(args = sizes(), max_time = 2)]
fn tree_for_walls(bencher: Bencher, triangles: usize) {
    let solid = ring(triangles);
    bencher.counter(ItemsCount::new(triangles)).bench(|| Walls::build(black_box(solid), &Progress::new()));
}

#[divan::bench(args = sizes(), max_time = 2)]
fn eight_cuts_in_one_pass(bencher: Bencher, triangles: usize) {
    let solid = ring(triangles);
    let offsets = [-95.0, -70.0, -45.0, -20.0, 20.0, 45.0, 70.0, 95.0];
    let planes: Vec<(Plane, u32)> = offsets.into_iter().map(oblique).zip(0..).collect();
    assert!(matches!(cut_parallel(solid, &planes, &Progress::new()), Ok(Some(pieces)) if pieces.len() == 9));
    bencher.counter(ItemsCount::new(triangles)).bench(|| cut_parallel(black_box(solid), &planes, &Progress::new()));
}

#[divan::bench(args = sizes(), max_time = 2)]
fn section_of_all_faces(bencher: Bencher, triangles: usize) {
    let solid = ring(triangles);
    bencher.bench(|| section(black_box(solid), &oblique(1.0)));
}

#[divan::bench(args = sizes(), max_time = 2)]
fn section_through_the_tree(bencher: Bencher, triangles: usize) {
    let solid = ring(triangles);
    let support = SectionSupport::build(solid, &Progress::new());
    bencher.bench(|| support.as_ref().map(|support| support.section(black_box(solid), &oblique(1.0))));
}

#[divan::bench(args = sizes(), max_time = 2)]
fn thinnest_wall(bencher: Bencher, triangles: usize) {
    let plane = oblique(1.0);
    let outline = section(ring(triangles), &plane);
    let edges: usize = outline.loops.iter().map(|line| line.points.len()).sum();
    bencher.counter(ItemsCount::new(edges)).bench(|| black_box(&outline).thinnest_wall(&plane));
}

#[divan::bench(args = sizes(), max_time = 2)]
fn tree_of_boxes(bencher: Bencher, triangles: usize) {
    let solid = ring(triangles);
    let bencher = bencher.counter(ItemsCount::new(triangles));
    bencher.bench(|| SectionSupport::build(black_box(solid), &Progress::new()));
}

#[divan::bench(args = sizes(), max_time = 2)]
fn shells(bencher: Bencher, triangles: usize) {
    let solid = ring(triangles);
    bencher.counter(ItemsCount::new(triangles)).bench(|| Shells::of(black_box(&solid.mesh)));
}

/// A cavity in each of two bodies.
#[divan::bench(args = sizes(), max_time = 2)]
fn nested_bodies(bencher: Bencher, triangles: usize) {
    let one = ring(triangles / 2);
    let mut other = one.mesh.clone();
    other.vertices.iter_mut().for_each(|p| p.x += 400.0);
    let both = Solid::from_stock(solids::joined(&[&one.mesh, &other]));
    bencher.counter(ItemsCount::new(triangles)).with_inputs(|| both.clone()).bench_values(bodies);
}

#[divan::bench(args = sizes(), max_time = 2)]
fn merge_of_corners(bencher: Bencher, triangles: usize) {
    let mesh = &ring(triangles).mesh;
    let facets: Vec<Facet> = (0..mesh.triangles.len())
        .map(|face| mesh.corners(face).map(|p| [p.x as f32, p.y as f32, p.z as f32]))
        .collect();
    bencher.counter(ItemsCount::new(triangles)).bench(|| merge_exact(black_box(&facets)));
}

/// A hollow ring of about so many triangles, made once.
fn ring(triangles: usize) -> &'static Solid {
    static RINGS: Mutex<BTreeMap<usize, &'static Solid>> = Mutex::new(BTreeMap::new());
    let mut rings = RINGS.lock().unwrap_or_else(|poisoned| poisoned.into_inner());
    rings.entry(triangles).or_insert_with(|| {
        let steps = (triangles as f64 / 8.0).sqrt() as u32;
        let shell = |tube_mm| solids::torus(Point::origin(), 100.0, tube_mm, 2 * steps, steps);
        Box::leak(Box::new(Solid::from_stock(solids::hollow(&shell(40.0), &shell(36.0)))))
    })
}

fn rod_channel() -> Channel {
    let line = vec![Point::new(-100.0, -30.0, -8.0), Point::new(90.0, 25.0, 12.0)];
    let shape = SectionShape::Round { diameter_mm: 8.4, sides: 64 };
    Channel::new(line, shape, [End::Open, End::Open]).expect("two points apart and a diameter")
}

fn oblique(offset_mm: f64) -> Plane {
    Plane::new(Vector::new(0.3, 0.9, 0.25), offset_mm).expect("four finite numbers and a direction")
}

/// All pieces. The middle cut comes first, both sides go on in parallel.
fn parted(solid: &Solid, offsets_mm: &[f64]) -> Vec<Solid> {
    let middle = offsets_mm.len() / 2;
    let Some(&offset_mm) = offsets_mm.get(middle) else { return vec![solid.clone()] };
    let (lower, upper) = (&offsets_mm[..middle], &offsets_mm[middle + 1..]);
    match cut(solid, &oblique(offset_mm), middle as u32, &Progress::new()) {
        Ok(CutOutcome::Parted(sides)) => {
            let go_on =
                |side: Solid, offsets: &[f64]| if offsets.is_empty() { vec![side] } else { parted(&side, offsets) };
            let sides = *sides;
            let (mut pieces, above) = rayon::join(|| go_on(sides.below, lower), || go_on(sides.above, upper));
            pieces.extend(above);
            pieces
        }
        outcome => panic!("every plane of the bench parts the ring: {outcome:?}"),
    }
}
