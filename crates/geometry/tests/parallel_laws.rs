//! Many parallel planes in one pass against the same planes one after another: the same solids.

mod common;
#[path = "common/random.rs"]
mod random;

use std::cell::Cell;
use std::collections::BTreeMap;

use proptest::prelude::*;
use proptest::test_runner::TestRunner;
use random::{lattice, solid};
use seamwright_geometry::{
    Cancelled, CutOutcome, FaceOrigin, Mesh, Plane, Point, Progress, Side, Solid, Vector, cut, cut_parallel,
    edge_report, solids,
};

/// By one plane after another, lowest first.
fn one_by_one(solid: &Solid, planes: &[(Plane, u32)]) -> Vec<Solid> {
    let (mut pieces, mut rest) = (Vec::new(), solid.clone());
    for (plane, label) in planes {
        match cut(&rest, plane, *label, &Progress::new()).unwrap() {
            CutOutcome::Missed(Side::Below) => break,
            CutOutcome::Parted(parted) => {
                pieces.push(parted.below);
                rest = parted.above;
            }
            _ => {}
        }
    }
    pieces.push(rest);
    pieces
}

/// Every middle plane first.
fn halving(solid: &Solid, planes: &[(Plane, u32)]) -> Vec<Solid> {
    let Some((plane, label)) = planes.get(planes.len() / 2) else { return vec![solid.clone()] };
    let (lower, upper) = (&planes[..planes.len() / 2], &planes[planes.len() / 2 + 1..]);
    match cut(solid, plane, *label, &Progress::new()).unwrap() {
        CutOutcome::Missed(Side::Below) => halving(solid, lower),
        CutOutcome::Missed(Side::Above) => halving(solid, upper),
        CutOutcome::Parted(parted) => [halving(&parted.below, lower), halving(&parted.above, upper)].concat(),
        CutOutcome::Unreached { .. } => unreachable!("only finite planes leave what they cross"),
    }
}

/// The faces with their origins by the exact bits of their corners, the lowest corner first; and the vertices alike.
type Places = (BTreeMap<([[u64; 3]; 3], FaceOrigin), usize>, BTreeMap<[u64; 3], usize>);

fn places(solid: &Solid) -> Places {
    let bits = |p: Point| [p.x, p.y, p.z].map(f64::to_bits);
    let (mut faces, mut vertices) = (BTreeMap::new(), BTreeMap::new());
    for (t, origin) in solid.origins.iter().enumerate() {
        let mut corners = solid.mesh.corners(t).map(bits);
        let first = (0..3).min_by_key(|&i| corners[i]).unwrap();
        corners.rotate_left(first);
        *faces.entry((corners, *origin)).or_default() += 1;
    }
    solid.mesh.vertices.iter().for_each(|p| *vertices.entry(bits(*p)).or_default() += 1);
    (faces, vertices)
}

/// The same faces may hang together otherwise; whether every edge has its partner tells.
fn check_same(whole: &Solid, planes: &[(Plane, u32)], pieces: &[Solid]) {
    for expected in [one_by_one(whole, planes), halving(whole, planes)] {
        assert_eq!(pieces.len(), expected.len(), "pieces");
        for (piece, expected) in pieces.iter().zip(&expected) {
            assert_eq!(piece.mesh.triangles.len(), piece.origins.len());
            assert_eq!(piece.resolution, expected.resolution);
            assert!(places(piece) == places(expected), "not the same faces and vertices");
            assert_eq!(edge_report(&piece.mesh).closed(), edge_report(&expected.mesh).closed());
        }
    }
}

fn check_whole(whole: &Solid, pieces: &[Solid]) {
    assert!(pieces.iter().all(|piece| edge_report(&piece.mesh).closed()), "a piece is open");
    let volume: f64 = pieces.iter().map(|piece| piece.mesh.volume_mm3()).sum();
    let scale = whole.mesh.bounds().unwrap().diagonal();
    assert!((volume - whole.mesh.volume_mm3()).abs() <= 1e-9 * scale.powi(3), "{volume}");
}

/// Labels that do not rise with the planes.
fn labelled(planes: impl IntoIterator<Item = Plane>) -> Vec<(Plane, u32)> {
    planes.into_iter().zip([40, 3, 7, 1, 90, 12, 5, 60].into_iter().cycle()).collect()
}

