//! Rods through real meshes.

mod common;
#[path = "common/library.rs"]
mod library;

use std::time::{Duration, Instant};

use library::theirs;
use seamwright_geometry::bore::{BoreError, Channel, End, SectionShape, bore};
use seamwright_geometry::{Mesh, Point, Progress, Shells, Solid, Vector, edge_report};

/// Through the middle and beside it, along axes and across.
fn channels(mesh: &Mesh) -> Vec<Channel> {
    let Some(bounds) = mesh.bounds() else { return Vec::new() };
    let (size, middle) = (bounds.diagonal(), bounds.centre());
    let lines = [
        (Vector::x(), Vector::zeros()),
        (Vector::y(), Vector::new(0.07, 0.0, 0.05)),
        (Vector::z(), Vector::new(-0.03, 0.11, 0.0)),
        (Vector::new(0.5, -0.3, 0.8), Vector::new(0.02, 0.03, 0.01)),
    ];
    let channel = |(along, off): (Vector, Vector), end: End, share: f64| {
        let through = middle + off * size;
        let line = vec![through - along * (size / 8.0), through + along * (size / 8.0)];
        let shape = SectionShape::Round { diameter_mm: size * share, sides: 24 };
        Channel::new(line, shape, [End::Open, end]).unwrap()
    };
    let all = lines.into_iter().flat_map(|line| [(line, End::Open, 0.02), (line, End::At, 0.08)]);
    all.map(|(line, end, share)| channel(line, end, share)).collect()
}

/// Larger meshes take the library minutes without optimisation.
const MOST_FACES: usize = 20_000;

#[test]
fn rods_through_real_meshes_leave_closed_what_was_closed_and_take_away_what_a_boolean_does() {
    let Some(meshes) = common::real_meshes() else { return };
    let (mut bored_closed, mut compared, mut refused) = (0, 0, 0);
    for (name, mesh) in meshes {
        let solid = Solid::from_stock(mesh);
        let closed = edge_report(&solid.mesh).closed();
        let one_shell = Shells::of(&solid.mesh).count == 1;
        let library =
            (closed && one_shell && solid.mesh.triangles.len() <= MOST_FACES).then(|| theirs(&solid.mesh)).flatten();
        let mut slowest = Duration::ZERO;
        for channel in channels(&solid.mesh) {
            let begun = Instant::now();
            let bored = bore(&solid, &channel, 1, &Progress::new());
            slowest = slowest.max(begun.elapsed());
            let bored = match bored {
                Ok(bored) => bored,
                Err(BoreError::Open { at, .. }) => {
                    assert!(!closed, "{name}: closed, but said to be open at {at}");
                    refused += 1;
                    continue;
                }
                Err(error) => panic!("{name}: {error}"),
            };
            if !closed {
                continue;
            }
            assert!(edge_report(&bored.solid.mesh).closed(), "{name}: {:?}", edge_report(&bored.solid.mesh));
            bored_closed += 1;
            let scale = solid.mesh.bounds().map_or(1.0, |b| b.diagonal().powi(3));
            let less = solid.mesh.volume_mm3() - bored.solid.mesh.volume_mm3();
            assert!((less - bored.removed_mm3).abs() <= 1e-9 * scale, "{name}: {less} or {}", bored.removed_mm3);
            let tool = channel.meshes(&solid.mesh.bounds().unwrap()).remove(0);
            if let (Some(library), Some(tool)) = (&library, theirs(&tool)) {
                let expected = library.intersection(&tool).volume();
                // Where a surface crosses itself the library counts what it covers once.
                if !library.has_self_intersections() {
                    assert!((expected - less).abs() <= 1e-7 * scale, "{name}: {less} taken away, {expected} expected");
                    compared += 1;
                }
            }
            let place = bored.entries.first().map_or(Point::origin(), |entry| entry.middle);
            assert!(place.iter().all(|x| x.is_finite()), "{name}");
        }
        // Said, not asserted: where the library had to help, it shows.
        eprintln!("{name}, {} faces: {slowest:.2?} at most", solid.mesh.triangles.len());
    }
    eprintln!("{bored_closed} bores of closed meshes, {compared} compared, {refused} refused since open there");
    assert!(bored_closed > 20 && compared > 5);
}
