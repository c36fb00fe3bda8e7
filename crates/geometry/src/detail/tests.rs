use super::*;
use crate::{Mesh, Motion, Vector, solids};

fn details_of(mesh: &Mesh) -> Vec<Detail> {
    let solid = Solid::from_stock(mesh.clone());
    let support = SectionSupport::build(&solid, &Progress::new()).unwrap();
    details(&solid, &support, &Progress::new()).unwrap()
}

fn has(found: &[Detail], kind: DetailKind, normal: Vector, offset_mm: f64) -> bool {
    let is_there = |detail: &&Detail| {
        let plane = if detail.plane.normal().dot(&normal) < 0.0 { detail.plane.flipped() } else { detail.plane };
        detail.kind == kind && plane.normal().dot(&normal) > 0.9999 && (plane.offset_mm() - offset_mm).abs() < 0.2
    };
    found.iter().any(|detail| is_there(&detail))
}

/// A turned body: radius over height, with a rim at both ends.
fn turned(outline: &[(f64, f64)], sides: u32) -> Mesh {
    let mut mesh = Mesh::default();
    for &(radius, z) in outline {
        for i in 0..sides {
            let angle = std::f64::consts::TAU * f64::from(i) / f64::from(sides);
            mesh.vertices.push(Point::new(radius * angle.cos(), radius * angle.sin(), z));
        }
    }
    for ring in 0..outline.len() as u32 - 1 {
        for i in 0..sides {
            let [a, b] = [i, (i + 1) % sides].map(|i| ring * sides + i);
            mesh.triangles.extend([[a, b, b + sides], [a, b + sides, a + sides]]);
        }
    }
    let last = (outline.len() as u32 - 1) * sides;
    for i in 1..sides - 1 {
        mesh.triangles.extend([[0, i + 1, i], [last, last + i, last + i + 1]]);
    }
    mesh
}

#[test]
fn the_sides_and_the_mirrors_of_a_box_are_found() {
    let found = details_of(&solids::cuboid(Point::new(0.0, 0.0, 0.0), Point::new(60.0, 100.0, 30.0)));
    for (k, high) in [60.0, 100.0, 30.0].into_iter().enumerate() {
        let normal = Vector::ith(k, 1.0);
        for offset in [0.0, high] {
            assert!(has(&found, DetailKind::Flat, normal, offset), "side {k} at {offset}");
        }
        assert!(has(&found, DetailKind::Symmetry, normal, high / 2.0), "mirror {k}");
    }
}

#[test]
fn a_groove_round_a_slanted_body_is_found_where_it_is() {
    // A barrel with a groove at z = 22, leaning.
    let groove = [(40.0, 0.0), (44.0, 10.0), (45.0, 20.0), (42.5, 22.0), (45.0, 24.0), (44.0, 40.0), (38.0, 70.0)];
    let turn = Motion::rotation(Vector::new(0.3, 0.1, 0.0));
    let found = details_of(&turned(&groove, 120).transformed(&turn));
    let normal = turn * Vector::z();
    let along: Vec<&Detail> = found.iter().filter(|d| d.kind == DetailKind::Crease).collect();
    // The bottom of the groove, or one of its edges 2 mm beside.
    let off = |detail: &&Detail| {
        let plane = &detail.plane;
        let cos = plane.normal().dot(&normal);
        if cos.abs() > 0.9995 { (plane.offset_mm() * cos.signum() - 22.0).abs() } else { f64::INFINITY }
    };
    let nearest = along.iter().map(off).fold(f64::INFINITY, f64::min);
    assert!(nearest < 0.5, "{nearest}, {:?}", along.iter().map(|d| (d.plane, d.extent)).collect::<Vec<_>>());
    assert!(along.iter().all(|detail| detail.off_mm < 2.5));
}

#[test]
fn a_ball_has_no_creases_and_no_flat_faces_and_no_waist() {
    let found = details_of(&solids::sphere(Point::new(3.0, 2.0, 1.0), 40.0, 20));
    let kinds: Vec<DetailKind> =
        found.iter().map(|detail| detail.kind).filter(|k| *k != DetailKind::Symmetry).collect();
    assert_eq!(kinds, []);
}

#[test]
fn an_hourglass_is_narrowest_at_its_waist() {
    let outline: Vec<(f64, f64)> = (0..=60).map(f64::from).map(|z| (15.0 + (z - 37.0_f64).powi(2) / 60.0, z)).collect();
    let found = details_of(&turned(&outline, 64));
    assert!(has(&found, DetailKind::Narrowest, Vector::z(), 37.0));
}

#[test]
fn a_lopsided_body_has_no_mirror() {
    let box_of = |a: [f64; 3], b: [f64; 3]| solids::cuboid(Point::from(a), Point::from(b));
    let parts = [
        box_of([0.0, 0.0, 0.0], [80.0, 20.0, 20.0]),
        box_of([0.0, 25.0, 0.0], [20.0, 70.0, 30.0]),
        box_of([60.0, 25.0, 25.0], [75.0, 33.0, 70.0]),
    ];
    let found = details_of(&solids::joined(&[&parts[0], &parts[1], &parts[2]]));
    assert!(!found.iter().any(|detail| detail.kind == DetailKind::Symmetry));
}

#[test]
fn a_plane_is_drawn_to_the_nearest_detail_and_keeps_its_side() {
    let found = details_of(&solids::cuboid(Point::new(0.0, 0.0, 0.0), Point::new(60.0, 100.0, 30.0)));
    let pull = Pull { off_mm: 2.0, turn_deg: 4.0 };
    let at = |normal: Vector, place: Point| {
        let plane = Plane::through(place, normal).unwrap();
        drawn_to(&found, &plane, &place, pull).map(|(detail, plane)| (detail.kind, plane))
    };
    let (kind, plane) = at(Vector::new(0.01, -1.0, 0.02), Point::new(30.0, 51.0, 15.0)).unwrap();
    assert_eq!(kind, DetailKind::Symmetry);
    assert!((plane.normal() + Vector::y()).norm() < 0.01 && (plane.offset_mm() + 50.0).abs() < 0.1);
    assert_eq!(at(Vector::y(), Point::new(30.0, 54.0, 15.0)), None, "too far");
    assert_eq!(at(Vector::new(0.2, 1.0, 0.0), Point::new(30.0, 50.0, 15.0)), None, "too slanted");
}

#[test]
fn nothing_and_places_that_are_no_numbers_have_no_details() {
    assert_eq!(details_of(&Mesh::default()), []);
    let mut mesh = solids::cuboid(Point::new(0.0, 0.0, 0.0), Point::new(60.0, 100.0, 30.0));
    mesh.vertices[3].x = f64::NAN;
    let _ = details_of(&mesh);
}