fn spread(mesh: &Mesh, normal: Vector, count: usize) -> Vec<(Plane, u32)> {
    let along = |p: &Point| Plane::through(*p, normal).unwrap().offset_mm();
    let offsets = mesh.vertices.iter().map(along);
    let (low, high) = offsets.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), d| (low.min(d), high.max(d)));
    let unit = Plane::new(normal, 0.0).unwrap().normal();
    labelled((1..=count).map(|i| Plane::new(unit, low + (high - low) * i as f64 / (count + 1) as f64).unwrap()))
}

#[test]
fn planes_through_a_ball_give_the_pieces_of_the_formula() {
    let ball = Solid::from_stock(solids::sphere(Point::origin(), 50.0, 64));
    let planes = spread(&ball.mesh, Vector::new(0.3, 0.9, 0.25), 8);
    let pieces = cut_parallel(&ball, &planes, &Progress::new()).unwrap().unwrap();
    assert_eq!(pieces.len(), 9);
    check_whole(&ball, &pieces);
    check_same(&ball, &planes, &pieces);
    for (i, (piece, pair)) in pieces[1..8].iter().zip(planes.windows(2)).enumerate() {
        assert_eq!(piece.caps().len(), 2, "piece {i}");
        // Between two planes: the integral of π (r² − z²).
        let integral = |z: f64| std::f64::consts::PI * (50.0 * 50.0 * z - z.powi(3) / 3.0);
        let expected = integral(pair[1].0.offset_mm()) - integral(pair[0].0.offset_mm());
        assert!((piece.mesh.volume_mm3() / expected - 1.0).abs() < 2e-3, "piece {i}");
    }
}

#[test]
fn slabs_with_nothing_in_them_give_no_piece() {
    let ball = |z: f64| solids::sphere(Point::new(0.0, 0.0, z), 5.0, 8);
    let two = Solid::from_stock(solids::joined(&[&ball(0.0), &ball(30.0)]));
    let at = |z: f64| Plane::new(Vector::z(), z).unwrap();
    let planes = labelled([-20.0, -1.5, 10.0, 15.0, 31.5, 35.5, 60.0].map(at));
    let pieces = cut_parallel(&two, &planes, &Progress::new()).unwrap().unwrap();
    assert_eq!(pieces.len(), 4);
    check_same(&two, &planes, &pieces);
}

#[test]
fn what_cannot_be_done_at_once_is_left_to_one_after_another() {
    let ball = Solid::from_stock(solids::sphere(Point::origin(), 50.0, 16));
    let cube = Solid::from_stock(solids::cuboid(Point::origin(), Point::new(10.0, 10.0, 10.0)));
    let up = |z: f64| Plane::new(Vector::z(), z).unwrap();
    let is_left = |solid: &Solid, planes: &[Plane]| {
        cut_parallel(solid, &labelled(planes.iter().copied()), &Progress::new()).unwrap().is_none()
    };
    assert!(!is_left(&ball, &[up(-20.0), up(20.0)]));
    assert!(is_left(&ball, &[]));
    assert!(is_left(&ball, &[up(20.0), up(-20.0)]), "falling");
    assert!(is_left(&ball, &[up(20.0), up(20.0)]), "the same");
    assert!(is_left(&ball, &[up(20.0), up(20.0 + 3.0 * ball.resolution.on_plane_mm)]), "too close");
    assert!(is_left(&ball, &[up(-20.0), Plane::new(Vector::new(0.0, 1e-9, 1.0), 20.0).unwrap()]), "not parallel");
    assert!(is_left(&ball, &(0..128).map(|i| up(f64::from(i))).collect::<Vec<_>>()), "too many");
    assert!(!is_left(&cube, &[up(5.0), up(20.0)]));
    assert!(is_left(&cube, &[up(3.0), up(7.0)]), "faces that cross both");
    let mut astray = ball.clone();
    astray.mesh.vertices[3].x = f64::NAN;
    assert!(is_left(&astray, &[up(-20.0), up(20.0)]), "a vertex nowhere");
    let bent = Solid::from_stock(solids::torus(Point::origin(), 10.0, 14.0, 64, 32));
    assert!(is_left(&bent, &[Plane::new(Vector::y(), 1.0).unwrap()]), "an outline that crosses itself");
    let mut open = ball.clone();
    open.mesh.triangles.truncate(open.mesh.triangles.len() / 2);
    open.origins.truncate(open.mesh.triangles.len());
    let across = Plane::new(Vector::new(1.0, 0.3, 0.2), 0.7).unwrap();
    assert!(is_left(&open, &[across]), "an open outline");
}

