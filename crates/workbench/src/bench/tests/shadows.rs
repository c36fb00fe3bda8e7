//! What pieces cast on the bed.

use std::cell::RefCell;
use std::rc::Rc;

use egui::{Pos2, Rect, Vec2};
use image::RgbaImage;
use seamwright_geometry::{Bed, Bounds, Point, Vector};

use super::gl::{SIZE, Shared, headless};
use super::{cuboid, drawn};
use crate::bench::*;

/// A block of 60 × 60 mm, 10 mm high, whose foot is `lift_mm` above the middle of a bed of 200 mm.
fn block(lift_mm: f64) -> Scene {
    let whole = Bounds { min: Point::new(-100.0, -100.0, 0.0), max: Point::new(100.0, 100.0, 60.0) };
    Scene {
        drawn: vec![Drawn {
            offset: Vector::z() * lift_mm,
            ..drawn(1, cuboid([-30.0, -30.0, 0.0], [30.0, 30.0, 10.0]))
        }],
        bed: Some(BedUnderneath::under(Bed::rectangle(200.0, 200.0, 200.0), &whole)),
        ..Scene::default()
    }
}

fn from_above() -> Camera {
    let bed = Bounds { min: Point::new(-100.0, -100.0, 0.0), max: Point::new(100.0, 100.0, 1.0) };
    Camera::default().seen_from(StandardView::Top).framing(&bed, 1.0)
}

fn picture(gl: &mut HeadlessGl, scene: &Scene, style: &BenchStyle) -> RgbaImage {
    let mut bench = Bench::new(Box::new(gl.painter().expect("a painter")));
    bench.set_camera(from_above());
    let picture = gl.picture(SIZE, SIZE, 1.0, |ui| {
        bench.show(ui, scene, Mode::Look, style);
    });
    bench.shutdown();
    picture.expect("a picture")
}

/// Red, green and blue together at a place of the bed.
fn light_at(picture: &RgbaImage, [x, y]: [f64; 2]) -> i32 {
    let view = View { camera: from_above(), rect: Rect::from_min_size(Pos2::ZERO, Vec2::splat(SIZE as f32)) };
    let seen = view.project(&Point::new(x, y, 0.0)).expect("it is before the eye");
    picture.get_pixel(seen.x as u32, seen.y as u32).0[..3].iter().map(|c| i32::from(*c)).sum()
}

// Between the lines of the grid, which are 10 mm apart and begin at -100.
/// Beside the block, and not hidden by it where it hangs high.
const BESIDE: [f64; 2] = [37.0, 5.0];
const AT_THE_EDGE: [f64; 2] = [95.0, 95.0];

/// How much darker the block makes a place of the bed.
fn darker(gl: &mut HeadlessGl, scene: &Scene, style: &BenchStyle, place: [f64; 2]) -> i32 {
    let bare = Scene { drawn: Vec::new(), ..scene.clone() };
    light_at(&picture(gl, &bare, style), place) - light_at(&picture(gl, scene, style), place)
}

#[test]
fn a_piece_darkens_the_bed_around_it_and_not_far_from_it() {
    let Some(mut gl) = headless() else { return };
    for style in [BenchStyle::light(), BenchStyle::dark()] {
        let (near, far) =
            (darker(&mut gl, &block(0.0), &style, BESIDE), darker(&mut gl, &block(0.0), &style, AT_THE_EDGE));
        assert!(near > 6 && far * 4 < near, "beside it {near}, at the edge {far}");
        let none = BenchStyle { shadow: 0.0, ..style };
        assert_eq!(darker(&mut gl, &block(0.0), &none, BESIDE), 0, "there is no shadow to be measured");
    }
}

#[test]
fn the_higher_a_piece_hangs_the_fainter_is_its_shadow() {
    let Some(mut gl) = headless() else { return };
    let style = BenchStyle::light();
    let [stands, hangs, high] = [0.0, 20.0, 60.0].map(|lift| darker(&mut gl, &block(lift), &style, BESIDE));
    assert!(stands > hangs && hangs > high, "{stands}, {hangs}, {high}");
}

#[test]
fn what_lies_under_the_bed_or_is_not_solid_casts_no_shadow() {
    let Some(mut gl) = headless() else { return };
    let style = BenchStyle::light();
    assert_eq!(darker(&mut gl, &block(-70.0), &style, BESIDE), 0);
    for emphasis in [Emphasis::Hidden, Emphasis::Ghost] {
        let mut scene = block(0.0);
        scene.drawn[0].emphasis = emphasis;
        assert_eq!(darker(&mut gl, &scene, &style, BESIDE), 0, "{emphasis:?}");
    }
}

#[test]
fn the_grid_can_be_read_in_the_shadow_as_in_the_light() {
    let Some(mut gl) = headless() else { return };
    for style in [BenchStyle::light(), BenchStyle::dark()] {
        // Of 60 pixels in a row along x, those on lines differ from those between.
        let contrast = |picture: &RgbaImage| {
            let row: Vec<i32> = (0..60).map(|i| light_at(picture, [36.0 + f64::from(i) * 0.5, 5.0])).collect();
            let (low, high) = (*row.iter().min().unwrap_or(&0), *row.iter().max().unwrap_or(&0));
            f64::from(high - low) / f64::from(high)
        };
        let none = BenchStyle { shadow: 0.0, ..style };
        let (shaded, lit) =
            (contrast(&picture(&mut gl, &block(0.0), &style)), contrast(&picture(&mut gl, &block(0.0), &none)));
        assert!(shaded > 0.75 * lit && lit > 0.03, "{shaded:.3} in the shadow, {lit:.3} in the light");
    }
}

#[test]
fn a_shadow_is_made_once_and_kept_while_only_the_eye_or_the_cut_moves() {
    let Some(mut gl) = headless() else { return };
    let painter = Rc::new(RefCell::new(gl.painter().expect("a painter")));
    let mut bench = Bench::new(Box::new(Shared(Rc::clone(&painter))));
    let mut show = |bench: &mut Bench, scene: &Scene| {
        let shown = gl.picture(SIZE, SIZE, 1.0, |ui| {
            bench.show(ui, scene, Mode::Look, &BenchStyle::light());
        });
        shown.expect("a picture");
        painter.borrow().shadow_redraws()
    };
    let mut scene = block(0.0);
    for heading_deg in [0.0, 20.0, 40.0] {
        bench.set_camera(Camera { heading_deg, ..from_above() });
        assert_eq!(show(&mut bench, &scene), 1);
    }
    let bounds = scene.bounds().expect("a block");
    for offset in [10.0, 20.0] {
        let plane = seamwright_geometry::Plane::new(Vector::z(), offset).expect("a plane");
        scene.cut = Some(CutInHand::new(plane, &bounds));
        assert_eq!(show(&mut bench, &scene), 1);
    }
    scene.drawn[0].offset = Vector::x() * 10.0;
    assert_eq!(show(&mut bench, &scene), 2, "the piece moved");
    scene.drawn[0].emphasis = Emphasis::Hidden;
    assert_eq!(show(&mut bench, &scene), 3, "it is out of sight");
    bench.shutdown();
}
