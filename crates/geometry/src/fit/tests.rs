//! Analytic cases and laws. Beds of other shapes are in `beds`, the search against chance in `laws`.

mod beds;
mod laws;
mod limit;

use super::*;
use crate::{Bounds, Motion, Outline, solids};
use proptest::prelude::*;
use std::f64::consts::{PI, SQRT_2};

fn cuboid(x: f64, y: f64, z: f64) -> Vec<Point> {
    solids::cuboid(Point::origin(), Point::new(x, y, z)).vertices
}

fn cube_room(side: f64) -> Bed {
    Bed::rectangle(side, side, side)
}

fn moved(points: &[Point], motion: &Motion) -> Vec<Point> {
    points.iter().map(|p| motion * p).collect()
}

fn askew() -> Motion {
    Motion::new(Vector::new(7.0, -3.0, 20.0), Vector::new(0.7, -1.1, 0.4))
}

/// The law of every answer: a pose exactly when it fits, and then inside the bed and resting on the raft.
fn assert_sound(points: &[Point], bed: &Bed, answer: &Fit) {
    assert_eq!(answer.verdict.fits(), answer.pose.is_some());
    let Some(pose) = answer.pose.or(answer.excess.as_ref().map(|e| e.pose)) else { return };
    let placed = Bounds::of(moved(points, &pose)).unwrap();
    for k in 0..3 {
        assert!((placed.size()[k] - answer.sizes_mm[k]).abs() < 1e-9);
    }
    assert!((placed.min.z - bed.raft_mm).abs() < 1e-9);
    let spare = |k: usize| bed.room_mm()[k] - placed.size()[k];
    let slack = if bed.is_plain() { spare(0).min(spare(1)).min(spare(2)) } else { answer.slack_mm.min(spare(2)) };
    assert!((slack - answer.slack_mm).abs() < 1e-9, "slack {slack} told as {}", answer.slack_mm);
    assert_ne!(answer.verdict.fits(), answer.excess.is_some());
    if answer.verdict.fits() {
        assert!(sticks_out_mm(points, &pose, bed) <= ROUNDING_MM, "{answer:?}");
    }
    if let Some(excess) = &answer.excess {
        assert!((excess.mm + answer.slack_mm).abs() < 1e-9);
        let sticks_out = match excess.axis {
            Axis::Across => excess.mm,
            axis => -spare(axis as usize),
        };
        assert!((sticks_out - excess.mm).abs() < 1e-9);
        if (spare(2) - answer.slack_mm).abs() > 1e-9 {
            assert_eq!(excess.axis == Axis::Across, !bed.is_plain());
        }
    }
}

fn sound_fit(points: &[Point], bed: &Bed, search: Search) -> Fit {
    let answer = fit(points, bed, search);
    assert_sound(points, bed, &answer);
    answer
}

fn any_pose(points: &[Point], bed: &Bed) -> Verdict {
    sound_fit(points, bed, Search::AnyPose).verdict
}

#[test]
fn a_cube_of_the_size_of_the_room_fits_as_it_stands() {
    let answer = sound_fit(&cuboid(220.0, 220.0, 250.0), &Bed::rectangle(220.0, 220.0, 250.0), Search::Turned);
    assert_eq!((answer.verdict, answer.slack_mm), (Verdict::AsItStands, 0.0));
    assert_eq!(answer.pose, Some(Motion::identity()));
}

#[test]
fn margins_and_raft_take_their_share() {
    let bed = Bed { margin_mm: 5.0, raft_mm: 2.0, ..Bed::rectangle(100.0, 80.0, 60.0) };
    let answer = sound_fit(&cuboid(90.0, 70.0, 58.0), &bed, Search::AsItStands);
    assert_eq!(answer.verdict, Verdict::AsItStands);
    assert_eq!(answer.pose, Some(Motion::translation(5.0, 5.0, 2.0)));
    let answer = sound_fit(&cuboid(90.0, 70.0, 58.1), &bed, Search::Turned);
    assert_eq!((answer.verdict, answer.reason), (Verdict::TooBig, Reason::NoTurn));
    let excess = answer.excess.unwrap();
    assert_eq!(excess.axis, Axis::Height);
    assert!((excess.mm - 0.1).abs() < 1e-9);
}

