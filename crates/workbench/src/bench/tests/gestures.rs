use egui::{Event, Key, Modifiers, PointerButton, Pos2, Rect, Vec2, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use seamwright_geometry::{Plane, Point, Vector};

use super::{close, cube, cube_scene};
use crate::bench::handles::Handles;
use crate::bench::view::View;
use crate::bench::{
    ACCESSIBLE_NAME, Bench, BenchAction, BenchStyle, CutInHand, DragPhase, Handle, Lean, MeshId, Mode, NoPaint, Scene,
    StandardView,
};

/// A little app: it does what the bench asks for, and remembers it.
pub(super) struct Desk {
    pub bench: Bench,
    pub scene: Scene,
    pub mode: Mode,
    actions: Vec<BenchAction>,
}

impl Desk {
    fn show(&mut self, ui: &mut egui::Ui) {
        for action in self.bench.show(ui, &self.scene, self.mode, &BenchStyle::light()) {
            if let (BenchAction::CutDragged { plane, .. }, Some(cut)) = (&action, &mut self.scene.cut) {
                cut.plane = *plane;
            }
            if !matches!(action, BenchAction::CameraMoved | BenchAction::MeshHovered(_)) {
                self.actions.push(action);
            }
        }
    }
}

pub(super) fn desk(scene: Scene) -> Harness<'static, Desk> {
    let mut bench = Bench::new(Box::new(NoPaint));
    bench.reduce_motion = true;
    let desk = Desk { bench, scene, mode: Mode::Look, actions: Vec::new() };
    let mut h = Harness::builder().with_size([1000.0, 700.0]).build_ui_state(|ui, desk: &mut Desk| desk.show(ui), desk);
    h.run();
    h.state_mut().bench.frame(&cube().bounds().unwrap());
    h.run();
    h
}

pub(super) fn cut_desk() -> Harness<'static, Desk> {
    let plane = Plane::new(Vector::z(), 10.0).unwrap();
    desk(Scene { cut: Some(CutInHand::new(plane, &cube().bounds().unwrap())), ..cube_scene() })
}

pub(super) fn rect(h: &Harness<'_, Desk>) -> Rect {
    h.get_by_label(ACCESSIBLE_NAME).rect()
}

pub(super) fn view(h: &Harness<'_, Desk>) -> View {
    View { camera: h.state().bench.camera(), rect: rect(h) }
}

pub(super) fn seen(h: &Harness<'_, Desk>, p: &Point) -> Pos2 {
    view(h).project(p).expect("in front")
}

pub(super) fn button(h: &mut Harness<'_, Desk>, at: Pos2, button: PointerButton, pressed: bool, modifiers: Modifiers) {
    h.event(Event::PointerButton { pos: at, button, pressed, modifiers });
    h.step();
}

pub(super) fn hover(h: &mut Harness<'_, Desk>, at: Pos2) {
    h.hover_at(at);
    h.run();
}

pub(super) fn drag(h: &mut Harness<'_, Desk>, which: PointerButton, modifiers: Modifiers, from: Pos2, by: Vec2) {
    hover(h, from);
    h.event(Event::ModifiersChanged(modifiers));
    h.step();
    button(h, from, which, true, modifiers);
    for i in 1..=4 {
        h.hover_at(from + by * (i as f32 / 4.0));
        h.step();
    }
    button(h, from + by, which, false, modifiers);
    h.event(Event::ModifiersChanged(Modifiers::NONE));
    h.run();
}

fn click(h: &mut Harness<'_, Desk>, at: Pos2) {
    hover(h, at);
    button(h, at, PointerButton::Primary, true, Modifiers::NONE);
    button(h, at, PointerButton::Primary, false, Modifiers::NONE);
    h.run();
}

fn phases(h: &Harness<'_, Desk>) -> Vec<DragPhase> {
    let phase = |a: &BenchAction| match a {
        BenchAction::CutDragged { phase, .. } => Some(*phase),
        _ => None,
    };
    h.state().actions.iter().filter_map(phase).collect()
}

