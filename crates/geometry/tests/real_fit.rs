//! Fit of meshes made by others: every answer sound, the live answer that of the true half.
//!
//! The folder is named by `SEAMWRIGHT_MESHES`. Each mesh is scaled to a diagonal of 400 mm, so that beds of the sizes
//! that are sold give answers of every kind.

use seamwright_geometry::exchange::read_stl;
use seamwright_geometry::{
    Bed, HalfSupport, Hull, Mesh, Motion, Plane, Point, Progress, ROUNDING_MM, Search, Side, Vector, Verdict, fit,
    sticks_out_mm,
};
use std::time::Instant;

fn meshes() -> Vec<(String, Mesh)> {
    let Some(folder) = std::env::var_os("SEAMWRIGHT_MESHES") else {
        eprintln!("SKIPPED: SEAMWRIGHT_MESHES names no folder of meshes, so nothing was held against real ones");
        return Vec::new();
    };
    let mut paths: Vec<_> = std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    paths.sort();
    let is_stl = |p: &std::path::PathBuf| p.extension().is_some_and(|e| e.eq_ignore_ascii_case("stl"));
    let mut meshes = Vec::new();
    for path in paths.into_iter().filter(is_stl) {
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        match read_stl(&path, &Progress::new()) {
            Ok(read) => meshes.push((name, scaled(read.mesh))),
            Err(error) => eprintln!("not read: {error}"),
        }
    }
    assert!(meshes.len() >= 10, "the folder holds few meshes: {}", meshes.len());
    meshes
}

fn scaled(mut mesh: Mesh) -> Mesh {
    let factor = 400.0 / mesh.bounds().unwrap().diagonal();
    mesh.vertices.iter_mut().for_each(|p| p.coords *= factor);
    mesh
}

fn beds() -> [Bed; 4] {
    let margins = Bed { margin_mm: 4.0, raft_mm: 1.0, ..Bed::rectangle(220.0, 220.0, 250.0) };
    [
        margins,
        Bed::rectangle(120.0, 120.0, 120.0),
        Bed::rectangle(300.0, 150.0, 100.0),
        Bed::rectangle(256.0, 256.0, 256.0),
    ]
}

/// Points of both halves, in the plainest way.
fn brute_halves(mesh: &Mesh, plane: &Plane) -> [Vec<Point>; 2] {
    let mut halves = [Vec::new(), Vec::new()];
    for t in 0..mesh.triangles.len() {
        let corners = mesh.corners(t);
        for k in 0..3 {
            let (p, q) = (corners[k], corners[(k + 1) % 3]);
            let (h, i) = (plane.distance_mm(&p), plane.distance_mm(&q));
            halves[usize::from(h >= 0.0)].push(p);
            if (h >= 0.0) != (i >= 0.0) {
                let crossing = p + (q - p) * (h / (h - i));
                halves.iter_mut().for_each(|half| half.push(crossing));
            }
        }
    }
    halves
}

#[test]
fn every_answer_on_real_meshes_is_sound() {
    let turns: Vec<Motion> = (0..300_u32)
        .map(|k| {
            let k = f64::from(k);
            Motion::rotation(Vector::new((k * 1.37).sin(), (k * 2.11).cos(), (k * 0.73).sin()) * (k * 0.61))
        })
        .collect();
    for (name, mesh) in meshes() {
        let hull = Hull::of(&mesh.vertices);
        for bed in beds() {
            let begun = Instant::now();
            let answer = fit(&hull.vertices, &bed, Search::AnyPose);
            let took = begun.elapsed();
            eprintln!(
                "{name} in {:?}: {} ({}), slack {:.2} mm, {took:.0?}",
                bed.room_mm(),
                answer.verdict,
                answer.reason,
                answer.slack_mm
            );
            if let Some(pose) = answer.pose {
                let out = sticks_out_mm(&mesh.vertices, &pose, &bed);
                assert!(out <= ROUNDING_MM, "{name}: sticks out by {out} mm");
            }
            if answer.verdict == Verdict::TooBig {
                for turn in &turns {
                    let turned = hull.vertices.iter().map(|p| turn * p);
                    let size = seamwright_geometry::Bounds::of(turned).unwrap().size();
                    let room = bed.room_mm();
                    assert!((0..3).any(|k| size[k] > room[k] + ROUNDING_MM), "{name}: said to be too big, yet fits");
                }
            }
            let less = fit(&mesh.vertices, &bed, Search::Turned);
            assert!(!less.verdict.fits() || answer.verdict == less.verdict, "{name}");
        }
    }
}

#[test]
fn live_answers_on_real_meshes_are_those_of_the_true_halves() {
    for (name, mesh) in meshes() {
        let support = HalfSupport::build(&mesh, &Progress::new()).unwrap();
        let middle = mesh.bounds().unwrap().centre();
        for normal in [Vector::z(), Vector::new(0.3, -0.5, 0.7), Vector::new(-0.8, 0.1, 0.2)] {
            let plane = Plane::through(middle, normal).unwrap();
            let halves = support.split(&plane);
            for (side, brute) in [Side::Below, Side::Above].into_iter().zip(brute_halves(&mesh, &plane)) {
                for bed in beds() {
                    let live = halves.fit(side, &bed, Search::Turned).unwrap();
                    let truth = fit(&brute, &bed, Search::Turned);
                    if live.verdict == Verdict::AsItStands || truth.verdict == Verdict::AsItStands {
                        assert_eq!(live.verdict, truth.verdict, "{name}");
                    }
                    let gain = live.slack_mm - truth.slack_mm;
                    assert!(gain > -1e-9 && gain < live.error_mm + 1e-9, "{name}: {live:?} for {truth:?}");
                }
            }
        }
    }
}
