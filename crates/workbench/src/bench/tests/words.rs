//! Words over the picture keep clear of each other, and of the hand.

use std::sync::Arc;

use egui::{Modifiers, PointerButton, Rect, Vec2, vec2};
use egui_kittest::Harness;
use seamwright_geometry::{Detail, DetailKind, Plane, Point, Vector, Verdict};

use super::gestures::{Desk, button, cut_desk, desk, hover, rect, seen, view};
use super::{cube, cube_scene};
use crate::bench::handles::Handles;
use crate::bench::{Band, Dimension, Label, Mode, Scene, SideSaid, StandardView, Tone};

#[test]
fn words_at_a_place_keep_clear_of_the_ring_under_the_pointer_and_of_the_magnifier() {
    for mode in [Mode::PickPoints, Mode::PlaceByClick] {
        let place = Point::new(5.0, -50.0, 10.0);
        let label = Label { at: place, text: "girth 760.0 mm".into(), strong: true, of: None };
        let mut h = desk(Scene { labels: vec![label], ..cube_scene() });
        let at = seen(&h, &place);
        let words = |h: &Harness<'_, Desk>| {
            let covered = &h.state().bench.covered;
            assert_eq!(covered.len(), 1, "the words are there: {covered:?}");
            covered[0]
        };
        hover(&mut h, at);
        assert!(words(&h).contains(at), "nothing is in the way of looking");
        h.state_mut().mode = mode;
        for by in [Vec2::ZERO, Vec2::new(18.0, 6.0), Vec2::new(-30.0, -12.0), Vec2::new(2.0, 25.0)] {
            hover(&mut h, at + by);
            let (words, ring) = (words(&h), Rect::from_center_size(at + by, Vec2::splat(28.0)));
            let magnified = h.state().bench.magnified().expect("a magnified piece").rect;
            assert!(!words.intersects(ring) && !words.intersects(magnified), "{mode:?} {by:?}: {words:?}");
            assert!((words.center() - at).length() < 90.0, "not far from what they are about");
        }
    }
}

#[test]
fn measures_at_one_place_are_all_told_and_none_covers_another() {
    let (from, to) = (Point::new(-40.0, -50.0, 0.0), Point::new(40.0, -50.0, 0.0));
    let straight = |up: f64, text: &str| Dimension {
        from: from + Vector::z() * up,
        to: to + Vector::z() * up,
        text: text.into(),
        apex: None,
    };
    let apex = Some(Point::new(0.0, -50.0, -20.0));
    let angle = Dimension { from, to, text: "97.6°".into(), apex };
    let place = Point::new(0.0, -50.0, 0.0);
    let girth = |text: &str| Label { at: place, text: text.into(), strong: true, of: None };
    let dimensions: Vec<Dimension> = (0..9).map(|i| straight(f64::from(i), "225.4 mm")).chain([angle]).collect();
    let labels = vec![girth("girth 728.0 mm"), girth("girth 100.0 mm")];
    let count = dimensions.len() + labels.len();
    let mut h = desk(Scene { labels, dimensions, ..cube_scene() });
    h.run_steps(2);
    let covered = &h.state().bench.covered;
    assert_eq!(covered.len(), count, "none is dropped");
    for (i, a) in covered.iter().enumerate() {
        for b in &covered[i + 1..] {
            assert!(!a.shrink(2.0).intersects(b.shrink(2.0)), "{a:?} {b:?}");
        }
    }
}

/// So much is a point on the screen where the cut hangs, mm.
fn point_mm(h: &Harness<'_, Desk>) -> f64 {
    view(h).mm_per_point(&h.state().scene.cut.expect("a cut").seat())
}

/// Takes the arrow of the cut and pulls it up by about so many points; the button stays down.
fn pulled(h: &mut Harness<'_, Desk>, points: f64) -> egui::Pos2 {
    let (cut, mm) = (h.state().scene.cut.expect("a cut"), points * point_mm(h));
    let handles = Handles::of(&cut, &view(h), None);
    let tip = handles.arrow.expect("seen from the side").above[1];
    let from = seen(h, &tip);
    hover(h, from);
    button(h, from, PointerButton::Primary, true, Modifiers::NONE);
    let to = seen(h, &(tip + Vector::z() * mm));
    h.hover_at(to);
    h.step();
    h.step();
    to
}

