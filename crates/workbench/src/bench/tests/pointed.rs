//! A place that is pointed out can be seen, also inside the model.

use std::cell::RefCell;
use std::rc::Rc;
use std::sync::Arc;

use egui_kittest::Harness;
use seamwright_geometry::Point;

use super::gestures::{desk, rect, seen};
use super::gl::{SIZE, difference, front, headless, picture, styled_picture};
use super::{cube_scene, cuboid, drawn};
use crate::bench::{Bench, BenchStyle, Emphasis, Frame, Mode, Scene, Tone, ViewportPainter};

/// Keeps what it is asked to paint.
#[derive(Clone, Default)]
struct Kept(Rc<RefCell<Option<Frame>>>);

impl ViewportPainter for Kept {
    fn paint(&mut self, _: &egui::Ui, _: egui::Rect, frame: Frame) {
        *self.0.borrow_mut() = Some(frame);
    }
}

/// What is painted of a scene, seen from the front.
fn emphases(scene: &Scene) -> Vec<Emphasis> {
    let kept = Kept::default();
    let mut bench = Bench::new(Box::new(kept.clone()));
    bench.set_camera(front());
    let scene = scene.clone();
    let mut h = Harness::builder().with_size([600.0, 600.0]).build_ui_state(
        |ui, bench: &mut Bench| {
            bench.show(ui, &scene, Mode::Look, &BenchStyle::light());
        },
        bench,
    );
    h.run_steps(3);
    let frame = kept.0.borrow();
    frame.as_ref().unwrap().scene.drawn.iter().map(|drawn| drawn.emphasis).collect()
}

#[test]
fn what_hides_a_place_is_seen_through_and_nothing_else() {
    use Emphasis::{Ghost, Plain};
    // One behind the other, and one beside them.
    let scene = Scene {
        drawn: vec![
            drawn(1, cuboid([-40.0, -50.0, -40.0], [40.0, -20.0, 40.0])),
            drawn(2, cuboid([-40.0, 0.0, -40.0], [40.0, 40.0, 40.0])),
            drawn(3, cuboid([60.0, -50.0, -40.0], [90.0, 50.0, 40.0])),
        ],
        ..Scene::default()
    };
    let pointing = |at: [f64; 3]| emphases(&Scene { pointed: Some(Point::from(at)), ..scene.clone() });
    assert_eq!(emphases(&scene), [Plain; 3]);
    assert_eq!(pointing([5.0, -50.0, 5.0]), [Plain; 3], "on the surface in front");
    assert_eq!(pointing([5.0, -35.0, 5.0]), [Ghost, Plain, Plain], "within the first");
    assert_eq!(pointing([5.0, 0.0, 5.0]), [Ghost, Plain, Plain], "on the second, behind the first");
    assert_eq!(pointing([5.0, 30.0, 5.0]), [Ghost, Ghost, Plain], "within the second");
    let mut hidden = scene.clone();
    hidden.drawn[0].emphasis = Emphasis::Hidden;
    hidden.pointed = Some(Point::new(5.0, 0.0, 5.0));
    assert_eq!(emphases(&hidden), [Emphasis::Hidden, Plain, Plain], "out of sight already");
}

#[test]
fn a_place_inside_is_looked_at_from_outside_of_what_hides_it_and_one_on_the_surface_from_near() {
    let mut h = desk(cube_scene());
    let mut away_mm = |place: Point| {
        h.state_mut().scene.pointed = Some(place);
        let scene = cube_scene();
        h.state_mut().bench.look_at_place(&scene, &place, 5.0);
        h.run();
        let seen = seen(&h, &place);
        assert!(seen.distance(rect(&h).center()) < 2.0, "{seen:?}");
        h.state().bench.camera().distance_mm
    };
    let near = away_mm(Point::new(10.0, -50.0, 5.0));
    let inside = away_mm(Point::new(0.0, 20.0, 0.0));
    assert!(near < 60.0 && inside > 110.0, "{near} {inside}");
}

#[test]
fn a_ring_and_words_stand_at_the_place_also_where_it_lies_inside() {
    let Some(mut gl) = headless() else { return };
    let plain = picture(&mut gl, &cube_scene(), front());
    for (at, what) in [([0.0, -50.0, 0.0], "on the surface"), ([0.0, 0.0, 0.0], "inside")] {
        let pointed = Scene { pointed: Some(Point::from(at)), ..cube_scene() };
        let shown = picture(&mut gl, &pointed, front());
        let warning = BenchStyle::light().warning;
        let is_warning =
            |p: &image::Rgba<u8>| p.0[..3].iter().zip(&warning.to_array()[..3]).all(|(a, b)| a.abs_diff(*b) < 24);
        let count = shown.pixels().filter(|p| is_warning(p)).count();
        let before = plain.pixels().filter(|p| is_warning(p)).count();
        assert!(count > before + 150, "{what}: {before} {count}");
    }
}

/// Light and dark lie side by side where a line is lit up: it shows whatever it lies on, as strongly on paper of either kind.
#[test]
fn lines_that_are_lit_up_are_plain_on_every_verdict() {
    let Some(mut gl) = headless() else { return };
    let line = vec![Point::new(-40.0, -50.0, 0.0), Point::new(40.0, -50.0, 0.0)];
    for tone in Tone::ALL {
        let mut scene = Scene { lit: Arc::new(vec![line.clone()]), ..cube_scene() };
        scene.drawn[0].tone = tone;
        for style in [BenchStyle::light(), BenchStyle::dark()] {
            let image = styled_picture(&mut gl, &scene, front(), &style);
            let grey = |x: u32, y: u32| image.get_pixel(x, y).0[..3].iter().map(|&c| u32::from(c)).sum::<u32>() / 3;
            for x in (SIZE / 2 - 20)..(SIZE / 2 + 20) {
                let across: Vec<u32> = (SIZE / 2 - 6..SIZE / 2 + 6).map(|y| grey(x, y)).collect();
                let (low, high) = (across.iter().min().unwrap(), across.iter().max().unwrap());
                assert!(high - low > 150, "{tone:?} at {x}: {across:?}");
            }
        }
    }
}

#[test]
fn lines_that_are_lit_up_show_through_the_model() {
    let Some(mut gl) = headless() else { return };
    let square: Vec<Point> = [(-20.0, -20.0), (20.0, -20.0), (20.0, 20.0), (-20.0, 20.0), (-20.0, -20.0)]
        .map(|(x, z)| Point::new(x, 10.0, z))
        .into();
    let lit = Scene { lit: Arc::new(vec![square]), ..cube_scene() };
    let plain = picture(&mut gl, &cube_scene(), front());
    assert!(difference(&picture(&mut gl, &lit, front()), &plain) > 150);
    assert_ne!(lit.picture_key(), cube_scene().picture_key());
}
