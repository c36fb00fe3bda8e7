//! The search over all rotations against chance, with local descent, and against itself.

use super::beds::other_bed;
use super::limit::{assert_decided_or_near, grown};
use super::*;

/// How far a body of these points is from fitting in a plain room under a rotation: the slack.
fn slack(points: &[Point], rotation: &UnitQuaternion<f64>, room: [f64; 3]) -> f64 {
    let size = Bounds::of(points.iter().map(|p| rotation * p)).unwrap().size();
    (0..3).map(|k| room[k] - size[k]).fold(f64::INFINITY, f64::min)
}

/// Climbs from a rotation by small turns about the axes, an independent and simple method.
fn climbed(points: &[Point], mut rotation: UnitQuaternion<f64>, room: [f64; 3]) -> f64 {
    let (mut best, mut step) = (slack(points, &rotation, room), 0.2);
    while step > 1e-6 {
        let turns = (0..6).map(|k| Vector::ith(k / 2, if k % 2 == 0 { step } else { -step }));
        let tried = turns.map(|turn| {
            let turned = UnitQuaternion::from_scaled_axis(turn) * rotation;
            (slack(points, &turned, room), turned)
        });
        match tried.max_by(|a, b| a.0.total_cmp(&b.0)) {
            Some((better, turned)) if better > best => (best, rotation) = (better, turned),
            _ => step /= 2.0,
        }
    }
    best
}

/// Rotations spread evenly (K. Shoemake, *Uniform random rotations*, Graphics Gems III, 1992), always the same ones.
fn rotations(count: u32) -> impl Iterator<Item = UnitQuaternion<f64>> {
    // A Weyl sequence of three irrational steps fills the cube evenly.
    let step = |k: u32, root: f64| (f64::from(k) * root.sqrt()).fract();
    (1..=count).map(move |k| {
        let (u, a, b) = (step(k, 2.0), step(k, 3.0) * 2.0 * PI, step(k, 5.0) * 2.0 * PI);
        let (p, q) = ((1.0 - u).sqrt(), u.sqrt());
        UnitQuaternion::new_normalize(nalgebra::Quaternion::new(p * a.sin(), p * a.cos(), q * b.sin(), q * b.cos()))
    })
}