#[test]
fn rounding_of_32_bit_coordinates_does_not_refuse() {
    let (low, high) = (f64::from(-512.1_f32), f64::from(-292.1_f32));
    let points = solids::cuboid(Point::new(low, low, low), Point::new(high, high, high)).vertices;
    assert_ne!(high - low, 220.0);
    assert_eq!(sound_fit(&points, &cube_room(220.0), Search::AsItStands).verdict, Verdict::AsItStands);
    assert_eq!(sound_fit(&cuboid(220.001, 1.0, 1.0), &cube_room(220.0), Search::AsItStands).verdict, Verdict::TooBig);
}

#[test]
fn nothing_nonsense_and_a_bed_without_room_are_undecided_and_say_so() {
    let bed = cube_room(10.0);
    assert_eq!(sound_fit(&[], &bed, Search::AnyPose).reason, Reason::Nothing);
    assert_eq!(sound_fit(&[Point::new(f64::NAN, 0.0, 0.0)], &bed, Search::AnyPose).reason, Reason::NotFinite);
    let none = fit(&cuboid(1.0, 1.0, 1.0), &Bed { margin_mm: 5.0, ..bed }, Search::AnyPose);
    assert!(matches!(none.reason, Reason::Bed(_)));
    assert_eq!(none.verdict, Verdict::Undecided);
}

#[test]
fn one_point_a_segment_and_a_triangle_are_placed() {
    let bed = cube_room(10.0);
    assert_eq!(any_pose(&[Point::new(500.0, 0.0, 0.0)], &bed), Verdict::AsItStands);
    let diagonal = 10.0 * 3.0_f64.sqrt();
    let segment = |length: f64| [Point::origin(), Point::new(length, 0.0, 0.0)];
    assert_eq!(any_pose(&segment(diagonal - 0.01), &bed), Verdict::Tilted);
    assert_eq!(any_pose(&segment(diagonal + 0.01), &bed), Verdict::TooBig);
    // The largest equilateral triangle in a cube has its corners on three of the cube's: side √2.
    let triangle = |side: f64| {
        moved(
            &[Point::origin(), Point::new(side, 0.0, 0.0), Point::new(side / 2.0, side * 0.75_f64.sqrt(), 0.0)],
            &askew(),
        )
    };
    assert_eq!(any_pose(&triangle(10.0 * SQRT_2 - 0.02), &bed), Verdict::Tilted);
    assert_eq!(any_pose(&triangle(10.0 * SQRT_2 + 0.02), &bed), Verdict::TooBig);
}

#[test]
fn the_largest_square_in_a_cube_has_a_side_of_three_quarters_root_two() {
    // Published (Prince Rupert's cube, Nieuwland; IBM Research, Ponder This, May 2007).
    let square = |side: f64| moved(&cuboid(side, side, 0.0), &askew());
    let limit = 100.0 * 0.75 * SQRT_2;
    assert_eq!(any_pose(&square(limit - 0.05), &cube_room(100.0)), Verdict::Tilted);
    assert_eq!(any_pose(&square(limit + 0.05), &cube_room(100.0)), Verdict::TooBig);
}

#[test]
fn a_regular_tetrahedron_of_edge_root_two_fits_the_unit_cube_and_no_larger_one_does() {
    let corners = [[0., 0., 0.], [1., 1., 0.], [1., 0., 1.], [0., 1., 1.]];
    let tetrahedron = |scale: f64| moved(&corners.map(|c| Point::from(c) * scale), &askew());
    assert_eq!(any_pose(&tetrahedron(99.95), &cube_room(100.0)), Verdict::Tilted);
    assert_eq!(any_pose(&tetrahedron(100.05), &cube_room(100.0)), Verdict::TooBig);
}

