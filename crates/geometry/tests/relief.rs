//! Room made in one solid for another: never narrower than asked for, hardly wider, and nothing else touched.

use std::collections::HashSet;

use proptest::prelude::*;
use seamwright_geometry::mend::NEW_FACE;
use seamwright_geometry::{
    Mesh, Motion, Point, Progress, ROOM_SHARE, ReliefError, Relieved, Vector, Which, crossings, edge_report, gaps,
    relieve, solids,
};

fn made(solid: &Mesh, other: &Mesh, clearance_mm: f64) -> Relieved {
    let made = relieve(solid, other, clearance_mm, &Progress::new()).unwrap();
    check(solid, other, clearance_mm, &made);
    made
}

/// What holds of every relief.
fn check(solid: &Mesh, other: &Mesh, clearance_mm: f64, made: &Relieved) {
    let report = made.report;
    assert!(edge_report(&made.mesh).closed());
    assert_eq!(made.mesh.triangles.len(), made.came_from.len());
    // The distance by other means: the two side by side cross nowhere, and have no gap below the clearance.
    let both = solids::joined(&[&made.mesh, other]);
    let shells = seamwright_geometry::Shells::of(&both);
    let first_of_other = shells.of_triangle[made.mesh.triangles.len()];
    let of_two = |shells: &[u32; 2]| (shells[0] < first_of_other) != (shells[1] < first_of_other);
    let met = crossings(&both, &Progress::new()).unwrap().by_shell(&shells);
    assert!(!met.iter().any(|pair| of_two(&pair.shells)), "they still meet");
    let near = gaps(&both, &shells, &met, clearance_mm * (1.0 - ROOM_SHARE), &Progress::new()).unwrap();
    assert!(!near.iter().any(|gap| of_two(&gap.shells)), "{near:?}");
    assert!(report.after_mm >= clearance_mm, "{report:?}");
    // Faces that were not touched are the same to the last bit.
    let faces = |mesh: &Mesh, t: usize| mesh.corners(t).map(|p| [p.x.to_bits(), p.y.to_bits(), p.z.to_bits()]);
    let turned = |[a, b, c]: [[u64; 3]; 3]| [[a, b, c], [b, c, a], [c, a, b]].into_iter().min().unwrap();
    let after: HashSet<_> = (0..made.mesh.triangles.len()).map(|t| turned(faces(&made.mesh, t))).collect();
    let before: HashSet<_> = (0..solid.triangles.len()).map(|t| turned(faces(solid, t))).collect();
    let box_of_other = other.bounds().unwrap();
    let far = report.farthest_mm + clearance_mm;
    for t in 0..solid.triangles.len() {
        let corners = solid.corners(t);
        let out = (0..3).any(|k| {
            corners.iter().all(|p| p[k] < box_of_other.min[k] - far)
                || corners.iter().all(|p| p[k] > box_of_other.max[k] + far)
        });
        assert!(!out || after.contains(&turned(faces(solid, t))), "face {t} far from the room was changed");
    }
    for (t, &from) in made.came_from.iter().enumerate() {
        assert!(from == NEW_FACE || (from as usize) < solid.triangles.len());
        assert!(report.removed_mm3 > 0.0 || before.contains(&turned(faces(&made.mesh, t))));
    }
    // Once more finds nothing to do.
    let again = relieve(&made.mesh, other, clearance_mm, &Progress::new()).unwrap();
    assert_eq!((again.report.removed_mm3, again.report.faces_added), (0.0, 0), "{:?}", again.report);
    assert_eq!(again.mesh, made.mesh);
}

fn block(low: [f64; 3], high: [f64; 3]) -> Mesh {
    solids::cuboid(Point::from(low), Point::from(high))
}

fn ball(x: f64, radius: f64, fine: u32) -> Mesh {
    solids::sphere(Point::new(x, 0.1, 0.2), radius, fine)
}

#[test]
fn a_rod_through_a_plate_gets_a_hole_of_its_own_shape() {
    let plate = solids::grid_box(Point::new(-20.0, -20.0, 0.0), Point::new(20.0, 20.0, 10.0), [8, 8, 2]);
    let rod = block([-3.0, -3.0, -30.0], [3.0, 3.0, 30.0]);
    let done = made(&plate, &rod, 0.5);
    // Mitres: the hole is a square of 7 mm, to within what is added for rounding.
    assert!((done.report.removed_mm3 - 490.0).abs() < 1e-2, "{:?}", done.report);
    assert!((done.report.after_mm - 0.5).abs() < 1e-4 && done.report.before_mm == 0.0);
    assert!((done.report.farthest_mm - 0.5 * 2.0_f64.sqrt()).abs() < 1e-3);
    assert_eq!(done.report.bodies, 1);
    // The other way round the rod falls in two.
    let other_way = made(&rod, &plate, 0.5);
    assert_eq!(other_way.report.bodies, 2);
    assert!((other_way.report.removed_mm3 - 36.0 * 11.0).abs() < 1e-2, "{:?}", other_way.report);
}

#[test]
fn a_ball_in_a_block_gets_a_room_as_round_as_itself() {
    let block = block([0.0, -20.0, -20.0], [30.0, 20.0, 20.0]);
    let (radius, clearance) = (10.0, 0.4);
    let done = made(&block, &solids::sphere(Point::origin(), radius, 16), clearance);
    assert!(done.report.farthest_mm <= 1.02 * clearance, "{:?}", done.report);
    // Half of the grown ball, of whose volume the faces lack 0.4 %.
    let half = 2.0 / 3.0 * std::f64::consts::PI * (radius + clearance).powi(3);
    assert!((done.report.removed_mm3 / half - 1.0).abs() < 0.005, "{} {half}", done.report.removed_mm3);
}

