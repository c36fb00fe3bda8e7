//! How long a cut along a profile takes beside one by a plane.

use std::time::Instant;

use seamwright_geometry::{
    CutOutcome, CutSurface, Plane, Point, Profile, Progress, Solid, Vector, part, profile_line, solids, surface_outline,
};

#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

fn main() {
    let normal = Vector::new(0.3, 0.2, 0.93);
    let plane = Plane::through(Point::origin(), normal).unwrap();
    let points = profile_line::zigzag(20.0, 12.0, 4).unwrap();
    let zigzag = Profile::new(Point::origin(), Vector::x(), normal, points).unwrap();
    let dense = profile_line::wave(14.0, 8.0, 6).unwrap();
    let wave = Profile::new(Point::origin(), Vector::x(), normal, dense).unwrap();
    println!("zigzag of {} points, wave of {} points", zigzag.points().len(), wave.points().len());
    for divisions in [71, 224, 447] {
        let solid = Solid::from_stock(solids::sphere(Point::origin(), 50.0, divisions));
        let surfaces =
            [CutSurface::Plane(plane), CutSurface::Profile(zigzag.clone()), CutSurface::Profile(wave.clone())];
        for (name, surface) in ["plane", "zigzag", "wave"].into_iter().zip(&surfaces) {
            let best = |work: &dyn Fn()| {
                let time = || {
                    let start = Instant::now();
                    work();
                    start.elapsed().as_secs_f64() * 1e3
                };
                (0..7).map(|_| time()).fold(f64::INFINITY, f64::min)
            };
            let cut = best(&|| {
                let outcome = part(&solid, surface, 0.0, 1, &Progress::new()).unwrap();
                assert!(matches!(outcome, CutOutcome::Parted(_)));
            });
            let outline = best(&|| assert!(!surface_outline(&solid, surface).is_empty()));
            println!("{:>9} faces, {name:>6}: cut {cut:7.1} ms, outline {outline:7.1} ms", solid.mesh.triangles.len());
        }
    }
}
