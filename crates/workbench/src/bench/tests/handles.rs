use egui::{Pos2, Rect, Vec2, pos2, vec2};
use seamwright_geometry::{Plane, Point, Vector};

use super::cube;
use crate::bench::camera::Camera;
use crate::bench::cut_in_hand::CutInHand;
use crate::bench::drag::Drag;
use crate::bench::handles::Handles;
use crate::bench::view::View;
use crate::bench::{Handle, Lean, StandardView};

fn view(from: StandardView) -> View {
    let rect = Rect::from_min_size(Pos2::ZERO, vec2(1000.0, 700.0));
    View { camera: Camera::default().seen_from(from).framing(&cube().bounds().unwrap(), 1000.0 / 700.0), rect }
}

fn cut(normal: Vector, offset: f64) -> CutInHand {
    CutInHand::new(Plane::new(normal, offset).unwrap(), &cube().bounds().unwrap())
}

fn seen(view: &View, p: &Point) -> Pos2 {
    view.project(p).expect("in front")
}

fn knob_at(cut: &CutInHand, view: &View, i: usize) -> Pos2 {
    seen(view, &Handles::of(cut, view, None).knobs[i].at)
}

#[test]
fn handles_have_the_same_size_on_the_screen_however_near_the_camera_is() {
    let cut = cut(Vector::z(), 10.0);
    let near = view(StandardView::ThreeQuarter);
    let size = |view: &View| {
        let handles = Handles::of(&cut, view, None);
        let arrow = handles.arrow.expect("seen from the side");
        seen(view, &arrow.above[1]).distance(seen(view, &handles.seat))
    };
    let far = View { camera: near.camera.zoomed(&near.camera.target, 0.25), ..near };
    assert!((size(&near) - size(&far)).abs() < 0.05 * size(&near), "{} {}", size(&near), size(&far));
}

#[test]
fn each_handle_is_found_where_it_is_drawn_and_nothing_is_found_elsewhere() {
    let (cut, view) = (cut(Vector::new(0.2, 0.1, 1.0), 10.0), view(StandardView::ThreeQuarter));
    let handles = Handles::of(&cut, &view, None);
    let arrow = handles.arrow.expect("seen from the side");
    let near = Vec2::new(3.0, 2.0);
    assert_eq!(handles.under(&view, seen(&view, &arrow.above[1]) + near), Some(Handle::Move));
    assert_eq!(handles.under(&view, seen(&view, &arrow.below[1]) + near), Some(Handle::Move));
    assert_eq!(handles.under(&view, seen(&view, &handles.knobs[0].at) + near), Some(Handle::TiltFirst));
    assert_eq!(handles.under(&view, seen(&view, &handles.knobs[1].at) + near), Some(Handle::TiltSecond));
    assert_eq!(handles.under(&view, pos2(20.0, 20.0)), None);
}

#[test]
fn in_a_small_picture_the_handles_stay_in_it() {
    for size in [vec2(940.0, 420.0), vec2(310.0, 155.0)] {
        let rect = Rect::from_min_size(Pos2::ZERO, size);
        let aspect = f64::from(size.x / size.y);
        let camera = Camera::default().seen_from(StandardView::ThreeQuarter).framing(&cube().bounds().unwrap(), aspect);
        let (view, cut) = (View { camera, rect }, cut(Vector::z(), 0.0));
        let handles = Handles::of(&cut, &view, None);
        let arrow = handles.arrow.expect("seen from the side");
        for place in [arrow.above[1], arrow.below[1], handles.knobs[0].at, handles.knobs[1].at] {
            assert!(rect.contains(seen(&view, &place)), "{size:?}: {:?}", seen(&view, &place));
        }
    }
}

#[test]
fn an_arrow_that_points_at_the_viewer_is_not_offered() {
    let handles = Handles::of(&cut(Vector::z(), 0.0), &view(StandardView::Top), None);
    assert_eq!(handles.arrow, None);
}

#[test]
fn pulling_the_arrow_by_so_many_millimetres_moves_the_plane_by_as_many() {
    for (from, normal) in [
        (StandardView::Front, Vector::z()),
        (StandardView::ThreeQuarter, Vector::z()),
        (StandardView::ThreeQuarter, Vector::new(0.4, -0.2, 1.0)),
        (StandardView::Right, Vector::new(0.0, 1.0, 0.3)),
    ] {
        let (cut, view) = (cut(normal, 10.0), view(from));
        let n = cut.plane.normal();
        // Taken not at the tip but 31 mm along, a little off: the grab offset must be remembered.
        let beside = vec2(4.0, -3.0);
        let grab = cut.seat() + n * 31.0;
        let mut drag = Drag::begin(Handle::Move, &cut, &view, seen(&view, &grab) + beside);
        let moved = drag.follow(&view, seen(&view, &(grab + n * 17.5)) + beside, false);
        let by = moved.offset_mm() - cut.plane.offset_mm();
        assert!((by - 17.5).abs() < 0.6, "{from:?} {normal:?}: {by}");
        assert!((moved.normal() - n).norm() < 1e-12);
        // Back where it was taken, it is as it was.
        let back = drag.follow(&view, seen(&view, &grab) + beside, false);
        assert!((back.offset_mm() - cut.plane.offset_mm()).abs() < 1e-6);
    }
}

#[test]
fn a_snapped_move_stops_at_whole_millimetres() {
    let (cut, view) = (cut(Vector::z(), 10.3), view(StandardView::Front));
    let grab = cut.seat() + Vector::z() * 20.0;
    let mut drag = Drag::begin(Handle::Move, &cut, &view, seen(&view, &grab));
    for up in [0.0, 3.3, 7.77, -41.2] {
        let plane = drag.follow(&view, seen(&view, &(grab + Vector::z() * up)), true);
        assert_eq!(plane.offset_mm(), (10.3_f64 + up).round());
    }
}