#[test]
fn an_askew_cube_fits_its_own_room_and_no_smaller_one() {
    let cube = moved(&cuboid(100.0, 100.0, 100.0), &askew());
    let answer = sound_fit(&cube, &cube_room(100.0), Search::AnyPose);
    assert_eq!(answer.verdict, Verdict::Tilted);
    assert!(matches!(answer.reason, Reason::StandsOnFlat { area_mm2 } if (area_mm2 - 1e4).abs() < 1e-6));
    let answer = sound_fit(&cube, &cube_room(99.9), Search::AnyPose);
    assert!(matches!(answer.reason, Reason::TooLong { .. }), "{:?}", answer.reason);
    assert!((answer.excess.unwrap().mm - 0.1).abs() < 1e-6);
}

/// The corners of a flat-ended cylinder circumscribed (`outer`) or inscribed about the true one.
fn rod(length: f64, radius: f64, outer: bool) -> Vec<Point> {
    const SIDES: u32 = 180;
    let radius = if outer { radius / (PI / f64::from(SIDES)).cos() } else { radius };
    let ring = |z: f64| {
        (0..SIDES).map(move |k| {
            let (s, c) = (f64::from(k) * 2.0 * PI / f64::from(SIDES)).sin_cos();
            Point::new(radius * c, radius * s, z)
        })
    };
    ring(0.0).chain(ring(length)).collect()
}

#[test]
fn the_longest_rod_in_a_cube_lies_on_its_diagonal() {
    // Closed form s√3 − 2√2·r: 318.126 mm for a cube of 200 mm and a radius of 10 mm.
    let limit = 200.0 * 3.0_f64.sqrt() - 2.0 * SQRT_2 * 10.0;
    let answer = sound_fit(&rod(limit - 0.1, 10.0, true), &cube_room(200.0), Search::AnyPose);
    assert_eq!((answer.verdict, answer.reason), (Verdict::Tilted, Reason::TiltsFreely));
    // A round body has its best poses all along a curve, which takes the search long to close. A rod that is so much too
    // long sticks out by 1/√3 of it along each axis: by 0.26 mm.
    assert_eq!(any_pose(&rod(limit + 0.45, 10.0, false), &cube_room(200.0)), Verdict::TooBig);
}

#[test]
fn the_longest_rod_in_a_long_room_is_known() {
    // 100 × 60 × 50 with radius 5: 114.684 mm (math.stackexchange 178895, and an optimiser).
    let bed = Bed::rectangle(100.0, 60.0, 50.0);
    assert_eq!(any_pose(&rod(114.684 - 0.1, 5.0, true), &bed), Verdict::Tilted);
    assert_eq!(any_pose(&rod(114.684 + 0.25, 5.0, false), &bed), Verdict::TooBig);
}

#[test]
fn a_disc_turns_in_no_room_narrower_than_itself() {
    let disc = rod(5.0, 50.0, true);
    let outer = 100.0 / (PI / 180.0).cos();
    assert!(sound_fit(&disc, &Bed::rectangle(outer, outer, 5.0), Search::Turned).verdict.fits());
    let inscribed = rod(5.0, 50.0, false);
    assert_eq!(sound_fit(&inscribed, &Bed::rectangle(99.9, 120.0, 5.0), Search::Turned).verdict, Verdict::TooBig);
}

#[test]
fn a_slab_stands_on_its_edge_where_the_bed_is_narrow() {
    let slab = cuboid(90.0, 90.0, 5.0);
    let bed = Bed::rectangle(100.0, 20.0, 100.0);
    let answer = sound_fit(&slab, &bed, Search::AnyPose);
    assert!(matches!(answer.reason, Reason::StandsOnFlat { .. }), "{:?}", answer.reason);
    let down = [Vector::zeros(), Vector::new(0.0, 9.0, 0.0)];
    let answer = fit_preferring(&slab, &bed, Search::AnyPose, &down, &Progress::new()).unwrap();
    assert_sound(&slab, &bed, &answer);
    assert_eq!(answer.reason, Reason::StandsOnGiven { index: 1 });
    assert!((answer.pose.unwrap() * Vector::y() + Vector::z()).norm() < 1e-12);
}