fn offset(h: &Harness<'_, Desk>) -> f64 {
    h.state().scene.cut.unwrap().plane.offset_mm()
}

#[test]
fn dragging_beside_the_model_turns_the_view() {
    let mut h = desk(cube_scene());
    let before = h.state().bench.camera();
    let from = rect(&h).left_top() + vec2(30.0, 30.0);
    drag(&mut h, PointerButton::Primary, Modifiers::NONE, from, vec2(100.0, 40.0));
    let after = h.state().bench.camera();
    assert!((after.heading_deg - (before.heading_deg - 35.0)).abs() < 0.5, "{before:?} {after:?}");
    assert!((after.elevation_deg - (before.elevation_deg + 14.0)).abs() < 0.5, "{before:?} {after:?}");
    assert!(close(&after.target, &before.target, 1e-9));
}

#[test]
fn dragging_the_model_turns_about_the_place_that_was_grabbed() {
    let mut h = desk(cube_scene());
    let corner = Point::new(50.0, -50.0, 50.0);
    let at = seen(&h, &(corner + Vector::new(-2.0, 2.0, 0.0)));
    drag(&mut h, PointerButton::Primary, Modifiers::NONE, at, vec2(-40.0, 20.0));
    let after = seen(&h, &(corner + Vector::new(-2.0, 2.0, 0.0)));
    assert!(after.distance(at) < 0.5, "{at:?} {after:?}");
}

#[test]
fn panning_keeps_the_grabbed_place_under_the_pointer() {
    for (which, modifiers) in [
        (PointerButton::Secondary, Modifiers::NONE),
        (PointerButton::Middle, Modifiers::NONE),
        (PointerButton::Primary, Modifiers::SHIFT),
    ] {
        let mut h = desk(cube_scene());
        let before = h.state().bench.camera();
        let place = Point::new(20.0, -50.0, 10.0);
        let at = seen(&h, &place);
        drag(&mut h, which, modifiers, at, vec2(70.0, -30.0));
        let after = seen(&h, &place);
        assert!(after.distance(at + vec2(70.0, -30.0)) < 0.5, "{which:?}: {after:?}");
        assert_eq!(h.state().bench.camera().heading_deg, before.heading_deg);
    }
}

#[test]
fn the_wheel_nears_what_is_under_the_pointer() {
    let mut h = desk(cube_scene());
    let place = Point::new(30.0, -50.0, 25.0);
    let at = seen(&h, &place);
    hover(&mut h, at);
    let before = h.state().bench.camera().distance_mm;
    h.event(Event::MouseWheel {
        unit: egui::MouseWheelUnit::Point,
        delta: vec2(0.0, 120.0),
        phase: egui::TouchPhase::Move,
        source: egui::MouseWheelSource::Unknown,
        modifiers: Modifiers::NONE,
    });
    h.run_steps(30);
    let after = h.state().bench.camera().distance_mm;
    assert!(after < 0.85 * before, "{before} {after}");
    assert!(seen(&h, &place).distance(at) < 0.5, "{:?} {at:?}", seen(&h, &place));
}

#[test]
fn pulling_the_arrow_moves_the_cut_in_one_drag() {
    let mut h = cut_desk();
    let cut = h.state().scene.cut.unwrap();
    let tip = Handles::of(&cut, &view(&h), None).arrow.unwrap().above[1];
    let (from, to) = (seen(&h, &tip), seen(&h, &(tip + Vector::z() * 20.0)));
    drag(&mut h, PointerButton::Primary, Modifiers::NONE, from, to - from);
    assert!((offset(&h) - 30.0).abs() < 0.5, "{}", offset(&h));
    let phases = phases(&h);
    assert_eq!(phases.first(), Some(&DragPhase::Begun));
    assert_eq!(phases.last(), Some(&DragPhase::Released));
    assert!(phases.len() > 3 && phases[1..phases.len() - 1].iter().all(|p| *p == DragPhase::Moved), "{phases:?}");
    assert!(h.state().actions.iter().all(|a| matches!(a, BenchAction::CutDragged { handle: Handle::Move, .. })));
}

