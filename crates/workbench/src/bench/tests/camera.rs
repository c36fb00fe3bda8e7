use egui::{Pos2, Rect, pos2, vec2};
use seamwright_geometry::{Bounds, Point, Vector};

use super::{close, random};
use crate::bench::camera::{Camera, StandardView, wrap_deg};
use crate::bench::scene::corners;
use crate::bench::view::View;

fn view(camera: Camera) -> View {
    View { camera, rect: Rect::from_min_size(pos2(40.0, 25.0), vec2(900.0, 600.0)) }
}

fn cameras() -> Vec<Camera> {
    let mut r = random(3);
    let mut all: Vec<Camera> = StandardView::ALL.iter().map(|v| Camera::default().seen_from(*v)).collect();
    all.extend((0..40).map(|_| Camera {
        target: Point::new(200.0 * r(), 200.0 * r(), 200.0 * r()),
        distance_mm: 500.0 + 400.0 * r(),
        heading_deg: 180.0 * r(),
        elevation_deg: 90.0 * r(),
    }));
    all
}

#[test]
fn a_ray_through_a_screen_point_is_seen_at_that_point() {
    for camera in cameras() {
        let view = view(camera);
        for at in [pos2(40.0, 25.0), pos2(490.0, 325.0), pos2(900.0, 100.0), pos2(321.0, 567.0)] {
            let seen = view.project(&view.ray(at).at(camera.distance_mm)).expect("in front");
            assert!(seen.distance(at) < 1e-2, "{camera:?} {at:?} {seen:?}");
        }
    }
}

#[test]
fn what_is_behind_the_eye_is_not_seen() {
    for camera in cameras() {
        let behind = camera.eye() + camera.axes()[2] * 10.0;
        assert_eq!(view(camera).project(&behind), None);
    }
}

#[test]
fn the_picture_agrees_with_the_matrices_of_the_graphics_card() {
    for camera in cameras() {
        let view = view(camera);
        let matrix = camera.projection(view.aspect(), 1.0, 10_000.0) * camera.rotation();
        let p = camera.target + Vector::new(31.0, -17.0, 23.0);
        let clip = matrix * (p - camera.eye()).push(1.0);
        let x = view.rect.center().x + (clip.x / clip.w) as f32 * view.rect.width() / 2.0;
        let y = view.rect.center().y - (clip.y / clip.w) as f32 * view.rect.height() / 2.0;
        let seen = view.project(&p).expect("in front");
        assert!(seen.distance(Pos2::new(x, y)) < 1e-2, "{camera:?}: {seen:?} {x} {y}");
    }
}

#[test]
fn zooming_keeps_the_place_under_the_pointer() {
    for camera in cameras() {
        let at = pos2(700.0, 180.0);
        let fixed = view(camera).place_at_depth_of(&camera.target, at);
        for factor in [0.3, 0.9, 1.2, 4.0] {
            let zoomed = camera.zoomed(&fixed, factor);
            let seen = view(zoomed).project(&fixed).expect("in front");
            assert!(seen.distance(at) < 1e-2, "{camera:?} by {factor}: {seen:?}");
            assert!((zoomed.distance_mm * factor / camera.distance_mm - 1.0).abs() < 1e-12);
        }
    }
}

#[test]
fn turning_keeps_the_grabbed_place_and_the_distance() {
    for camera in cameras() {
        let pivot = camera.target + Vector::new(40.0, 25.0, -30.0);
        let before = view(camera).project(&pivot).expect("in front");
        let turned = camera.orbited(&pivot, 33.0, 14.0);
        let after = view(turned).project(&pivot).expect("in front");
        assert!(after.distance(before) < 1e-2, "{camera:?}: {before:?} {after:?}");
        assert_eq!(turned.distance_mm, camera.distance_mm);
        assert!(turned.elevation_deg <= 90.0);
    }
}

#[test]
fn the_frame_holds_every_corner_and_no_more_room_than_said() {
    let bounds = Bounds { min: Point::new(-20.0, 5.0, 0.0), max: Point::new(180.0, 45.0, 310.0) };
    for camera in cameras() {
        let framed = camera.framing(&bounds, view(camera).aspect());
        let view = view(framed);
        let inner = view.rect;
        let seen = corners(&bounds).map(|c| view.project(&c).expect("in front"));
        assert!(seen.iter().all(|p| inner.contains(*p)), "{camera:?}: {seen:?}");
        let hull = seen.iter().fold(Rect::NOTHING, |r, p| r.union(Rect::from_min_max(*p, *p)));
        let filled = (hull.width() / inner.width()).max(hull.height() / inner.height());
        // The room left is a twelfth and a bit: 1 / 1.12.
        assert!((filled - 1.0 / 1.12).abs() < 0.01, "{camera:?}: {filled}");
        assert_eq!((framed.heading_deg, framed.elevation_deg), (camera.heading_deg, camera.elevation_deg));
    }
}

#[test]
fn the_standard_views_look_where_they_say() {
    let towards = |v: StandardView| -Camera::default().seen_from(v).axes()[2];
    let pairs = [
        (StandardView::Front, Vector::y()),
        (StandardView::Back, -Vector::y()),
        (StandardView::Left, Vector::x()),
        (StandardView::Right, -Vector::x()),
        (StandardView::Top, -Vector::z()),
        (StandardView::Bottom, Vector::z()),
    ];
    for (v, expected) in pairs {
        assert!((towards(v) - expected).norm() < 1e-12, "{v:?}");
    }
    // Seen from above, x goes to the right and y up.
    let [right, up, _] = Camera::default().seen_from(StandardView::Top).axes();
    assert!((right - Vector::x()).norm() < 1e-12 && (up - Vector::y()).norm() < 1e-12);
}

#[test]
fn what_is_drawn_lies_within_the_range_of_depths() {
    let bounds = Bounds { min: Point::new(-50.0, -60.0, -70.0), max: Point::new(80.0, 90.0, 100.0) };
    for camera in cameras() {
        let camera = camera.framing(&bounds, 1.5);
        let (near, far) = camera.depth_range_mm(&bounds);
        assert!(near > 0.0 && near < far);
        for c in corners(&bounds) {
            let depth = (camera.eye() - c).dot(&camera.axes()[2]);
            assert!(near <= depth && depth <= far, "{depth} in {near}..{far}");
        }
    }
}

#[test]
fn a_blend_begins_and_ends_where_it_should_and_turns_the_shorter_way() {
    let from = Camera { heading_deg: 170.0, ..Camera::default() };
    let to = Camera { heading_deg: -160.0, target: Point::new(9.0, 8.0, 7.0), ..Camera::default() };
    let same = |a: Camera, b: Camera| {
        close(&a.target, &b.target, 1e-9)
            && (a.distance_mm - b.distance_mm).abs() < 1e-9
            && wrap_deg(a.heading_deg - b.heading_deg).abs() < 1e-9
    };
    assert!(same(from.blended(&to, 0.0), from));
    assert!(same(from.blended(&to, 1.0), to));
    assert!((wrap_deg(from.blended(&to, 0.5).heading_deg + 175.0)).abs() < 1e-9);
}

#[test]
fn the_camera_stays_at_a_usable_distance() {
    let mut camera = Camera::default();
    for _ in 0..500 {
        camera = camera.zoomed(&camera.target, 2.0);
    }
    assert!(camera.distance_mm > 0.0);
    for _ in 0..500 {
        camera = camera.zoomed(&camera.target, 0.5);
    }
    assert!(camera.distance_mm.is_finite() && camera.eye().coords.iter().all(|x| x.is_finite()));
}
