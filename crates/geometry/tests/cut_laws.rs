//! Laws of the cut, on solids with known measures and on random ones.

#[path = "common/random.rs"]
mod random;

use std::collections::BTreeMap;
use std::f64::consts::PI;

use proptest::prelude::*;
use random::{lattice, solid};
use seamwright_geometry::{
    CutOutcome, Mesh, Parted, Plane, Point, Progress, Side, Solid, Vector, bodies, cut, edge_report, section, solids,
};

fn plane(normal: [f64; 3], offset: f64) -> Plane {
    Plane::new(Vector::from(normal), offset).unwrap()
}

fn parted(mesh: Mesh, plane: &Plane) -> Parted {
    match cut(&Solid::from_stock(mesh), plane, 7, &Progress::new()).unwrap() {
        CutOutcome::Parted(parted) => *parted,
        outcome => panic!("the plane parts nothing: {outcome:?}"),
    }
}

/// Every law that holds for any cut of a closed solid.
fn check_laws(whole: &Mesh, plane: &Plane, parted: &Parted) {
    assert!(parted.left_open.is_empty(), "left open at {:?}", parted.left_open);
    for (solid, side) in [(&parted.below, Side::Below), (&parted.above, Side::Above)] {
        check_solid(solid);
        assert!(solid.origins.iter().all(|o| o.cap_side().is_none_or(|s| s == side)), "a cap of the other side");
        let reach = 2.0 * solid.resolution.on_plane_mm;
        for p in &solid.mesh.vertices {
            let d = plane.distance_mm(p);
            assert!(
                if side == Side::Below { d <= reach } else { d >= -reach },
                "{p} is {d} mm off on the {side:?} side"
            );
        }
    }
    let scale = whole.bounds().unwrap().diagonal();
    let volume = parted.below.mesh.volume_mm3() + parted.above.mesh.volume_mm3();
    assert!((volume - whole.volume_mm3()).abs() <= 1e-9 * scale.powi(3), "{volume} is not {}", whole.volume_mm3());
    let area =
        parted.below.mesh.area_mm2() + parted.above.mesh.area_mm2() - cap_area(&parted.below) - cap_area(&parted.above);
    assert!((area - whole.area_mm2()).abs() <= 1e-9 * scale.powi(2), "walls {area} are not {}", whole.area_mm2());
    assert_eq!(cap_faces(&parted.below, false), cap_faces(&parted.above, true), "the caps of the seam differ");
}

fn check_solid(solid: &Solid) {
    assert_eq!(solid.mesh.triangles.len(), solid.origins.len());
    assert!(!solid.mesh.triangles.is_empty());
    assert!(edge_report(&solid.mesh).closed(), "open: {:?}", edge_report(&solid.mesh));
    let mut used = vec![false; solid.mesh.vertices.len()];
    for t in &solid.mesh.triangles {
        assert!(t[0] != t[1] && t[1] != t[2] && t[2] != t[0], "collapsed face {t:?}");
        t.iter().for_each(|&v| used[v as usize] = true);
    }
    assert!(used.iter().all(|u| *u), "vertices that no face uses");
}

fn cap_area(solid: &Solid) -> f64 {
    caps(solid).map(|[a, b, c]| (b - a).cross(&(c - a)).norm() / 2.0).sum()
}

fn caps(solid: &Solid) -> impl Iterator<Item = [Point; 3]> + '_ {
    let is_cap = |t: &usize| solid.origins[*t].cap_label() == Some(7);
    (0..solid.mesh.triangles.len()).filter(is_cap).map(|t| solid.mesh.corners(t))
}

/// The cap faces by the exact bits of their corners, turned round if asked.
fn cap_faces(solid: &Solid, turned: bool) -> BTreeMap<Vec<[u64; 3]>, usize> {
    let mut faces = BTreeMap::new();
    for [a, b, c] in caps(solid) {
        let mut corners: Vec<[u64; 3]> =
            if turned { [a, c, b] } else { [a, b, c] }.map(|p| [p.x, p.y, p.z].map(f64::to_bits)).to_vec();
        let first = (0..3).min_by_key(|&i| corners[i]).unwrap();
        corners.rotate_left(first);
        *faces.entry(corners).or_default() += 1;
    }
    faces
}

fn cut_and_check(mesh: Mesh, plane: &Plane) -> Parted {
    let parted = parted(mesh.clone(), plane);
    check_laws(&mesh, plane, &parted);
    parted
}