#[test]
fn with_ctrl_the_cut_stops_at_whole_millimetres() {
    let mut h = cut_desk();
    let cut = h.state().scene.cut.unwrap();
    let tip = Handles::of(&cut, &view(&h), None).arrow.unwrap().above[1];
    let (from, to) = (seen(&h, &tip), seen(&h, &(tip + Vector::z() * 7.3)));
    drag(&mut h, PointerButton::Primary, Modifiers::COMMAND | Modifiers::CTRL, from, to - from);
    assert_eq!(offset(&h), 17.0);
}

#[test]
fn pulling_a_knob_tilts_the_cut_by_its_angle() {
    let mut h = cut_desk();
    let cut = h.state().scene.cut.unwrap();
    let from = seen(&h, &Handles::of(&cut, &view(&h), None).knobs[1].at);
    drag(&mut h, PointerButton::Primary, Modifiers::COMMAND | Modifiers::CTRL, from, vec2(0.0, -38.0));
    let lean = Lean::of(&h.state().scene.cut.unwrap().plane.normal());
    assert!(lean.first_deg.abs() < 1e-6, "{lean:?}");
    assert!(lean.second_deg.abs() >= 10.0 && (lean.second_deg / 5.0).fract().abs() < 1e-6, "{lean:?}");
}

#[test]
fn handles_stay_where_a_tilt_leaves_them() {
    let plane = Plane::new(Vector::z(), 30.0).unwrap();
    let given = CutInHand::new(plane, &cube().bounds().unwrap());
    let mut h = desk(Scene { cut: Some(given), ..cube_scene() });
    let from = seen(&h, &Handles::of(&given, &view(&h), None).knobs[1].at);
    drag(&mut h, PointerButton::Primary, Modifiers::NONE, from, vec2(0.0, -45.0));
    let now = h.state().scene.cut.unwrap();
    let lean = Lean::of(&now.plane.normal());
    assert!(lean.second_deg.abs() > 15.0, "{lean:?}");
    assert_eq!(now.anchor, given.anchor, "the scene is not changed by the bench");
    let seat = Point::new(0.0, 0.0, 30.0);
    assert!(now.plane.distance_mm(&seat).abs() < 1e-9, "it tilts about where the handles hung");
    let hung = Handles::of(&CutInHand { anchor: seat, ..now }, &view(&h), None);
    let jumped = Handles::of(&now, &view(&h), None);
    let (here, there) = (seen(&h, &hung.knobs[1].at), seen(&h, &jumped.knobs[1].at));
    assert!(here.distance(there) > 25.0, "the test must be able to tell: {here:?} {there:?}");
    h.state_mut().actions.clear();
    drag(&mut h, PointerButton::Primary, Modifiers::NONE, here, vec2(0.0, 20.0));
    let taken = h.state().actions.first().cloned();
    assert!(
        matches!(taken, Some(BenchAction::CutDragged { handle: Handle::TiltSecond, phase: DragPhase::Begun, .. })),
        "{taken:?}"
    );
}

#[test]
fn another_cut_has_its_handles_at_its_own_anchor() {
    let mut h = cut_desk();
    let cut = h.state().scene.cut.unwrap();
    let from = seen(&h, &Handles::of(&cut, &view(&h), None).knobs[1].at);
    drag(&mut h, PointerButton::Primary, Modifiers::NONE, from, vec2(0.0, -45.0));
    let other = CutInHand::new(Plane::new(Vector::x(), -20.0).unwrap(), &cube().bounds().unwrap());
    h.state_mut().scene.cut = Some(other);
    h.state_mut().actions.clear();
    h.run();
    let at = seen(&h, &Handles::of(&other, &view(&h), None).knobs[0].at);
    drag(&mut h, PointerButton::Primary, Modifiers::NONE, at, vec2(0.0, 20.0));
    let taken = h.state().actions.first().cloned();
    assert!(matches!(taken, Some(BenchAction::CutDragged { handle: Handle::TiltFirst, .. })), "{taken:?}");
}

