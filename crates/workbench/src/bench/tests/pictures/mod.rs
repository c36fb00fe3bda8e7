//! Pictures of scenes that matter, compared with those that were agreed on. `SEAMWRIGHT_RENEW_PICTURES=1` makes what is drawn
//! now the agreed ones: look at them before they are kept.

mod compare;
mod scenes;

use image::{DynamicImage, RgbImage, RgbaImage};
use seamwright_geometry::{Bounds, Point};

use self::compare::{compare, looks_like};
use self::scenes::{Helm, beds, blocks_on, sections};
use super::gl::headless;
use crate::bench::*;

/// Large enough for the hatch of a verdict to be told, small enough to be kept by the dozen.
const SIZE: [u32; 2] = [300, 188];

fn picture(gl: &mut HeadlessGl, scene: &Scene, camera: Camera, style: &BenchStyle) -> RgbaImage {
    let mut bench = Bench::new(Box::new(gl.painter().expect("a painter")));
    bench.set_camera(camera);
    let [width, height] = SIZE;
    let picture = gl.picture(width, height, 1.0, |ui| {
        bench.show(ui, scene, Mode::Look, style);
    });
    bench.shutdown();
    picture.expect("a picture")
}

fn framing(bounds: &Bounds) -> Camera {
    let [width, height] = SIZE.map(f64::from);
    Camera::default().seen_from(StandardView::ThreeQuarter).framing(bounds, width / height)
}

fn framing_all(scene: &Scene) -> Camera {
    framing(&scene.bounds().expect("something is drawn"))
}

fn all_alike(results: impl IntoIterator<Item = Result<(), String>>) {
    let complaints: Vec<String> = results.into_iter().filter_map(Result::err).collect();
    assert!(complaints.is_empty(), "{}", complaints.join("\n"));
}

#[test]
fn the_helm_looks_as_agreed() {
    let Some(mut gl) = headless() else { return };
    let helm = Helm::new();
    let (light, dark) = (BenchStyle::light(), BenchStyle::dark());
    let scenes = [
        ("helm-verdicts-light", helm.on_a_small_bed(), light, 22.0),
        ("helm-verdicts-dark", helm.on_a_small_bed(), dark, 22.0),
        ("helm-apart", helm.apart(), light, 22.0),
        ("helm-cut-in-hand-light", helm.with_cut_in_hand(0.0), light, 22.0),
        ("helm-cut-in-hand-dark", helm.with_cut_in_hand(0.0), dark, 22.0),
        ("helm-measured", helm.measured(), light, 10.0),
    ];
    all_alike(scenes.map(|(name, scene, style, elevation_deg)| {
        let camera = framing_all(&scene);
        let camera = Camera { elevation_deg, ..camera };
        compare(name, &picture(&mut gl, &scene, camera, &style))
    }));
}

#[test]
fn faces_that_were_cut_look_as_agreed() {
    let Some(mut gl) = headless() else { return };
    all_alike([("sections-light", BenchStyle::light()), ("sections-dark", BenchStyle::dark())].map(|(name, style)| {
        let scene = sections(true);
        compare(name, &picture(&mut gl, &scene, framing_all(&scene), &style))
    }));
}

#[test]
fn beds_of_every_shape_look_as_agreed_with_the_shadows_on_them() {
    let Some(mut gl) = headless() else { return };
    all_alike(beds().map(|(name, bed)| {
        let [[x0, y0], [x1, y1]] = bed.extent_mm();
        let room = Bounds { min: Point::new(x0, y0, 0.0), max: Point::new(x1, y1, 70.0) };
        let camera = Camera { elevation_deg: 40.0, ..framing(&room) };
        let style = if name == "bed-round" { BenchStyle::dark() } else { BenchStyle::light() };
        compare(name, &picture(&mut gl, &blocks_on(bed), camera, &style))
    }));
}

/// What the tolerance must not let through.
#[test]
fn a_moved_cut_a_missing_hatch_and_a_missing_shadow_do_not_look_alike() {
    let Some(mut gl) = headless() else { return };
    let helm = Helm::new();
    let light = BenchStyle::light();
    let mut drawn = |scene: &Scene, camera: Camera, style: &BenchStyle| -> RgbImage {
        DynamicImage::ImageRgba8(picture(&mut gl, scene, camera, style)).into_rgb8()
    };

    let scene = helm.with_cut_in_hand(0.0);
    let camera = framing_all(&scene);
    let agreed = drawn(&scene, camera, &light);
    assert!(looks_like(&drawn(&scene, camera, &light), &agreed), "the same looks alike");
    // Three pixels in this picture.
    assert!(!looks_like(&drawn(&helm.with_cut_in_hand(5.0), camera, &light), &agreed), "a cut was moved by 5 mm");

    let too_big = helm.on_a_small_bed();
    let mut plain = too_big.clone();
    plain.drawn.iter_mut().for_each(|drawn| drawn.held_against = None);
    let agreed = drawn(&too_big, camera, &light);
    assert!(!looks_like(&drawn(&plain, camera, &light), &agreed), "what sticks out is not marked");

    let camera = framing_all(&sections(true));
    let agreed = drawn(&sections(true), camera, &light);
    assert!(!looks_like(&drawn(&sections(false), camera, &light), &agreed), "the sections are not hatched");

    let [(_, bed), ..] = beds();
    let blocks = blocks_on(bed);
    let camera = framing_all(&blocks);
    let agreed = drawn(&blocks, camera, &light);
    let none = BenchStyle { shadow: 0.0, ..light };
    assert!(!looks_like(&drawn(&blocks, camera, &none), &agreed), "there is no shadow");
}