#[test]
fn a_sphere_is_refused_by_its_least_width_and_accepted_by_its_diameter() {
    let sphere = solids::sphere(Point::origin(), 50.0, 30).vertices;
    assert_eq!(any_pose(&sphere, &cube_room(100.0)), Verdict::AsItStands);
    let answer = sound_fit(&sphere, &Bed::rectangle(300.0, 300.0, 98.0), Search::AnyPose);
    assert_eq!(answer.verdict, Verdict::TooBig);
    assert!(matches!(answer.reason, Reason::TooThick { .. }), "{:?}", answer.reason);
}

#[test]
fn a_large_flat_ring_is_decided_quickly_by_its_hull() {
    let ring = solids::torus(Point::origin(), 100.0, 10.0, 400, 60).vertices;
    assert_eq!(any_pose(&moved(&ring, &askew()), &cube_room(200.0)), Verdict::Tilted);
    assert_eq!(any_pose(&ring, &cube_room(150.0)), Verdict::TooBig);
}

fn cloud() -> impl Strategy<Value = Vec<Point>> {
    prop::collection::vec([-50.0_f64..50.0, -30.0_f64..30.0, -20.0_f64..20.0], 1..30)
        .prop_map(|all| all.into_iter().map(Point::from).collect())
}

fn bed() -> impl Strategy<Value = Bed> {
    [40.0_f64..140.0, 40.0_f64..140.0, 10.0_f64..100.0, 0.0_f64..5.0, 0.0_f64..3.0]
        .prop_map(|[x, y, z, margin_mm, raft_mm]| Bed { margin_mm, raft_mm, ..Bed::rectangle(x, y, z) })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn every_answer_is_sound(points in cloud(), bed in bed()) {
        for search in [Search::AsItStands, Search::Turned] {
            sound_fit(&points, &bed, search);
        }
    }

    #[test]
    fn a_turn_beforehand_changes_no_verdict_over_all_turns(points in cloud(), bed in bed(), turn_rad in -4.0..4.0) {
        let before = sound_fit(&points, &bed, Search::Turned);
        let turned = moved(&points, &Motion::rotation(Vector::z() * turn_rad));
        let after = sound_fit(&turned, &bed, Search::Turned);
        prop_assume!((before.slack_mm + ROUNDING_MM).abs() > 1e-9);
        prop_assert_eq!(before.verdict.fits(), after.verdict.fits());
        if !before.verdict.fits() {
            prop_assert!((before.slack_mm - after.slack_mm).abs() < 1e-8);
        }
    }

    #[test]
    fn a_larger_bed_never_turns_yes_into_no(
        points in cloud(), bed in bed(), grow in [0.0_f64..9.0, 0.0_f64..9.0, 0.0_f64..9.0],
    ) {
        let [x_mm, y_mm] = bed.size_mm();
        let larger = Bed {
            outline: Outline::Rectangle { x_mm: x_mm + grow[0], y_mm: y_mm + grow[1] },
            height_mm: bed.height_mm + grow[2],
            ..bed.clone()
        };
        for search in [Search::AsItStands, Search::Turned] {
            if fit(&points, &bed, search).verdict.fits() {
                prop_assert!(fit(&points, &larger, search).verdict.fits());
            }
        }
    }

    #[test]
    fn the_hull_has_the_verdict_of_the_points(points in cloud(), bed in bed()) {
        let (of_points, of_hull) =
            (fit(&points, &bed, Search::Turned), fit(&crate::Hull::of(&points).vertices, &bed, Search::Turned));
        prop_assert_eq!(of_points.verdict, of_hull.verdict);
        prop_assert!((of_points.slack_mm - of_hull.slack_mm).abs() < 1e-9);
    }
}