#[test]
fn escape_gives_a_drag_up_and_the_rest_of_it_does_nothing() {
    let mut h = cut_desk();
    let cut = h.state().scene.cut.unwrap();
    let from = seen(&h, &Handles::of(&cut, &view(&h), None).arrow.unwrap().above[1]);
    let camera = h.state().bench.camera();
    hover(&mut h, from);
    button(&mut h, from, PointerButton::Primary, true, Modifiers::NONE);
    h.hover_at(from + vec2(0.0, -40.0));
    h.step();
    h.step();
    assert!(offset(&h) > 11.0);
    h.key_press(Key::Escape);
    h.step();
    h.hover_at(from + vec2(30.0, -80.0));
    h.step();
    button(&mut h, from + vec2(30.0, -80.0), PointerButton::Primary, false, Modifiers::NONE);
    h.run();
    assert_eq!(offset(&h), 10.0);
    assert_eq!(phases(&h).last(), Some(&DragPhase::Cancelled));
    assert_eq!(h.state().bench.camera(), camera);
}

#[test]
fn a_drag_that_leaves_the_window_is_still_released() {
    let mut h = cut_desk();
    let cut = h.state().scene.cut.unwrap();
    let from = seen(&h, &Handles::of(&cut, &view(&h), None).arrow.unwrap().above[1]);
    hover(&mut h, from);
    h.drag_at(from);
    h.hover_at(from + vec2(0.0, -40.0));
    h.step();
    h.remove_cursor();
    h.drop_at(from + vec2(0.0, -40.0));
    h.run();
    assert_eq!(phases(&h).last(), Some(&DragPhase::Released));
    assert!(offset(&h) > 11.0);
}

#[test]
fn a_click_says_what_was_clicked_or_that_nothing_was() {
    let mut h = desk(cube_scene());
    let place = Point::new(-10.0, -50.0, 20.0);
    let at = seen(&h, &place);
    click(&mut h, at);
    let beside = rect(&h).left_top() + vec2(15.0, 15.0);
    click(&mut h, beside);
    match h.state().actions.as_slice() {
        [BenchAction::MeshClicked { hit: Some(hit), add: false }, BenchAction::MeshClicked { hit: None, .. }] => {
            assert_eq!(hit.id, MeshId(7));
            assert!(close(&hit.point, &place, 0.1), "{hit:?}");
        }
        other => panic!("{other:?}"),
    }
}

#[test]
fn placing_by_click_gives_the_place_and_the_normal_of_the_surface() {
    let mut h = desk(cube_scene());
    h.state_mut().mode = Mode::PlaceByClick;
    let place = Point::new(5.0, -50.0, -15.0);
    let at = seen(&h, &place);
    click(&mut h, at);
    match h.state().actions.as_slice() {
        [BenchAction::SurfaceClicked(hit)] => {
            assert!(close(&hit.point, &place, 0.1), "{hit:?}");
            assert!((hit.normal + Vector::y()).norm() < 1e-9, "{hit:?}");
        }
        other => panic!("{other:?}"),
    }
    h.key_press(Key::Escape);
    h.run();
    assert_eq!(h.state().actions.last(), Some(&BenchAction::ModeLeft));
}

#[test]
fn a_picked_point_clicked_again_is_taken_away() {
    let mut h = desk(cube_scene());
    h.state_mut().mode = Mode::PickPoints;
    let place = Point::new(5.0, -50.0, -15.0);
    let at = seen(&h, &place);
    click(&mut h, at);
    let Some(BenchAction::PointPicked(hit)) = h.state().actions.last().cloned() else {
        panic!("{:?}", h.state().actions)
    };
    assert!(close(&hit.point, &place, 0.1));
    h.state_mut().scene.picked = vec![Point::new(50.0, 0.0, 0.0), hit.point];
    click(&mut h, at + vec2(2.0, 2.0));
    assert_eq!(h.state().actions.last(), Some(&BenchAction::PickUndone(1)));
}