#[test]
fn what_is_said_of_a_dragged_cut_keeps_apart_in_every_view_and_in_a_small_window() {
    let said = |slack_mm| SideSaid { verdict: Verdict::TooBig, tone: Tone::TooBig, slack_mm, exact: false };
    let bands = [
        Band { along_mm: [-20.0, 30.0], is_exact: true, typed_mm: [-20.0, 30.0] },
        Band { along_mm: [30.0, -20.0], is_exact: true, typed_mm: [30.0, -20.0] },
    ];
    let crease_at = |z: f64| {
        let (plane, kind) = (Plane::new(Vector::z(), z).unwrap(), DetailKind::Crease);
        let places = vec![Point::new(-50.0, -50.0, z), Point::new(50.0, -50.0, z)];
        Arc::new(vec![Detail { plane, kind, off_mm: 0.4, extent: 100.0, places }])
    };
    for size in [vec2(1000.0, 700.0), vec2(640.0, 360.0), vec2(310.0, 155.0)] {
        for from in [StandardView::ThreeQuarter, StandardView::Front, StandardView::Right] {
            for band in bands {
                let mut h = cut_desk();
                h.set_size(size);
                h.run();
                let bounds = cube().bounds().unwrap();
                h.state_mut().bench.look_at_from(&bounds, from);
                h.run();
                let point_mm = point_mm(&h);
                let scene = &mut h.state_mut().scene;
                scene.details = crease_at(10.0 + 29.0 * point_mm);
                scene.cut_words = vec![
                    ("outline 742 mm, 2 islands, 61.0 cm², thinnest wall 1.2 mm".into(), false),
                    ("grazes the surface for 40 mm at 4°".into(), true),
                ];
                let cut = scene.cut.as_mut().unwrap();
                (cut.said, cut.band) = ([Some(said(-12.4)), Some(said(-3.1))], Some(band));
                let hand = pulled(&mut h, 30.0);
                let covered = &h.state().bench.covered;
                assert!(covered.len() >= 3, "number and both sides at {size:?} {from:?}: {covered:?}");
                let room = rect(&h);
                for (i, a) in covered.iter().enumerate() {
                    assert!(room.contains_rect(*a), "{size:?} {from:?}: {a:?} is cut off");
                    assert!(!a.contains(hand), "{size:?} {from:?}: {a:?} lies under the hand");
                    for b in &covered[i + 1..] {
                        assert!(!a.shrink(1.0).intersects(b.shrink(1.0)), "{size:?} {from:?}: {a:?} {b:?}");
                    }
                }
            }
        }
    }
}

#[test]
fn what_is_said_of_a_dragged_cut_stays_beside_its_handle_as_the_hand_moves() {
    let mut h = cut_desk();
    let said = SideSaid { verdict: Verdict::Turned, tone: Tone::Turned, slack_mm: 3.2, exact: true };
    h.state_mut().scene.cut.as_mut().unwrap().said = [Some(said); 2];
    let first = pulled(&mut h, 20.0);
    // By then they have found their places.
    h.run_steps(4);
    // The keys at the foot come first; then the number, below, above.
    let beside = |h: &Harness<'_, Desk>, at: egui::Pos2| -> Vec<Vec2> {
        h.state().bench.covered[1..].iter().map(|slip| slip.center() - at).collect()
    };
    let before = beside(&h, first);
    assert_eq!(before.len(), 3, "{before:?}");
    for by in [2.0, 5.0, 9.0, 4.0] {
        let at = first - vec2(0.0, by);
        h.hover_at(at);
        h.step();
        h.step();
        for (then, now) in before.iter().zip(beside(&h, at)) {
            assert!((*then - now).length() < 12.0, "a slip jumped: {then:?} {now:?}");
        }
    }
}

#[test]
fn what_lies_over_the_bench_hides_no_words_of_a_drag() {
    let mut h = cut_desk();
    let to = pulled(&mut h, 20.0);
    h.run_steps(4);
    let number = h.state().bench.covered[1];
    h.state_mut().bench.keep_clear_of(vec![number.expand(30.0)]);
    h.step();
    h.step();
    let moved = h.state().bench.covered[1];
    assert!(!moved.intersects(number.expand(30.0)) && (moved.center() - to).length() < 260.0, "{moved:?}");
}
