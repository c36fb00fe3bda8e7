use egui::{Modifiers, PointerButton, Rect, vec2};
use seamwright_geometry::{Point, Vector};

use super::gestures::{button, cut_desk, desk, hover, rect, seen, view};
use super::{close, cube_scene};
use crate::bench::handles::Handles;
use crate::bench::{MAGNIFICATION, Mode, View};

#[test]
fn while_points_are_picked_what_is_under_the_pointer_is_magnified_beside_it() {
    let mut h = desk(cube_scene());
    let place = Point::new(10.0, -50.0, 15.0);
    let at = seen(&h, &place);
    hover(&mut h, at);
    assert_eq!(h.state().bench.magnified(), None, "looking around needs none");
    h.state_mut().mode = Mode::PickPoints;
    hover(&mut h, at);
    let shown = h.state().bench.magnified().expect("a magnified piece");
    assert!(rect(&h).contains_rect(shown.rect) && !shown.rect.expand(8.0).contains(at), "{shown:?}");
    let small = View { camera: shown.camera, rect: shown.rect };
    assert!(small.project(&place).unwrap().distance(shown.rect.center()) < 1.0);
    let larger = view(&h).mm_per_point(&place) / small.mm_per_point(&place);
    assert!((larger - MAGNIFICATION).abs() < 0.05, "{larger}");
    // The same line of sight: what hides the place in neither picture.
    let sight = |view: &View| (view.camera.eye() - place).normalize();
    assert!(sight(&small).dot(&sight(&view(&h))) > 0.9999);
}

#[test]
fn it_never_covers_the_pointer_nor_leaves_the_bench() {
    let mut h = desk(cube_scene());
    h.state_mut().mode = Mode::PickPoints;
    for place in [[-48.0, -50.0, 48.0], [48.0, -50.0, 48.0], [-48.0, -50.0, -48.0], [48.0, -50.0, -48.0]] {
        let at = seen(&h, &Point::from(place));
        hover(&mut h, at);
        let shown = h.state().bench.magnified().expect("a magnified piece").rect;
        assert!(!shown.contains(at) && rect(&h).contains_rect(shown), "{place:?}: {shown:?}");
    }
}

#[test]
fn it_stands_where_nothing_lies_over_the_bench() {
    let mut h = desk(cube_scene());
    h.state_mut().mode = Mode::PickPoints;
    let at = seen(&h, &Point::new(0.0, -50.0, 0.0));
    let left = Rect::from_min_max(rect(&h).left_top(), at - vec2(20.0, 0.0) + vec2(0.0, rect(&h).height()));
    h.state_mut().bench.keep_clear_of(vec![left]);
    hover(&mut h, at);
    let shown = h.state().bench.magnified().expect("a magnified piece").rect;
    assert!(!shown.intersects(left) && rect(&h).contains_rect(shown), "{shown:?} beside {left:?}");
    // Where all is covered it is shown as if nothing were.
    let all = rect(&h);
    h.state_mut().bench.keep_clear_of(vec![all]);
    hover(&mut h, at + vec2(1.0, 0.0));
    assert!(h.state().bench.magnified().is_some());
}

#[test]
fn beside_the_model_and_when_it_is_switched_off_nothing_is_magnified() {
    let mut h = desk(cube_scene());
    h.state_mut().mode = Mode::PickPoints;
    let corner = rect(&h).left_top() + vec2(20.0, 20.0);
    hover(&mut h, corner);
    assert_eq!(h.state().bench.magnified(), None);
    let at = seen(&h, &Point::new(0.0, -50.0, 0.0));
    hover(&mut h, at);
    assert!(h.state().bench.magnified().is_some());
    h.state_mut().bench.magnifies = false;
    hover(&mut h, at + vec2(2.0, 0.0));
    assert_eq!(h.state().bench.magnified(), None);
}

#[test]
fn while_a_handle_is_dragged_the_line_of_the_cut_is_magnified_clear_of_hand_and_words() {
    let mut h = cut_desk();
    let cut = h.state().scene.cut.unwrap();
    // Where the cut meets the cube: what is nearest to the hand and in front is shown.
    let z = cut.plane.offset_mm();
    let corners = [[-50.0, -50.0], [50.0, -50.0], [50.0, 50.0], [-50.0, 50.0], [-50.0, -50.0]];
    let along = |ends: &[[f64; 2]]| -> Vec<Point> {
        let at = |k: usize, i: i32| ends[0][k] + (ends[1][k] - ends[0][k]) * f64::from(i) / 20.0;
        (0..20).map(|i| Point::new(at(0, i), at(1, i), z)).collect()
    };
    let line: Vec<Point> = corners.windows(2).flat_map(along).collect();
    h.state_mut().scene.outlines = std::sync::Arc::new(vec![line]);
    let tip = Handles::of(&cut, &view(&h), None).arrow.unwrap().above[1];
    let from = seen(&h, &tip);
    hover(&mut h, from);
    button(&mut h, from, PointerButton::Primary, true, Modifiers::NONE);
    let to = seen(&h, &(tip + Vector::z() * 10.0));
    h.hover_at(to);
    h.step();
    h.step();
    let shown = h.state().bench.magnified().expect("a magnified piece");
    let number = Rect::from_center_size(to + vec2(60.0, -14.0), vec2(90.0, 30.0));
    assert!(!shown.rect.contains(to) && !shown.rect.intersects(number), "{shown:?}");
    let middle = shown.camera.target;
    assert!((middle.z - cut.plane.offset_mm()).abs() < 1e-9 && (middle.y + 50.0).abs() < 1e-9, "in front: {middle}");
    h.state_mut().scene.outlines = std::sync::Arc::default();
    h.step();
    assert_eq!(h.state().bench.magnified(), None, "a cut that meets nothing has nothing to show");
    button(&mut h, to, PointerButton::Primary, false, Modifiers::NONE);
    h.run();
    assert_eq!(h.state().bench.magnified(), None, "let go, it is gone");
    assert!(close(&h.state().scene.cut.unwrap().plane.project(&Point::origin()), &Point::new(0.0, 0.0, 20.0), 0.6));
}