fn assert_not_contradicted(points: &[Point], bed: &Bed, answer: &Fit) {
    let room = bed.room_mm();
    let at_most = match answer.reason {
        Reason::OutOfPatience { at_most_mm, .. } => at_most_mm,
        _ if answer.verdict == Verdict::TooBig => -ROUNDING_MM,
        _ => return,
    };
    let mut all: Vec<(f64, UnitQuaternion<f64>)> = rotations(10_000).map(|r| (slack(points, &r, room), r)).collect();
    all.sort_by(|a, b| b.0.total_cmp(&a.0));
    for (found, rotation) in all.iter().take(20) {
        assert!(*found <= at_most + 1e-9, "{found} of {answer:?}");
        let found = climbed(points, *rotation, room);
        assert!(found <= at_most + 1e-9, "{found} after a climb, of {answer:?}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn too_big_is_not_contradicted_by_ten_thousand_rotations_with_climbs(points in cloud(), bed in bed()) {
        let points = crate::Hull::of(&points).vertices;
        let answer = sound_fit(&points, &bed, Search::AnyPose);
        assert_not_contradicted(&points, &bed, &answer);
    }

    #[test]
    fn any_pose_does_not_depend_on_the_pose_beforehand(
        points in cloud(), bed in bed(), turn in [-3.2..3.2, -3.2..3.2, -3.2..3.2],
    ) {
        let before = sound_fit(&points, &bed, Search::AnyPose).verdict;
        let after = sound_fit(&moved(&points, &Motion::rotation(Vector::from(turn))), &bed, Search::AnyPose).verdict;
        if before != Verdict::Undecided && after != Verdict::Undecided {
            prop_assert_eq!(before.fits(), after.fits());
        }
    }

    #[test]
    fn a_larger_bed_never_turns_yes_into_no_in_any_pose(points in cloud(), bed in bed(), grow in 0.0_f64..9.0) {
        let [x_mm, y_mm] = bed.size_mm().map(|side| side + grow);
        let larger = Bed { outline: Outline::Rectangle { x_mm, y_mm }, height_mm: bed.height_mm + grow, ..bed.clone() };
        if fit(&points, &bed, Search::AnyPose).verdict.fits() {
            prop_assert_ne!(fit(&points, &larger, Search::AnyPose).verdict, Verdict::TooBig);
        }
    }
}

#[test]
fn a_body_made_to_fit_is_found_to_fit_and_one_a_fifth_of_a_millimetre_larger_is_decided() {
    // A box turned askew just fits its own room; nothing does that is longer or thicker than it in every direction.
    for (x, y, z) in [(180.0, 120.0, 60.0), (200.0, 30.0, 30.0), (150.0, 150.0, 20.0)] {
        let block = moved(&cuboid(x, y, z), &askew());
        let room = |less: f64| Bed::rectangle(x - less, y - less, z - less);
        assert!(any_pose(&block, &room(0.0)).fits(), "{x} × {y} × {z}");
        assert_eq!(any_pose(&block, &room(0.2)), Verdict::TooBig, "{x} × {y} × {z}");
    }
}

/// The largest flat of the hull on which it stands in the bed, by turning it onto each and asking about turns alone.
fn largest_standing(points: &[Point], bed: &Bed) -> Option<f64> {
    let stands = |flat: &crate::Flat| {
        let rotation = UnitQuaternion::rotation_between(&flat.normal, &-Vector::z())
            .unwrap_or_else(|| UnitQuaternion::from_scaled_axis(Vector::x() * PI));
        let laid: Vec<Point> = points.iter().map(|p| rotation * p).collect();
        fit(&laid, bed, Search::Turned).verdict.fits()
    };
    crate::Hull::of(points).flats().iter().find(|flat| stands(flat)).map(|flat| flat.area_mm2)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    #[test]
    fn a_flat_on_the_bed_comes_before_a_free_tilt(points in cloud(), shape in [0.8_f64..1.6, 0.8..1.6], spare in -9.0_f64..3.0) {
        // A bed near to what it needs as it stands, so that many poses fit and many do not.
        let size = Bounds::of(points.iter().copied()).unwrap().size();
        prop_assume!(size.min() > 12.0);
        let bed = Bed::rectangle(size.x * shape[0] + spare, size.y / shape[0] * shape[1] + spare, size.z / shape[1] + spare);
        let answer = sound_fit(&points, &bed, Search::AnyPose);
        match answer.reason {
            // Rounding may decide otherwise where it only just stands.
            Reason::TiltsFreely => {
                let larger = grown(&bed, -1e-3).unwrap();
                prop_assert_eq!(largest_standing(&points, &larger), None);
            }
            Reason::StandsOnFlat { area_mm2 } => {
                let largest = largest_standing(&points, &grown(&bed, 1e-3).unwrap()).unwrap();
                prop_assert!(area_mm2 <= largest * (1.0 + 1e-6));
                let pose = answer.pose.unwrap();
                let on_bed = points.iter().filter(|p| (pose * *p).z < bed.raft_mm + 1e-6).count();
                prop_assert!(on_bed >= 3, "it stands on {on_bed} points");
            }
            _ => {}
        }
    }
}

/// How far a body sticks out at best, from random rotations and places with a climb by small turns and moves: it knows
/// nothing of the search, and only what sticking out means, which is tested by itself.
fn climbed_out(points: &[Point], bed: &Bed, rotation: UnitQuaternion<f64>) -> f64 {
    let [low, high] = bed.extent_mm();
    let at = |rotation: &UnitQuaternion<f64>, place: [f64; 2]| {
        let bounds = Bounds::of(points.iter().map(|p| rotation * p)).unwrap();
        let centre = bounds.centre();
        let shift = Vector::new(place[0] - centre.x, place[1] - centre.y, bed.raft_mm - bounds.min.z);
        sticks_out_mm(points, &Motion::from_parts(shift.into(), *rotation), bed)
    };
    let middle = [(low[0] + high[0]) / 2.0, (low[1] + high[1]) / 2.0];
    let (mut rotation, mut place, mut step) = (rotation, middle, 0.3);
    let mut best = at(&rotation, place);
    while step > 1e-4 && best > ROUNDING_MM {
        let turns = (0..6).map(|k| Vector::ith(k / 2, if k % 2 == 0 { step } else { -step }));
        let turned = turns.map(|turn| (UnitQuaternion::from_scaled_axis(turn) * rotation, place));
        let moves = [[1.0, 0.0], [-1.0, 0.0], [0.0, 1.0], [0.0, -1.0]];
        let moved = moves.map(|m| (rotation, [place[0] + m[0] * step * 60.0, place[1] + m[1] * step * 60.0]));
        let tried = turned.chain(moved).map(|(r, p)| (at(&r, p), r, p)).min_by(|a, b| a.0.total_cmp(&b.0));
        match tried {
            Some((less, r, p)) if less < best => (best, rotation, place) = (less, r, p),
            _ => step /= 2.0,
        }
    }
    best
}

proptest! {
    // Where turns have to be searched for in every attitude, a verdict takes seconds.
    #![proptest_config(ProptestConfig::with_cases(2))]

    #[test]
    fn too_big_for_other_beds_is_not_contradicted_by_climbs(points in cloud(), bed in other_bed()) {
        prop_assume!(bed.check().is_ok());
        let points = crate::Hull::of(&points).vertices;
        let answer = sound_fit(&points, &bed, Search::AnyPose);
        if answer.verdict == Verdict::TooBig {
            for rotation in rotations(150) {
                let out = climbed_out(&points, &bed, rotation);
                prop_assert!(out > ROUNDING_MM, "sticks out by {out} mm only, of {answer:?}");
            }
        }
    }

    #[test]
    fn any_pose_on_other_beds_does_not_depend_on_the_pose_beforehand(
        points in cloud(), bed in other_bed(), turn in [-3.2..3.2, -3.2..3.2, -3.2..3.2],
    ) {
        prop_assume!(bed.check().is_ok());
        let before = sound_fit(&points, &bed, Search::AnyPose).verdict;
        let after = sound_fit(&moved(&points, &Motion::rotation(Vector::from(turn))), &bed, Search::AnyPose).verdict;
        if before != Verdict::Undecided && after != Verdict::Undecided {
            prop_assert_eq!(before.fits(), after.fits());
        }
    }

    #[test]
    fn a_larger_bed_of_another_shape_never_turns_yes_into_no(points in cloud(), bed in other_bed(), grow in 0.0_f64..3.0) {
        prop_assume!(bed.check().is_ok());
        let Some(larger) = grown(&bed, grow) else { return Ok(()) };
        for search in [Search::AsItStands, Search::Turned, Search::AnyPose] {
            if fit(&points, &bed, search).verdict.fits() {
                let answer = fit(&points, &larger, search);
                prop_assert_ne!(answer.verdict, Verdict::TooBig);
                assert_decided_or_near(&answer);
            }
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(12))]

    #[test]
    fn a_bed_of_any_shape_made_to_fit_a_tilted_body_is_never_too_small_for_it(
        points in cloud(), bed in other_bed(), turn in [-3.2..3.2, -3.2..3.2, -3.2..3.2],
    ) {
        prop_assume!(bed.check().is_ok());
        let tilted = moved(&points, &Motion::rotation(Vector::from(turn)));
        let slack_mm = fit(&tilted, &bed, Search::Turned).slack_mm;
        let Some(just) = grown(&bed, 0.05 - slack_mm) else { return Ok(()) };
        if fit(&tilted, &just, Search::Turned).verdict.fits() {
            prop_assert_ne!(sound_fit(&points, &just, Search::AnyPose).verdict, Verdict::TooBig);
        }
    }
}