#[test]
fn a_tight_nest_is_loosened() {
    let bowl = solids::hollow(&ball(0.0, 12.0, 12), &ball(0.0, 10.05, 12));
    let yolk = ball(0.0, 10.0, 12);
    let done = made(&yolk, &bowl, 0.3);
    assert!(done.report.before_mm > 0.04 && done.report.before_mm < 0.06);
    let left = solids::sphere(Point::origin(), 9.75, 12).volume_mm3();
    assert!((done.mesh.volume_mm3() / left - 1.0).abs() < 0.002);
    // And the other way: the wall gets thinner from within, and stays a wall.
    let done = made(&bowl, &yolk, 0.3);
    let (outer, inner) = (ball(0.0, 12.0, 12).volume_mm3(), ball(0.0, 10.3, 12).volume_mm3());
    assert!((done.mesh.volume_mm3() / (outer - inner) - 1.0).abs() < 0.005);
    assert_eq!(done.report.bodies, 1);
}

#[test]
fn what_lies_wholly_within_gets_a_cavity() {
    let done = made(&ball(0.0, 20.0, 8), &block([-2.0, -2.0, -2.0], [2.0, 2.0, 2.0]), 0.5);
    assert!((done.report.removed_mm3 - 125.0).abs() < 1e-2, "{:?}", done.report);
    assert_eq!((done.report.before_mm, done.report.bodies), (0.0, 1));
}

#[test]
fn room_enough_is_left_as_it_is() {
    let (one, other) = (ball(0.0, 5.0, 5), ball(20.0, 5.0, 5));
    let done = made(&one, &other, 0.5);
    assert_eq!((done.mesh, done.report.removed_mm3), (one, 0.0));
    assert!(done.report.before_mm > 9.9 && done.report.before_mm < 10.5);
}

#[test]
fn blades_and_tips_are_kept_clear_of_too() {
    // A needle: four sides that meet in 3°, and a blade.
    let mut needle = block([-1.0, -1.0, 0.0], [1.0, 1.0, 40.0]);
    for p in &mut needle.vertices {
        if p.z > 1.0 {
            (p.x, p.y) = (p.x * 1e-3, p.y * 1e-3);
        }
    }
    let mut blade = block([-10.0, -1.0, 0.0], [10.0, 1.0, 30.0]);
    for p in &mut blade.vertices {
        if p.z > 1.0 {
            p.y *= 1e-3;
        }
    }
    let plate = block([-30.0, -30.0, 25.0], [30.0, 30.0, 50.0]);
    for sharp in [needle, blade] {
        let done = made(&plate, &sharp, 0.5);
        assert!(done.report.farthest_mm <= 2.0 * 0.5 * 1.001, "{:?}", done.report);
    }
}

#[test]
fn what_cannot_be_relieved_is_refused_with_the_way_out() {
    let (whole, mut open) = (ball(0.0, 5.0, 5), ball(3.0, 5.0, 5));
    open.triangles.pop();
    let try_ = |solid: &Mesh, other: &Mesh, mm: f64| relieve(solid, other, mm, &Progress::new()).unwrap_err();
    assert_eq!(try_(&open, &whole, 0.3), ReliefError::Open(Which::Relieved, 3));
    let refused = try_(&whole, &open, 0.3);
    assert_eq!(refused, ReliefError::Open(Which::Other, 3));
    assert!(refused.to_string().contains("fill its holes first"));
    assert_eq!(try_(&solids::inverted(&whole), &ball(3.0, 5.0, 5), 0.3), ReliefError::InsideOut(Which::Relieved));
    assert_eq!(try_(&ball(0.0, 2.0, 3), &whole, 0.3), ReliefError::NothingLeft);
    for clearance_mm in [0.0, -1.0, f64::NAN, f64::INFINITY] {
        assert!(matches!(try_(&whole, &whole, clearance_mm), ReliefError::Clearance(_)));
    }
    let stopped = Progress::new();
    stopped.cancel();
    assert!(matches!(relieve(&whole, &ball(3.0, 5.0, 5), 0.3, &stopped), Err(ReliefError::Cancelled(_))));
}

/// A ball whose vertices lie at these shares of its radius: tips and hollows.
fn rough(radius: f64, fine: u32, shares: &[f64]) -> Mesh {
    let mut ball = solids::sphere(Point::origin(), radius, fine);
    for (p, share) in ball.vertices.iter_mut().zip(shares.iter().cycle()) {
        p.coords *= *share;
    }
    ball
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(
        std::env::var("SEAMWRIGHT_CASES").ok().and_then(|n| n.parse().ok()).unwrap_or(16)
    ))]

    #[test]
    fn however_rough_the_other_is_its_room_is_as_wide_as_asked_for(
        shares in prop::collection::vec(0.6..1.4f64, 7..40),
        fine in 1..5u32,
        turn in prop::array::uniform3(-3.0..3.0f64),
        off in prop::array::uniform3(-9.0..9.0f64),
        clearance in 0.1..2.0f64,
    ) {
        let other = rough(8.0, fine, &shares).transformed(&Motion::new(Vector::from(off), Vector::from(turn)));
        let ring = solids::torus(Point::origin(), 10.0, 4.0, 20, 12);
        match relieve(&ring, &other, clearance, &Progress::new()) {
            Ok(done) => {
                check(&ring, &other, clearance, &done);
                prop_assert!(done.report.removed_mm3 >= 0.0 && done.report.bodies > 0);
            }
            Err(ReliefError::NothingLeft) => {}
            Err(other) => prop_assert!(false, "{other}"),
        }
    }
}
