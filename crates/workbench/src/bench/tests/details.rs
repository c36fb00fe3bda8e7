use std::sync::Arc;

use egui::{Modifiers, PointerButton};
use egui_kittest::Harness;
use seamwright_geometry::{Detail, DetailKind, Plane, Point, Vector};

use super::gestures::{Desk, cut_desk, drag, seen, view};
use crate::bench::handles::Handles;
use crate::bench::{CutInHand, detail_words};

fn detail(kind: DetailKind, normal: Vector, through: Point) -> Detail {
    let plane = Plane::through(through, normal).unwrap();
    Detail { plane, kind, off_mm: 0.4, extent: 100.0, places: vec![through, through + Vector::x()] }
}

/// A cube with a cut at 10 mm that may be drawn to these.
fn desk_with(details: Vec<Detail>) -> Harness<'static, Desk> {
    let mut h = cut_desk();
    h.state_mut().scene.details = Arc::new(details);
    h.run();
    h
}

fn cut(h: &Harness<'_, Desk>) -> CutInHand {
    h.state().scene.cut.unwrap()
}

/// Pulls the arrow up by this much.
fn pull(h: &mut Harness<'_, Desk>, mm: f64, modifiers: Modifiers) {
    let tip = Handles::of(&cut(h), &view(h), None).arrow.unwrap().above[1];
    let (from, to) = (seen(h, &tip), seen(h, &(tip + Vector::z() * mm)));
    drag(h, PointerButton::Primary, modifiers, from, to - from);
}

#[test]
fn a_cut_that_is_dragged_is_drawn_to_a_detail_and_let_go_on_it() {
    let slanted = Vector::new(0.02, 0.0, 1.0);
    let crease = || detail(DetailKind::Crease, slanted, Point::new(0.0, 0.0, 30.3));
    let mut h = desk_with(vec![crease()]);
    pull(&mut h, 20.0, Modifiers::NONE);
    assert_eq!(cut(&h).plane, crease().plane, "within its pull it lies along it");
    let mut h = desk_with(vec![crease()]);
    pull(&mut h, 8.0, Modifiers::NONE);
    assert!((cut(&h).plane.offset_mm() - 18.0).abs() < 0.5 && cut(&h).plane.normal() == Vector::z(), "too far off");
}

#[test]
fn with_shift_or_ctrl_it_follows_the_hand_alone() {
    for modifiers in [Modifiers::SHIFT, Modifiers::COMMAND | Modifiers::CTRL] {
        let mut h = desk_with(vec![detail(DetailKind::Flat, Vector::z(), Point::new(0.0, 0.0, 30.4))]);
        let before = h.state().bench.camera();
        pull(&mut h, 20.0, modifiers);
        let off = (cut(&h).plane.offset_mm() - 30.0).abs();
        assert!(off < 0.2, "{modifiers:?}: {off}");
        assert_eq!(h.state().bench.camera(), before, "a handle is taken, the view is not shifted");
    }
}

#[test]
fn a_detail_that_is_turned_too_far_draws_nothing() {
    let steep = Vector::new(0.2, 0.0, 1.0);
    let mut h = desk_with(vec![detail(DetailKind::Crease, steep, Point::new(0.0, 0.0, 30.0))]);
    pull(&mut h, 20.0, Modifiers::NONE);
    assert_eq!(cut(&h).plane.normal(), Vector::z());
}

#[test]
fn sides_stay_what_they_are_when_a_detail_looks_the_other_way() {
    let mut h = desk_with(vec![detail(DetailKind::Symmetry, -Vector::z(), Point::new(0.0, 0.0, 30.2))]);
    pull(&mut h, 20.0, Modifiers::NONE);
    assert!(cut(&h).plane.normal().z > 0.0 && (cut(&h).plane.offset_mm() - 30.2).abs() < 1e-9);
}

#[test]
fn details_are_told_in_words() {
    let words = |kind| detail_words(&detail(kind, Vector::z(), Point::origin()));
    assert_eq!(words(DetailKind::Crease), "along a crease, within 0.4 mm");
    assert_eq!(words(DetailKind::Symmetry), "mirror plane");
}
