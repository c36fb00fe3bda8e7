//! A stance carries places and cuts as it says.

use proptest::prelude::*;
use seamwright_geometry::CutSurface;

use super::*;
use crate::cut_form::{CutProfile, Line};

fn stance() -> impl Strategy<Value = Stance> {
    let axis = prop::option::of(prop::sample::select(Axis::ALL.to_vec()));
    let somewhere =
        || prop::array::uniform3(-1.0..1.0f64).prop_filter("points somewhere", |d| Vector::from(*d).norm() > 0.1);
    let stance = (axis, prop::option::of(somewhere()), prop::option::of(somewhere()), -50.0..50.0f64);
    let stance = stance.prop_map(|(mirrored, down, along, foot)| match down {
        None => Stance { mirrored, ..Stance::default() },
        Some(_) => Stance { mirrored, down, along, foot },
    });
    stance.prop_filter("makes a turn", |stance| match (stance.down, stance.along) {
        (Some(down), Some(along)) => Vector::from(down).cross(&Vector::from(along)).norm() > 0.01,
        _ => true,
    })
}

fn model() -> [Point; 3] {
    [Point::new(3.0, 4.0, 5.0), Point::new(-30.0, 50.0, 7.0), Point::new(99.0, -12.0, -60.0)]
}

fn lowest(stance: &Stance, scale: f64) -> f64 {
    let turn = stance.turn(scale);
    model().iter().map(|p| turn.place(*p * scale).z).fold(f64::INFINITY, f64::min)
}

#[test]
fn the_face_that_was_picked_looks_down_and_the_lowest_place_lies_at_zero() {
    let as_made = Stance::default();
    for along in [None, Some([0.0, 1.0, 0.4])] {
        let stance = Stance { mirrored: Some(Axis::X), down: Some([0.3, -0.2, 0.7]), along, ..as_made };
        let picked = Vector::new(0.6, 0.0, 0.8);
        let in_model = stance.turn(1.0).back(picked);
        let next = stance.standing_on(picked, &mut model().into_iter());
        let turned = next.turn(1.0).direction(in_model);
        assert!((turned + Vector::z()).norm() < 1e-12, "{turned}");
        for scale in [1.0, 25.4] {
            assert!(lowest(&next, scale).abs() < 1e-11);
        }
    }
    let upside_down = as_made.standing_on(Vector::z(), &mut model().into_iter());
    assert!((upside_down.turn(1.0).direction(Vector::z()) + Vector::z()).norm() < 1e-12);
}

#[test]
fn a_quarter_turn_about_an_axis_takes_the_next_axis_to_the_one_after_it() {
    let as_made = Stance::default();
    for (axis, from, to) in
        [(Axis::X, Vector::y(), Vector::z()), (Axis::Y, Vector::z(), Vector::x()), (Axis::Z, Vector::x(), Vector::y())]
    {
        let turned = as_made.quarter_turned(axis, false, &mut model().into_iter());
        assert_eq!(turned.turn(1.0).direction(from), to);
        assert_eq!(lowest(&turned, 1.0), 0.0, "it stands on the bench");
        let back = turned.quarter_turned(axis, true, &mut model().into_iter());
        assert!(back.is_as_made(), "{back:?}");
    }
}

#[test]
fn mirroring_leaves_a_model_on_the_face_that_it_stands_on() {
    let stance = Stance::default().standing_on(Vector::new(0.6, 0.0, 0.8), &mut model().into_iter());
    for axis in Axis::ALL {
        let mirrored = stance.mirrored_along(Some(axis));
        assert!(lowest(&mirrored, 2.0).abs() < 1e-12, "{axis:?}");
        assert_eq!(mirrored.mirrored_along(None), stance);
    }
}

proptest! {
    #[test]
    fn four_quarter_turns_are_none(before in stance(), axis in prop::sample::select(Axis::ALL.to_vec())) {
        let turned = (0..4).fold(before, |now, _| now.quarter_turned(axis, false, &mut model().into_iter()));
        for v in [Vector::x(), Vector::y()] {
            let (a, b) = (before.turn(1.0).direction(v), turned.turn(1.0).direction(v));
            prop_assert!((a - b).norm() < 1e-8, "{a} {b}");
        }
        prop_assert_eq!(turned.turn(1.0).is_mirrored(), before.turn(1.0).is_mirrored());
    }

    #[test]
    fn a_place_goes_there_and_back(stance in stance(), p in prop::array::uniform3(-100.0..100.0f64)) {
        let (turn, p) = (stance.turn(3.0), Point::from(p));
        prop_assert!((turn.place_back(turn.place(p)) - p).norm() < 1e-11);
    }

    #[test]
    fn a_cut_stays_at_its_place_on_the_model(
        before in stance(), after in stance(), tilt_deg in prop::array::uniform2(-80.0..80.0f64),
        through_mm in prop::array::uniform3(-100.0..100.0f64), turn_deg in -180.0..180.0f64,
    ) {
        let plane = CutPlane { axis: Axis::Y, through_mm, tilt_deg };
        let line = Line::Drawn { points_mm: vec![[-20.0, 0.0], [0.0, 9.0], [25.0, -4.0]], smooth: false };
        let form = CutForm::Profile(CutProfile { line, turn_deg });
        let (from, to) = (before.turn(2.0), after.turn(2.0));
        let (next_plane, next_form) = follow(&plane, &form, &from, &to).unwrap();
        let (Ok(CutSurface::Profile(a)), Ok(CutSurface::Profile(b))) = (form.surface(&plane), next_form.surface(&next_plane))
        else { panic!("both are profiles") };
        for p in [[3.0, 4.0, 5.0], [-30.0, 50.0, 7.0], [99.0, -12.0, -60.0]] {
            let made = Point::from(p);
            let (seen, again) = (a.seen(&from.place(made)), b.seen(&to.place(made)));
            prop_assert!((seen[0] - again[0]).abs() + (seen[1] - again[1]).abs() < 1e-8, "{seen:?} {again:?}");
        }
    }
}
