//! The camera follows pieces that are pulled apart.

use egui::{Modifiers, PointerButton, Vec2, vec2};
use egui_kittest::Harness;
use seamwright_geometry::{Bounds, Point, Vector};

use super::gestures::{Desk, desk, drag, hover, rect, seen, view};
use super::{close, cuboid, drawn};
use crate::bench::scene::corners;
use crate::bench::{Bench, BenchAction, BenchStyle, Camera, Emphasis, Mode, NoPaint, Scene};

/// A cube of 100 mm in two halves, one on the other.
fn halves() -> Scene {
    let half = |id, low: f64| drawn(id, cuboid([-50.0, -50.0, low], [50.0, 50.0, low + 50.0]));
    Scene { drawn: vec![half(1, -50.0), half(2, 0.0)], ..Scene::default() }
}

/// Lifts the upper half so far.
fn pull(h: &mut Harness<'_, Desk>, apart_mm: f64) {
    h.state_mut().scene.drawn[1].offset = Vector::z() * apart_mm;
    h.run_steps(60);
}

fn all_in_sight(h: &Harness<'_, Desk>) -> bool {
    let boxes = h.state().scene.drawn.iter().filter_map(|drawn| drawn.bounds());
    let all: Bounds = boxes.reduce(|a, b| a.union(&b)).unwrap();
    corners(&all).iter().all(|corner| rect(h).contains(seen(h, corner)))
}

fn same(a: &Camera, b: &Camera) -> bool {
    close(&a.target, &b.target, 1e-6)
        && (a.distance_mm - b.distance_mm).abs() < 1e-6
        && (a.heading_deg - b.heading_deg).abs() < 1e-6
        && (a.elevation_deg - b.elevation_deg).abs() < 1e-6
}

fn scroll(h: &mut Harness<'_, Desk>, at: egui::Pos2, points: f32) {
    hover(h, at);
    h.event(egui::Event::MouseWheel {
        unit: egui::MouseWheelUnit::Point,
        delta: vec2(0.0, points),
        phase: egui::TouchPhase::Move,
        source: egui::MouseWheelSource::Unknown,
        modifiers: Modifiers::NONE,
    });
    h.run_steps(30);
}

#[test]
fn pieces_pulled_apart_stay_in_the_picture_and_the_camera_comes_back_with_them() {
    for less_motion in [true, false] {
        let mut h = desk(halves());
        h.state_mut().bench.reduce_motion = less_motion;
        let before = h.state().bench.camera();
        pull(&mut h, 2.0);
        assert!(same(&h.state().bench.camera(), &before), "a little has room");
        for apart_mm in [40.0, 90.0, 160.0, 300.0] {
            pull(&mut h, apart_mm);
            assert!(all_in_sight(&h), "{apart_mm}");
        }
        let far = h.state().bench.camera();
        assert!(far.distance_mm > 1.5 * before.distance_mm && far.heading_deg == before.heading_deg, "{far:?}");
        pull(&mut h, 90.0);
        assert!(all_in_sight(&h) && h.state().bench.camera().distance_mm < far.distance_mm);
        pull(&mut h, 0.0);
        assert!(same(&h.state().bench.camera(), &before), "{before:?} {:?}", h.state().bench.camera());
    }
}

#[test]
fn with_less_motion_the_camera_is_there_at_once_and_else_it_glides() {
    let mut h = desk(halves());
    let step = |h: &mut Harness<'_, Desk>, apart_mm: f64| {
        h.state_mut().scene.drawn[1].offset = Vector::z() * apart_mm;
        h.step();
        h.step();
        h.state().bench.camera().distance_mm
    };
    let at_once = step(&mut h, 200.0);
    h.run_steps(60);
    assert_eq!(h.state().bench.camera().distance_mm, at_once);
    pull(&mut h, 0.0);
    h.state_mut().bench.reduce_motion = false;
    let begun = step(&mut h, 200.0);
    assert!(begun < at_once, "{begun} {at_once}");
    h.run_steps(60);
    assert!((h.state().bench.camera().distance_mm - at_once).abs() < 1e-6);
}

#[test]
fn who_looks_at_a_place_from_near_is_left_there() {
    let mut h = desk(halves());
    let at = seen(&h, &Point::new(50.0, -50.0, 0.0));
    scroll(&mut h, at, 700.0);
    let near = h.state().bench.camera();
    assert!(!all_in_sight(&h));
    pull(&mut h, 120.0);
    assert_eq!(h.state().bench.camera(), near);
    // So is who comes nearer while they are apart, also when they come together.
    let mut h = desk(halves());
    pull(&mut h, 200.0);
    let at = seen(&h, &Point::new(50.0, -50.0, 0.0));
    scroll(&mut h, at, 900.0);
    let near = h.state().bench.camera();
    pull(&mut h, 230.0);
    assert_eq!(h.state().bench.camera(), near);
    pull(&mut h, 0.0);
    assert_eq!(h.state().bench.camera(), near);
}

#[test]
fn what_is_turned_and_shifted_by_hand_meanwhile_stays_so() {
    let mut h = desk(halves());
    let before = h.state().bench.camera();
    pull(&mut h, 250.0);
    let corner = rect(&h).left_top() + Vec2::splat(30.0);
    drag(&mut h, PointerButton::Primary, Modifiers::NONE, corner, vec2(100.0, 0.0));
    let turned = h.state().bench.camera();
    assert!((turned.heading_deg - before.heading_deg).abs() > 30.0);
    pull(&mut h, 0.0);
    let after = h.state().bench.camera();
    assert!((after.heading_deg - turned.heading_deg).abs() < 1e-6, "{after:?}");
    assert!((after.distance_mm - before.distance_mm).abs() < 1e-6, "it comes back as near as it was: {after:?}");
    assert!(view(&h).rect.contains(seen(&h, &Point::origin())));
}

#[test]
fn a_piece_out_of_sight_needs_no_room() {
    let mut h = desk(halves());
    h.state_mut().scene.drawn[1].emphasis = Emphasis::Hidden;
    h.run();
    let before = h.state().bench.camera();
    pull(&mut h, 300.0);
    assert_eq!(h.state().bench.camera(), before);
}

#[test]
fn where_the_camera_was_sent_to_it_goes_whatever_the_pieces_do() {
    let mut h = desk(halves());
    pull(&mut h, 250.0);
    let place = Bounds { min: Point::new(40.0, -60.0, -10.0), max: Point::new(60.0, -40.0, 10.0) };
    h.state_mut().bench.frame(&place);
    let sent = h.state().bench.camera();
    pull(&mut h, 0.0);
    assert_eq!(h.state().bench.camera(), sent);
}

#[test]
fn that_the_camera_follows_is_no_looking_around() {
    for less_motion in [true, false] {
        let mut bench = Bench::new(Box::new(NoPaint));
        bench.reduce_motion = less_motion;
        bench.frame(&halves().bounds().unwrap());
        let shown = (bench, halves(), Vec::new());
        let mut h = Harness::builder().with_size([1000.0, 700.0]).build_ui_state(
            |ui, (bench, scene, actions): &mut (Bench, Scene, Vec<BenchAction>)| {
                actions.extend(bench.show(ui, scene, Mode::Look, &BenchStyle::light()));
            },
            shown,
        );
        h.run_steps(4);
        let before = h.state().0.camera();
        h.state_mut().2.clear();
        h.state_mut().1.drawn[1].offset = Vector::z() * 300.0;
        h.run_steps(60);
        assert!(h.state().0.camera().distance_mm > before.distance_mm);
        assert_eq!(h.state().2, []);
    }
}