#[test]
fn box_cut_at_many_angles_has_the_volume_of_the_formula() {
    let cube = solids::cuboid(Point::new(0.0, 0.0, 0.0), Point::new(40.0, 30.0, 20.0));
    // Planes that cross all four upright edges: the volume below is the base times the height over its middle.
    for (nx, ny) in [(0.0, 0.0), (0.1, 0.0), (0.0, -0.2), (0.11, 0.07), (-0.15, 0.12)] {
        let height = |x: f64, y: f64| 10.0 - nx * x - ny * y;
        let p = Plane::through(Point::new(0.0, 0.0, 10.0), Vector::new(nx, ny, 1.0)).unwrap();
        let parted = cut_and_check(cube.clone(), &p);
        let expected = 40.0 * 30.0 * height(20.0, 15.0);
        assert!((parted.below.mesh.volume_mm3() - expected).abs() < 1e-9 * expected);
        let area = 40.0 * 30.0 * (1.0 + nx * nx + ny * ny).sqrt();
        assert!((parted.cap_area_mm2 - area).abs() < 1e-9 * area, "{} is not {area}", parted.cap_area_mm2);
        assert!((section(&Solid::from_stock(cube.clone()), &p).area_mm2() - area).abs() < 1e-9 * area);
    }
}

#[test]
fn corner_of_a_box_is_a_tetrahedron() {
    let cube = solids::cuboid(Point::new(0.0, 0.0, 0.0), Point::new(10.0, 10.0, 10.0));
    let parted = cut_and_check(cube, &plane([1.0, 1.0, 1.0], 6.0));
    assert!((parted.below.mesh.volume_mm3() - 36.0).abs() < 1e-9);
    assert!((parted.cap_area_mm2 - 6.0 * 6.0 * 3f64.sqrt() / 2.0).abs() < 1e-9);
}

#[test]
fn sphere_caps_converge_to_the_formula_with_resolution() {
    let (r, h) = (50.0, 20.0);
    let volume = PI * h * h * (3.0 * r - h) / 3.0;
    let area = PI * (r * r - (r - h) * (r - h));
    let mut errors = Vec::new();
    for divisions in [8, 16, 32, 64] {
        let sphere = solids::sphere(Point::origin(), r, divisions);
        let parted = cut_and_check(sphere, &plane([0.36, 0.48, 0.8], r - h));
        errors.push((
            (parted.above.mesh.volume_mm3() - volume).abs() / volume,
            (parted.cap_area_mm2 - area).abs() / area,
        ));
    }
    for pair in errors.windows(2) {
        // Chords leave an error of second order: half the edge length, a quarter of the error.
        assert!(pair[1].0 < pair[0].0 * 0.35 && pair[1].1 < pair[0].1 * 0.5, "{errors:?}");
    }
    assert!(errors[3].0 < 2e-3 && errors[3].1 < 2e-3, "{errors:?}");
}

#[test]
fn torus_cut_across_its_axis_has_a_cap_with_a_hole() {
    let torus = solids::torus(Point::origin(), 30.0, 10.0, 96, 48);
    let p = plane([0.0, 0.0, 1.0], 0.0);
    let parted = cut_and_check(torus.clone(), &p);
    let area = PI * (40.0 * 40.0 - 20.0 * 20.0);
    assert!((parted.cap_area_mm2 - area).abs() < 2e-3 * area, "{} is not about {area}", parted.cap_area_mm2);
    let section = section(&Solid::from_stock(torus.clone()), &p);
    assert_eq!(section.loops.len(), 2);
    assert_eq!(section.loops.iter().filter(|l| l.is_hole()).count(), 1);
    assert_eq!(bodies(parted.below).len(), 1);

    let parted = cut_and_check(torus, &plane([1.0, 0.0, 0.0], 0.0));
    assert!((parted.cap_area_mm2 - 2.0 * PI * 100.0).abs() < 5e-3 * 2.0 * PI * 100.0);
    let above_high = cut_and_check(solids::torus(Point::origin(), 30.0, 10.0, 96, 48), &plane([1.0, 0.0, 0.0], 25.0));
    assert_eq!(bodies(above_high.above).len(), 1);
    assert_eq!(bodies(above_high.below).len(), 1);
}

#[test]
fn hollow_sphere_stays_hollow() {
    let outer = solids::sphere(Point::origin(), 50.0, 24);
    let inner = solids::sphere(Point::origin(), 46.0, 24);
    let (vo, vi) = (outer.volume_mm3(), inner.volume_mm3());
    let hollow = solids::hollow(&outer, &inner);
    let p = plane([0.2, -0.3, 0.9], 4.0);
    let parted = cut_and_check(hollow.clone(), &p);
    let both = parted.below.mesh.volume_mm3() + parted.above.mesh.volume_mm3();
    assert!((both - (vo - vi)).abs() < 1e-9 * vo);
    let area = |mesh: &Mesh| section(&Solid::from_stock(mesh.clone()), &p).area_mm2();
    assert!((parted.cap_area_mm2 - (area(&outer) - area(&inner))).abs() < 1e-9 * parted.cap_area_mm2);
    assert_eq!(bodies(Solid::from_stock(hollow.clone())).len(), 1, "a cavity belongs to the solid around it");
    let clear_of_cavity = cut_and_check(hollow, &plane([0.0, 0.0, 1.0], 48.0));
    assert_eq!(bodies(clear_of_cavity.below).len(), 1);
}

