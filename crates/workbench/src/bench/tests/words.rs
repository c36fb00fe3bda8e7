//! Words over the picture keep clear of each other, and of the hand.

use egui::{Rect, Vec2};
use seamwright_geometry::{Point, Vector};

use super::cube_scene;
use super::gestures::{desk, hover, seen};
use crate::bench::{Dimension, Label, Mode, Scene};

#[test]
fn words_at_a_place_keep_clear_of_the_ring_under_the_pointer_and_of_the_magnifier() {
    for mode in [Mode::PickPoints, Mode::PlaceByClick] {
        let place = Point::new(5.0, -50.0, 10.0);
        let label = Label { at: place, text: "girth 760.0 mm".into(), strong: true, of: None };
        let mut h = desk(Scene { labels: vec![label], ..cube_scene() });
        let at = seen(&h, &place);
        let words = |h: &egui_kittest::Harness<'_, super::gestures::Desk>| {
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