#[test]
fn a_click_on_a_handle_selects_nothing() {
    let mut h = cut_desk();
    let cut = h.state().scene.cut.unwrap();
    let at = seen(&h, &Handles::of(&cut, &view(&h), None).knobs[0].at);
    click(&mut h, at);
    assert_eq!(h.state().actions, Vec::new());
}

#[test]
fn the_focused_bench_is_turned_and_neared_by_keys() {
    let mut h = desk(cube_scene());
    let beside = rect(&h).left_top() + vec2(15.0, 15.0);
    click(&mut h, beside);
    let before = h.state().bench.camera();
    h.key_press(Key::ArrowRight);
    h.run();
    h.key_press(Key::ArrowUp);
    h.run();
    h.key_press(Key::Plus);
    h.run();
    let after = h.state().bench.camera();
    assert!((after.heading_deg - before.heading_deg - 7.5).abs() < 1e-9);
    assert!((after.elevation_deg - before.elevation_deg - 7.5).abs() < 1e-9);
    assert!((before.distance_mm / after.distance_mm - 1.25).abs() < 1e-9);
    // Larger writing is asked for with Ctrl.
    h.key_press_modifiers(Modifiers::COMMAND | Modifiers::CTRL, Key::Plus);
    h.run();
    assert_eq!(h.state().bench.camera(), after);
}

#[test]
fn the_camera_glides_to_a_view_and_arrives() {
    let mut h = desk(cube_scene());
    h.state_mut().bench.reduce_motion = false;
    h.state_mut().bench.look_from(StandardView::Right);
    h.step();
    assert_ne!(h.state().bench.camera().heading_deg, 0.0);
    h.run_steps(60);
    let camera = h.state().bench.camera();
    assert_eq!((camera.heading_deg, camera.elevation_deg), (0.0, 0.0));
}

#[test]
fn what_is_framed_before_the_first_frame_fills_it() {
    let mut bench = Bench::new(Box::new(NoPaint));
    let bounds = cube().bounds().unwrap();
    bench.frame(&bounds);
    let desk = Desk { bench, scene: cube_scene(), mode: Mode::Look, actions: Vec::new() };
    // Much higher than wide: framed for another shape, the cube would stick out.
    let mut h = Harness::builder().with_size([200.0, 900.0]).build_ui_state(|ui, desk: &mut Desk| desk.show(ui), desk);
    h.run();
    let inside = crate::bench::scene::corners(&bounds).iter().all(|c| rect(&h).contains(seen(&h, c)));
    assert!(inside, "{:?}", h.state().bench.camera());
}

#[test]
fn hovering_a_mesh_is_told_once_when_it_begins_and_once_when_it_ends() {
    let mut heard = Vec::new();
    let mut bench = Bench::new(Box::new(NoPaint));
    let scene = cube_scene();
    bench.set_camera(bench.camera().framing(&cube().bounds().unwrap(), 1.0));
    let mut h = Harness::builder().with_size([400.0, 400.0]).build_ui_state(
        |ui, heard: &mut Vec<Option<MeshId>>| {
            for action in bench.show(ui, &scene, Mode::Look, &BenchStyle::dark()) {
                if let BenchAction::MeshHovered(id) = action {
                    heard.push(id);
                }
            }
        },
        std::mem::take(&mut heard),
    );
    h.run();
    let centre = h.get_by_label(ACCESSIBLE_NAME).rect().center();
    for at in [centre, centre + vec2(3.0, 0.0), centre - vec2(0.0, 5.0), Pos2::new(10.0, 10.0), Pos2::new(12.0, 10.0)] {
        h.hover_at(at);
        h.run();
    }
    assert_eq!(*h.state(), [Some(MeshId(7)), None]);
}