#[test]
fn what_begins_in_the_material_belongs_to_it_and_what_lies_in_a_cavity_does_not() {
    let ball = |x: f64, r: f64| solids::sphere(Point::new(x, 0.0, 0.0), r, 8);
    let count = |parts: &[&Mesh]| bodies(Solid::from_stock(solids::joined(parts))).len();
    let hollow = solids::hollow(&ball(0.0, 30.0), &ball(0.0, 20.0));
    assert_eq!(count(&[&hollow]), 1);
    assert_eq!(count(&[&hollow, &ball(0.0, 5.0)]), 2, "a ball free in a cavity");
    assert_eq!(count(&[&hollow, &ball(25.0, 2.0)]), 1, "a ball within the wall");
    assert_eq!(count(&[&ball(0.0, 10.0), &ball(12.0, 10.0)]), 1, "two balls that cross");
    assert_eq!(count(&[&ball(0.0, 10.0), &ball(30.0, 10.0)]), 2, "two balls apart");
    let mut torn = solids::inverted(&ball(0.0, 20.0));
    torn.triangles.truncate(torn.triangles.len() - 9);
    assert_eq!(count(&[&ball(0.0, 30.0), &torn]), 1, "a torn cavity stays with its shell");
    let many: Vec<Mesh> = (0..300).map(|i| ball(f64::from(i) * 3.0, 1.0)).collect();
    assert_eq!(count(&many.iter().collect::<Vec<_>>()), 300);
}

#[test]
fn legs_below_a_cut_are_separate_bodies() {
    let legs: Vec<Mesh> =
        [0.0, 30.0, 60.0].map(|x| solids::cuboid(Point::new(x, 0.0, 0.0), Point::new(x + 10.0, 10.0, 40.0))).into();
    let all = solids::joined(&legs.iter().collect::<Vec<_>>());
    let parted = cut_and_check(all, &plane([0.0, 0.1, 1.0], 20.0));
    assert_eq!(bodies(parted.below.clone()).len(), 3);
    let back: f64 = bodies(parted.below.clone()).iter().map(|b| b.mesh.volume_mm3()).sum();
    assert!((back - parted.below.mesh.volume_mm3()).abs() < 1e-9);
}

#[test]
fn planes_through_faces_edges_and_vertices_are_ordinary() {
    let grid = solids::grid_box(Point::new(-2.0, -2.0, -2.0), Point::new(2.0, 2.0, 2.0), [4, 4, 4]);
    for normal in
        [[1.0, 0.0, 0.0], [0.0, 0.0, 1.0], [1.0, 1.0, 0.0], [1.0, 0.0, -1.0], [1.0, 1.0, 1.0], [1.0, -2.0, 1.0]]
    {
        for offset in [-1.0, 0.0, 1.0] {
            let p = Plane::through(Point::new(offset, 0.0, 0.0), Vector::from(normal)).unwrap();
            if Vector::from(normal).x != 0.0 || offset == 0.0 {
                cut_and_check(grid.clone(), &p);
            }
        }
    }
}

#[test]
fn a_plane_in_a_face_of_a_box_misses_it() {
    let cube = Solid::from_stock(solids::cuboid(Point::origin(), Point::new(1.0, 1.0, 1.0)));
    let side = |offset: f64| match cut(&cube, &plane([0.0, 0.0, 1.0], offset), 1, &Progress::new()).unwrap() {
        CutOutcome::Missed(side) => Some(side),
        _ => None,
    };
    assert_eq!(
        (side(1.0), side(0.0), side(2.0), side(-1.0)),
        (Some(Side::Below), Some(Side::Above), Some(Side::Below), Some(Side::Above))
    );
}

#[test]
fn steps_with_a_tread_in_the_plane_fall_to_the_side_they_face_away_from() {
    // An L: the tread of the low step lies in the plane and belongs to the lower piece.
    let tall = solids::cuboid(Point::new(0.0, 0.0, 0.0), Point::new(1.0, 1.0, 2.0));
    let low = solids::cuboid(Point::new(1.0, 0.0, 0.0), Point::new(2.0, 1.0, 1.0));
    let steps = solids::joined(&[&tall, &low]);
    let parted = cut_and_check(steps, &plane([0.0, 0.0, 1.0], 1.0));
    assert!((parted.below.mesh.volume_mm3() - 2.0).abs() < 1e-12);
    assert!((parted.above.mesh.volume_mm3() - 1.0).abs() < 1e-12);
    assert!((parted.cap_area_mm2 - 1.0).abs() < 1e-12);
}