#[test]
fn it_can_be_cancelled() {
    let ball = Solid::from_stock(solids::sphere(Point::origin(), 50.0, 16));
    let progress = Progress::new();
    progress.cancel();
    assert!(matches!(cut_parallel(&ball, &spread(&ball.mesh, Vector::z(), 3), &progress), Err(Cancelled)));
}

fn cases() -> u32 {
    std::env::var("SEAMWRIGHT_CASES").ok().and_then(|n| n.parse().ok()).unwrap_or(500)
}

/// A normal of the kind asked for, and planes through vertices and elsewhere.
fn planes(mesh: &Mesh, kind: u8, n: [f64; 3], through: &[prop::sample::Index], free: &[f64]) -> Vec<(Plane, u32)> {
    let normal = match kind {
        0 => Vector::from(n),
        1 => Vector::ith((n[0].to_bits() % 3) as usize, 1.0),
        _ => Vector::from(n.map(|x| (x * 2.0).round())),
    };
    let Ok(unit) = Plane::new(normal, 0.0).map(|plane| plane.normal()) else { return Vec::new() };
    let at_vertex = through.iter().map(|i| unit.dot(&mesh.vertices[i.index(mesh.vertices.len())].coords));
    let reach = mesh.bounds().map_or(1.0, |bounds| bounds.diagonal());
    let centre = mesh.bounds().map_or(0.0, |bounds| unit.dot(&bounds.centre().coords));
    let mut offsets: Vec<f64> = at_vertex.chain(free.iter().map(|share| centre + share * reach)).collect();
    offsets.sort_by(f64::total_cmp);
    offsets.dedup_by(|a, b| (*a - *b).abs() < 1e-3);
    labelled(offsets.into_iter().map(|mm| Plane::new(unit, mm).unwrap()))
}

#[test]
fn any_parallel_planes_through_any_solid_give_what_one_after_another_gives() {
    let strategy = (
        prop_oneof![solid(), lattice()],
        0..3u8,
        prop::array::uniform3(-1.0..1.0f64),
        prop::collection::vec(any::<prop::sample::Index>(), 0..3),
        prop::collection::vec(-0.6..0.6f64, 0..4),
    );
    // How many were done at once, how many of these by several planes, and how many of them on vertices.
    let done = [Cell::new(0), Cell::new(0), Cell::new(0)];
    let config = ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(4 * cases()) };
    let law = |(mesh, kind, n, through, free): (Mesh, u8, [f64; 3], Vec<prop::sample::Index>, Vec<f64>)| {
        let planes = planes(&mesh, kind, n, &through, &free);
        let whole = Solid::from_stock(mesh);
        if let Some(pieces) = cut_parallel(&whole, &planes, &Progress::new()).unwrap() {
            check_whole(&whole, &pieces);
            check_same(&whole, &planes, &pieces);
            let counts = [true, pieces.len() > 2, pieces.len() > 2 && !through.is_empty()];
            done.iter().zip(counts).for_each(|(done, counts)| done.set(done.get() + u32::from(counts)));
        }
        Ok(())
    };
    TestRunner::new(config).run(&strategy, law).unwrap();
    let [all, several, on_vertices] = done.map(Cell::into_inner);
    eprintln!("{all} of {} at once, {several} into three or more, {on_vertices} of them on vertices", 4 * cases());
    assert!(
        several > cases() / 10 && on_vertices > cases() / 20,
        "{several}, {on_vertices}: hardly anything was tried"
    );
}

#[test]
fn real_meshes_are_parted_as_by_one_after_another() {
    let Some(meshes) = common::real_meshes() else { return };
    let (mut seen, mut done) = (0, 0);
    for (name, mesh) in meshes.filter(|(_, mesh)| !mesh.triangles.is_empty()) {
        let is_closed = edge_report(&mesh).closed();
        let whole = Solid::from_stock(mesh);
        for (normal, count) in [([0.3, 0.9, 0.25], 2), ([0.0, 0.0, 1.0], 4), ([1.0, -0.2, 0.4], 8)] {
            let planes = spread(&whole.mesh, Vector::from(normal), count);
            seen += 1;
            if let Some(pieces) = cut_parallel(&whole, &planes, &Progress::new()).unwrap() {
                eprintln!("{name}, {count} planes: {} pieces", pieces.len());
                check_same(&whole, &planes, &pieces);
                if is_closed {
                    check_whole(&whole, &pieces);
                }
                done += 1;
            }
        }
    }
    eprintln!("{done} of {seen} at once");
    assert!(done > 0, "none of {seen} was done at once");
}
