//! Beds of every shape, and what sticks out of them, in pictures.

use std::sync::Arc;

use egui::{Pos2, Rect, Vec2};
use image::RgbaImage;
use seamwright_geometry::{Bed, Bounds, KeepOut, Motion, Outline, Point};

use super::cube_scene;
use super::gl::{SIZE, colour_at, difference, front, headless, picture};
use crate::bench::camera::Camera;
use crate::bench::*;

/// A bed alone, and the camera that looks down on it.
fn alone(bed: Bed) -> (Scene, Camera) {
    let [[x0, y0], [x1, y1]] = bed.extent_mm();
    let bounds = Bounds { min: Point::new(x0, y0, 0.0), max: Point::new(x1, y1, 1.0) };
    let scene = Scene { bed: Some(BedUnderneath { bed, corner: bounds.min }), ..Scene::default() };
    (scene, Camera::default().seen_from(StandardView::Top).framing(&bounds, 1.0))
}

/// The colour at a place of the bed.
fn at(image: &RgbaImage, camera: Camera, place: [f64; 2]) -> [u8; 3] {
    let view = View { camera, rect: Rect::from_min_size(Pos2::ZERO, Vec2::splat(SIZE as f32)) };
    let seen = view.project(&Point::new(place[0], place[1], 0.0)).unwrap();
    colour_at(image, seen.x as u32, seen.y as u32)
}

fn apart(a: [u8; 3], b: [u8; 3]) -> u8 {
    a.iter().zip(b).map(|(x, y)| x.abs_diff(y)).max().unwrap_or(0)
}

#[test]
fn a_bed_is_drawn_in_its_own_shape() {
    let Some(mut gl) = headless() else { return };
    let empty = |gl: &mut _, camera| picture(gl, &Scene::default(), camera);
    let l_shape = vec![[-50.0, 0.0], [150.0, 0.0], [150.0, 80.0], [30.0, 80.0], [30.0, 200.0], [-50.0, 200.0]];
    for (bed, inside, outside) in [
        (Bed::round(200.0, 150.0), vec![[100.0, 100.0], [100.0, 12.0]], vec![[14.0, 14.0], [186.0, 186.0]]),
        (
            Bed::of(Outline::Polygon { corners_mm: l_shape }, 150.0),
            vec![[-30.0, 180.0], [130.0, 20.0], [0.0, 40.0]],
            vec![[110.0, 140.0], [60.0, 180.0]],
        ),
    ] {
        let (scene, camera) = alone(bed);
        let (image, paper) = (picture(&mut gl, &scene, camera), empty(&mut gl, camera));
        for place in inside {
            assert!(apart(at(&image, camera, place), at(&paper, camera, place)) > 3, "{place:?} is bed");
        }
        for place in outside {
            assert!(apart(at(&image, camera, place), at(&paper, camera, place)) <= 2, "{place:?} is paper");
        }
    }
}

#[test]
fn margin_and_keep_out_zones_are_drawn_on_the_bed() {
    let Some(mut gl) = headless() else { return };
    let plain = Bed::rectangle(200.0, 200.0, 150.0);
    let zone =
        |from_mm| KeepOut { corners_mm: vec![[120.0, 20.0], [180.0, 20.0], [180.0, 80.0], [120.0, 80.0]], from_mm };
    let (scene, camera) = alone(plain.clone());
    let before = picture(&mut gl, &scene, camera);
    let picture_of = |gl: &mut _, bed: Bed| picture(gl, &alone(bed).0, camera);
    let margin = picture_of(&mut gl, Bed { margin_mm: 20.0, ..plain.clone() });
    assert!(apart(at(&margin, camera, [100.0, 10.0]), at(&before, camera, [100.0, 10.0])) > 3);
    assert_eq!(at(&margin, camera, [100.0, 120.0]), at(&before, camera, [100.0, 120.0]));
    let ground = picture_of(&mut gl, Bed { keep_outs: vec![zone(0.0)], ..plain.clone() });
    let overhead = picture_of(&mut gl, Bed { keep_outs: vec![zone(60.0)], ..plain });
    assert!(difference(&before, &ground) > 300, "it is hatched");
    assert!(difference(&ground, &overhead) > 100, "one that begins higher up is told from it");
}

#[test]
fn what_sticks_out_of_a_bed_is_marked_and_the_rest_is_not() {
    let Some(mut gl) = headless() else { return };
    // The cube is 100 mm wide; of a bed of 60 mm by as much as is needed it sticks out to both sides.
    let bed = Bed::rectangle(60.0, 200.0, 200.0);
    let mut scene = cube_scene();
    scene.drawn[0].follows_cut = false;
    scene.drawn[0].tone = Tone::TooBig;
    let before = picture(&mut gl, &scene, front());
    let bed_from_piece = Motion::translation(30.0, 100.0, 50.0);
    scene.drawn[0].held_against = Some(Arc::new(HeldAgainst { bed, bed_from_piece }));
    let marked = picture(&mut gl, &scene, front());
    let light = |image: &RgbaImage, x: u32| -> u32 {
        let [r, g, b] = colour_at(image, x, 120);
        u32::from(r) + u32::from(g) + u32::from(b)
    };
    // The picture shows 110 mm or so across: these are about 40 mm off the middle.
    let (left, right) = (SIZE / 8, SIZE - SIZE / 8);
    for x in [left, right] {
        assert!(light(&marked, x) * 3 < light(&before, x) * 2, "{x}: what sticks out is darker");
    }
    assert_eq!(colour_at(&marked, SIZE / 2, 120), colour_at(&before, SIZE / 2, 120));
    // Lifted out of a low bed, its top is marked instead.
    let low = Bed::rectangle(200.0, 200.0, 60.0);
    scene.drawn[0].held_against =
        Some(Arc::new(HeldAgainst { bed: low, bed_from_piece: Motion::translation(100.0, 100.0, 50.0) }));
    let low = picture(&mut gl, &scene, front());
    assert_eq!(light(&low, left), light(&before, left));
    assert!(difference(&low, &before) > 1000);
}