#[test]
fn overlapping_shells_are_capped_each_by_itself() {
    let a = solids::sphere(Point::new(-10.0, 0.0, 0.0), 20.0, 12);
    let b = solids::sphere(Point::new(10.0, 0.0, 0.0), 20.0, 12);
    let inside = solids::sphere(Point::new(-12.0, 0.0, 0.0), 5.0, 6);
    for mesh in [solids::joined(&[&a, &b]), solids::joined(&[&a, &inside]), solids::joined(&[&a, &b, &inside])] {
        cut_and_check(mesh, &plane([0.1, 0.2, 0.97], 1.0));
    }
}

#[test]
fn inverted_shells_are_cut_too() {
    let a = solids::inverted(&solids::sphere(Point::new(-10.0, 0.0, 0.0), 20.0, 12));
    let b = solids::sphere(Point::new(40.0, 0.0, 0.0), 20.0, 12);
    for mesh in [a.clone(), solids::joined(&[&a, &b])] {
        cut_and_check(mesh, &plane([0.1, 0.2, 0.97], 1.0));
    }
}

#[test]
fn a_shell_that_passes_through_itself_keeps_every_wall_closed() {
    // A tube bent into itself: its section is an outline that crosses itself.
    let torus = solids::torus(Point::origin(), 10.0, 14.0, 64, 32);
    for normal in [[0.0, 0.0, 1.0], [0.3, 0.1, 1.0], [1.0, 0.2, 0.1], [0.0, 1.0, 0.0]] {
        for offset in [0.0, 1.3, 4.0] {
            cut_and_check(torus.clone(), &plane(normal, offset));
        }
    }
}

#[test]
fn open_shell_is_cut_and_its_open_places_are_told() {
    let mut sphere = solids::sphere(Point::origin(), 20.0, 12);
    sphere.triangles.retain(|t| !t.iter().any(|&v| sphere.vertices[v as usize].x > 18.0));
    let parted = parted(sphere, &plane([0.0, 0.1, 1.0], 0.5));
    assert_eq!(parted.left_open.len(), 2);
}

fn planes_for(mesh: &Mesh, pick: [prop::sample::Index; 3], kind: u8, n: [f64; 3], d: f64) -> Option<Plane> {
    let v = pick.map(|i| mesh.vertices[i.index(mesh.vertices.len())]);
    match kind {
        0 => Plane::new(Vector::from(n), d).ok(),
        1 => Plane::through(v[0], Vector::from(n)).ok(),
        2 => Plane::through(v[0], (v[1] - v[0]).cross(&(v[2] - v[0]))).ok(),
        _ => Plane::through(v[0], Vector::ith((d.abs() as usize) % 3, 1.0)).ok(),
    }
}

fn cases() -> u32 {
    std::env::var("SEAMWRIGHT_CASES").ok().and_then(|n| n.parse().ok()).unwrap_or(500)
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(cases()) })]

    #[test]
    fn any_plane_through_any_solid_keeps_the_laws(
        mesh in prop_oneof![solid(), lattice()], pick: [prop::sample::Index; 3], kind in 0..4u8,
        n in prop::array::uniform3(-1.0..1.0f64), d in -20.0..20.0f64,
    ) {
        if let Some(plane) = planes_for(&mesh, pick, kind, n, d)
            && let CutOutcome::Parted(parted) = cut(&Solid::from_stock(mesh.clone()), &plane, 7, &Progress::new()).unwrap()
        {
            check_laws(&mesh, &plane, &parted);
        }
    }

    #[test]
    fn any_triangles_at_all_give_an_answer(
        corners in prop::collection::vec(prop::array::uniform3(-3..3i32), 0..60), pick: [prop::sample::Index; 3], kind in 0..4u8,
        n in prop::array::uniform3(-1.0..1.0f64), d in -3.0..3.0f64, jitter in 0.0..1e-7f64,
    ) {
        let vertices: Vec<Point> = (-3..3).flat_map(|x| (-3..3).flat_map(move |y| (-3..3).map(move |z|
            Point::new(f64::from(x) + jitter * f64::from(y), f64::from(y), f64::from(z) - jitter * f64::from(x))))).collect();
        let number = |c: &[i32; 3]| ((c[0] + 3) * 36 + (c[1] + 3) * 6 + c[2] + 3) as u32;
        let triangles: Vec<[u32; 3]> = corners.chunks_exact(3).map(|c| [number(&c[0]), number(&c[1]), number(&c[2])]).collect();
        let mesh = Mesh { vertices, triangles };
        if let Some(plane) = planes_for(&mesh, pick, kind, n, d)
            && let CutOutcome::Parted(parted) = cut(&Solid::from_stock(mesh), &plane, 7, &Progress::new()).unwrap()
        {
            prop_assert_eq!(cap_faces(&parted.below, false), cap_faces(&parted.above, true));
        }
    }
}