#[test]
fn a_tilt_knob_follows_the_hand_and_changes_its_own_angle_only() {
    for (from, i, handle) in [
        (StandardView::ThreeQuarter, 0, Handle::TiltFirst),
        (StandardView::ThreeQuarter, 1, Handle::TiltSecond),
        (StandardView::Front, 1, Handle::TiltSecond),
        (StandardView::Right, 0, Handle::TiltFirst),
    ] {
        let (cut, view) = (cut(Vector::new(0.1, -0.2, 1.0), 12.0), view(from));
        let knob = Handles::of(&cut, &view, None).knobs[i].clone();
        let beside = vec2(3.0, -2.0);
        for turn_deg in [15.0, -40.0, 70.0] {
            let turned = nalgebra::Rotation3::new(knob.hinge * f64::to_radians(turn_deg));
            let mut drag = Drag::begin(handle, &cut, &view, seen(&view, &knob.at) + beside);
            let target = cut.seat() + turned * (knob.at - cut.seat());
            // In two steps, as a hand would.
            let halfway = cut.seat() + turned.powf(0.5) * (knob.at - cut.seat());
            drag.follow(&view, seen(&view, &halfway) + beside, false);
            let plane = drag.follow(&view, seen(&view, &target) + beside, false);
            let off = plane.normal().angle(&(turned * cut.plane.normal())).to_degrees();
            assert!(off < 1.5, "{from:?} {handle:?} by {turn_deg}: {off} degrees off");
            assert!(plane.distance_mm(&cut.seat()).abs() < 1e-9, "it turns about the place where the handles sit");
            let other = |n: &Vector| {
                let lean = Lean::against(Lean::of(&cut.plane.normal()).axes, n);
                if i == 0 { lean.second_deg } else { lean.first_deg }
            };
            let kept = other(&plane.normal()) - other(&cut.plane.normal());
            assert!(kept.abs() < 1e-6, "{from:?} {handle:?}: the other angle changes by {kept}");
        }
    }
}

#[test]
fn a_snapped_tilt_stops_at_whole_steps() {
    let (cut, view) = (cut(Vector::new(0.13, -0.21, 1.0), 12.0), view(StandardView::ThreeQuarter));
    for (i, handle) in [(0, Handle::TiltFirst), (1, Handle::TiltSecond)] {
        let at = knob_at(&cut, &view, i);
        let mut drag = Drag::begin(handle, &cut, &view, at);
        let mut stops = std::collections::BTreeSet::new();
        for up in [-60.0, -45.0, -20.0, 0.0, 25.0, 50.0] {
            let lean = Lean::of(&drag.follow(&view, at + vec2(0.0, up), true).normal());
            let deg = if i == 0 { lean.first_deg } else { lean.second_deg };
            assert!((deg / 5.0 - (deg / 5.0).round()).abs() < 1e-6, "{handle:?}: {deg}");
            stops.insert((deg / 5.0).round() as i32);
        }
        assert!(stops.len() >= 4, "{handle:?} reaches {stops:?}");
    }
}

#[test]
fn a_knob_seen_end_on_is_pulled_outwards_to_raise_it() {
    let (cut, view) = (cut(Vector::z(), 0.0), view(StandardView::Top));
    for (i, handle) in [(0, Handle::TiltFirst), (1, Handle::TiltSecond)] {
        let (at, seat) = (knob_at(&cut, &view, i), seen(&view, &cut.seat()));
        let outward = (at - seat).normalized();
        let mut drag = Drag::begin(handle, &cut, &view, at);
        let before = Handles::of(&cut, &view, Some(&drag)).knobs[i].at;
        let plane = drag.follow(&view, at + outward * 30.0, false);
        let tilted = CutInHand { plane, anchor: cut.seat(), ..cut };
        let after = Handles::of(&tilted, &view, Some(&drag)).knobs[i].at;
        assert!(after.z > before.z + 1.0, "{handle:?}: {before:?} {after:?}");
    }
}

#[test]
fn the_number_beside_the_handle_says_where_it_is_and_how_far_it_came() {
    let (cut, view) = (cut(Vector::z(), 10.0), view(StandardView::Front));
    let grab = cut.seat() + Vector::z() * 20.0;
    let mut drag = Drag::begin(Handle::Move, &cut, &view, seen(&view, &grab));
    let plane = drag.follow(&view, seen(&view, &(grab - Vector::z() * 12.0)), true);
    assert_eq!(drag.number(&plane, plane.offset_mm()), "−2.0 mm  (−12.0)");
    assert_eq!(drag.number(&cut.plane, cut.plane.offset_mm()), "10.0 mm  (+0.0)");
}

#[test]
fn a_drag_towards_the_vanishing_point_stays_finite() {
    let (cut, view) = (cut(Vector::new(0.0, 1.0, 0.02), 0.0), view(StandardView::Front));
    for from in [pos2(500.0, 350.0), pos2(510.0, 340.0)] {
        let mut drag = Drag::begin(Handle::Move, &cut, &view, from);
        for to in [pos2(500.0, 350.0), pos2(500.0, 352.0), pos2(0.0, 0.0), pos2(1e5, 1e5)] {
            let offset = drag.follow(&view, to, false).offset_mm();
            assert!(offset.is_finite() && offset.abs() <= 2.0 * view.camera.distance_mm, "{offset}");
        }
    }
}
