//! With GL on a surfaceless EGL context. Where there is none, each test says so and is passed over.

use std::cell::RefCell;
use std::rc::Rc;
use std::sync::Arc;

use egui::Color32;
use image::RgbaImage;
use seamwright_geometry::{Bed, Plane, Point, Vector};

use super::{cube, cube_scene, cuboid, drawn};
use crate::bench::camera::Camera;
use crate::bench::headless::PACKAGES;
use crate::bench::*;

pub(in crate::bench) fn headless() -> Option<HeadlessGl> {
    match HeadlessGl::new() {
        Ok(gl) => Some(gl),
        Err(e) => {
            // As for every other tool: whoever fetched all that the tests need wants none passed over.
            assert!(std::env::var_os("SEAMWRIGHT_TOOLS_REQUIRED").is_none(), "no GL to test with: {e}");
            say(&format!("SKIPPED, for want of GL: {e}"));
            None
        }
    }
}

/// Past the test harness, which keeps back what passing tests print.
fn say(text: &str) {
    use std::io::Write as _;
    let _ = writeln!(std::io::stderr(), "{text}");
}

pub(in crate::bench) const SIZE: u32 = 240;

pub(super) fn picture(gl: &mut HeadlessGl, scene: &Scene, camera: Camera) -> RgbaImage {
    styled_picture(gl, scene, camera, &BenchStyle::light())
}

pub(super) fn styled_picture(gl: &mut HeadlessGl, scene: &Scene, camera: Camera, style: &BenchStyle) -> RgbaImage {
    let mut bench = Bench::new(Box::new(gl.painter().expect("a painter")));
    bench.set_camera(camera);
    let image = gl.picture(SIZE, SIZE, 1.0, |ui| {
        bench.show(ui, scene, Mode::Look, style);
    });
    bench.shutdown();
    image.expect("a picture")
}

pub(super) fn front() -> Camera {
    Camera::default().seen_from(StandardView::Front).framing(&cube().bounds().unwrap(), 1.0)
}

/// The middle colour of a patch, component by component: hatch lines don't count when they cover less than half.
pub(super) fn colour_at(image: &RgbaImage, x: u32, y: u32) -> [u8; 3] {
    let mut samples: Vec<[u8; 3]> = Vec::new();
    for dx in 0..15 {
        for dy in 0..15 {
            let [r, g, b, _] = image.get_pixel(x + dx - 7, y + dy - 7).0;
            samples.push([r, g, b]);
        }
    }
    std::array::from_fn(|k| {
        let mut all: Vec<u8> = samples.iter().map(|s| s[k]).collect();
        all.sort_unstable();
        all[all.len() / 2]
    })
}

/// How far the hues of two colours are apart, degrees. Shading changes lightness more than hue.
fn hue_apart_deg(a: [u8; 3], b: Color32) -> f32 {
    let hue = |[r, g, b]: [u8; 3]| egui::ecolor::Hsva::from_srgb([r, g, b]).h * 360.0;
    let d = (hue(a) - hue([b.r(), b.g(), b.b()])).rem_euclid(360.0);
    d.min(360.0 - d)
}

fn halved(below: Tone, above: Tone) -> Scene {
    let plane = Plane::new(Vector::z(), 0.0).unwrap();
    let mut cut = CutInHand::new(plane, &cube().bounds().unwrap());
    (cut.below, cut.above, cut.held) = (below, above, false);
    Scene { cut: Some(cut), ..cube_scene() }
}

pub(super) fn difference(a: &RgbaImage, b: &RgbaImage) -> usize {
    a.pixels().zip(b.pixels()).filter(|(p, q)| p.0.iter().zip(q.0).any(|(x, y)| x.abs_diff(y) > 12)).count()
}

#[test]
fn both_sides_of_the_cut_have_the_colour_of_their_verdict() {
    let Some(mut gl) = headless() else { return };
    let style = BenchStyle::light();
    for (below, above) in
        [(Tone::TooBig, Tone::AsItStands), (Tone::Turned, Tone::TooBig), (Tone::Tilted, Tone::Undecided)]
    {
        let image = picture(&mut gl, &halved(below, above), front());
        for (y, tone, other) in [(60, above, below), (180, below, above)] {
            let got = colour_at(&image, 120, y);
            let (own, wrong) = (hue_apart_deg(got, style.colour(tone)), hue_apart_deg(got, style.colour(other)));
            assert!(own < 18.0 && own < wrong, "{tone:?} at {y}: {got:?}, {own}° and {wrong}° off");
        }
    }
}

#[test]
fn moving_the_cut_moves_the_border_of_the_colours() {
    let Some(mut gl) = headless() else { return };
    let border = |gl: &mut HeadlessGl, offset: f64| {
        let mut scene = halved(Tone::TooBig, Tone::AsItStands);
        let cut = scene.cut.as_mut().unwrap();
        cut.plane = Plane::new(Vector::z(), offset).unwrap();
        let image = picture(gl, &scene, front());
        // Green over red, down the middle; a column free of the sheet's grid.
        (0..SIZE).rev().find(|&y| {
            let [r, g, _, _] = image.get_pixel(97, y).0;
            g > r && y < SIZE - 30
        })
    };
    let (at_zero, at_twenty) = (border(&mut gl, 0.0).unwrap(), border(&mut gl, 20.0).unwrap());
    let view = View { camera: front(), rect: egui::Rect::from_min_size(egui::Pos2::ZERO, egui::Vec2::splat(240.0)) };
    let seen = |z: f64| view.project(&Point::new(0.0, -50.0, z)).unwrap().y;
    assert!((at_zero as f32 - seen(0.0)).abs() < 4.0, "{at_zero} {}", seen(0.0));
    assert!((at_twenty as f32 - seen(20.0)).abs() < 4.0, "{at_twenty} {}", seen(20.0));
}

#[test]
fn verdicts_differ_in_their_hatch_and_not_in_colour_alone() {
    let Some(mut gl) = headless() else { return };
    // How much darker the darkest tenth of a patch is than its middle, in grey.
    let roughness = |image: &RgbaImage| {
        let mut grey: Vec<u32> = (80..160)
            .flat_map(|x| (80..160).map(move |y| (x, y)))
            .map(|(x, y)| image.get_pixel(x, y).0[..3].iter().map(|&c| u32::from(c)).sum::<u32>() / 3)
            .collect();
        grey.sort_unstable();
        grey[grey.len() * 8 / 10] - grey[grey.len() / 20]
    };
    let mut pictures = Vec::new();
    for tone in Tone::ALL {
        let mut scene = cube_scene();
        scene.drawn[0].tone = tone;
        let image = picture(&mut gl, &scene, front());
        let rough = roughness(&image);
        if tone.pattern() == Pattern::Plain {
            assert!(rough < 8, "{tone:?} should be plain: {rough}");
        } else {
            assert!(rough > 20, "{tone:?} should be hatched: {rough}");
        }
        pictures.push((tone, image));
    }
    for (i, (a, first)) in pictures.iter().enumerate() {
        for (b, second) in &pictures[i + 1..] {
            assert!(difference(first, second) > 2000, "{a:?} and {b:?} look the same");
        }
    }
}

#[test]
fn a_mesh_that_does_not_follow_the_cut_keeps_its_own_tone() {
    let Some(mut gl) = headless() else { return };
    let mut scene = halved(Tone::TooBig, Tone::TooBig);
    scene.drawn[0].follows_cut = false;
    scene.drawn[0].tone = Tone::Turned;
    let got = colour_at(&picture(&mut gl, &scene, front()), 120, 60);
    assert!(hue_apart_deg(got, BenchStyle::light().colour(Tone::Turned)) < 18.0, "{got:?}");
}

#[test]
fn a_mesh_that_follows_the_cut_may_have_its_own_tones() {
    let Some(mut gl) = headless() else { return };
    let mut scene = halved(Tone::TooBig, Tone::TooBig);
    scene.drawn[0].side_tones = Some([Tone::AsItStands; 2]);
    let got = picture(&mut gl, &scene, front());
    scene.drawn[0].side_tones = None;
    assert!(difference(&got, &picture(&mut gl, &scene, front())) > 2000, "its own tones are not drawn");
    let expected = picture(&mut gl, &halved(Tone::AsItStands, Tone::AsItStands), front());
    assert_eq!(difference(&got, &expected), 0);
}

#[test]
fn the_outline_is_chalk_where_it_is_seen_and_shows_faintly_through_the_model() {
    let Some(mut gl) = headless() else { return };
    let mut scene = halved(Tone::TooBig, Tone::TooBig);
    let ring = |y: f64| vec![Point::new(-40.0, y, 30.0), Point::new(40.0, y, 30.0)];
    let lightest = |image: &RgbaImage| (40..80).map(|y| image.get_pixel(120, y).0[2]).max().unwrap();
    let without = lightest(&picture(&mut gl, &scene, front()));
    scene.outlines = Arc::new(vec![ring(-50.0)]);
    let before = lightest(&picture(&mut gl, &scene, front()));
    scene.outlines = Arc::new(vec![ring(50.0)]);
    let behind = lightest(&picture(&mut gl, &scene, front()));
    assert!(before > 200, "chalk is nearly white: {before}");
    assert!(behind > without + 15 && behind < before, "{without} < {behind} < {before}");
}

#[test]
fn an_inverted_mesh_looks_unlike_a_sound_one() {
    let Some(mut gl) = headless() else { return };
    let mut inverted = cube();
    inverted.triangles.iter_mut().for_each(|t| t.swap(0, 1));
    let mut scene = cube_scene();
    let sound = picture(&mut gl, &scene, front());
    scene.drawn = vec![Drawn::new(MeshId(1), Arc::new(Body::new(Arc::new(inverted))))];
    let turned = picture(&mut gl, &scene, front());
    assert!(difference(&sound, &turned) > 10_000, "{}", difference(&sound, &turned));
}

#[test]
fn caps_hidden_meshes_selection_bed_and_ghosts_show() {
    let Some(mut gl) = headless() else { return };
    let plain = picture(&mut gl, &cube_scene(), front());
    let changed = |gl: &mut HeadlessGl, change: &dyn Fn(&mut Scene)| {
        let mut scene = cube_scene();
        change(&mut scene);
        difference(&plain, &picture(gl, &scene, front()))
    };
    let capped = |s: &mut Scene| {
        let body = Body::new(Arc::new(cube())).with_caps(Arc::new(vec![true; 12]));
        s.drawn = vec![Drawn::new(MeshId(1), Arc::new(body))];
    };
    assert!(changed(&mut gl, &capped) > 5_000);
    assert!(changed(&mut gl, &|s| s.drawn[0].emphasis = Emphasis::Hidden) > 10_000);
    assert!(changed(&mut gl, &|s| s.drawn[0].emphasis = Emphasis::Ghost) > 5_000);
    assert!(changed(&mut gl, &|s| s.drawn[0].emphasis = Emphasis::Selected) > 400);
    let bed = |s: &mut Scene| {
        s.bed = Some(BedUnderneath::under(Bed::rectangle(220.0, 220.0, 250.0), &cube().bounds().unwrap()));
    };
    assert!(changed(&mut gl, &bed) > 100);
    assert_eq!(changed(&mut gl, &|_| {}), 0, "the same scene gives the same picture");
}

#[test]
fn far_from_the_origin_the_picture_is_the_same() {
    let Some(mut gl) = headless() else { return };
    let far = [40_000.0, -70_000.0, 20_000.0];
    let here = halved(Tone::TooBig, Tone::AsItStands);
    let mut there = here.clone();
    there.drawn = vec![drawn(1, cuboid(far.map(|x| x - 50.0), far.map(|x| x + 50.0)))];
    let cut = there.cut.as_mut().unwrap();
    cut.plane = Plane::new(Vector::z(), far[2]).unwrap();
    cut.anchor += Vector::from(far);
    cut.around = there.drawn[0].bounds().unwrap();
    let camera = Camera { target: front().target + Vector::from(far), ..front() };
    let (a, b) = (picture(&mut gl, &here, front()), picture(&mut gl, &there, camera));
    // Hatch lines are fixed in space, so they may fall elsewhere; the plain side must not change.
    let upper = |i: &RgbaImage| image::imageops::crop_imm(i, 40, 30, 160, 80).to_image();
    let off = difference(&upper(&a), &upper(&b));
    assert!(off < 200, "{off} pixels differ");
}

/// A painter that can still be asked while a bench has it.
pub(super) struct Shared(pub(super) Rc<RefCell<GlowPaint>>);

impl ViewportPainter for Shared {
    fn paint(&mut self, ui: &egui::Ui, rect: egui::Rect, frame: Frame) {
        self.0.borrow_mut().paint(ui, rect, frame);
    }
    fn shutdown(&mut self) {
        self.0.borrow_mut().shutdown();
    }
}

#[test]
fn an_unchanged_scene_is_copied_and_not_drawn_again() {
    let Some(mut gl) = headless() else { return };
    let painter = Rc::new(RefCell::new(gl.painter().expect("a painter")));
    let mut bench = Bench::new(Box::new(Shared(painter.clone())));
    bench.set_camera(front());
    let style = BenchStyle::light();
    let mut scene = halved(Tone::TooBig, Tone::AsItStands);
    let mut show = |bench: &mut Bench, scene: &Scene, size: u32| {
        gl.picture(size, size, 1.0, |ui| {
            bench.show(ui, scene, Mode::Look, &style);
        })
        .expect("a picture")
    };
    let first = show(&mut bench, &scene, SIZE);
    let again = show(&mut bench, &scene, SIZE);
    assert_eq!(painter.borrow().redraws(), 1);
    assert_eq!(difference(&first, &again), 0);
    scene.labels.push(Label { at: Point::origin(), text: "A1".into(), strong: false, of: None });
    show(&mut bench, &scene, SIZE);
    assert_eq!(painter.borrow().redraws(), 1, "words are not part of the picture");
    scene.cut.as_mut().unwrap().plane = Plane::new(Vector::z(), 1.0).unwrap();
    show(&mut bench, &scene, SIZE);
    assert_eq!(painter.borrow().redraws(), 2);
    bench.look_from(StandardView::Top);
    bench.set_camera(front().seen_from(StandardView::Top));
    show(&mut bench, &scene, SIZE);
    assert_eq!(painter.borrow().redraws(), 3);
    show(&mut bench, &scene, SIZE / 2);
    assert_eq!(painter.borrow().redraws(), 4);
    bench.shutdown();
    show(&mut bench, &scene, SIZE);
    assert_eq!(painter.borrow().redraws(), 0, "after shutdown nothing is drawn, and nothing breaks");
}

#[test]
fn a_picture_without_a_display_has_its_size_and_shows_the_model() {
    match render_png(&cube_scene(), front(), &BenchStyle::dark(), 320, 200) {
        Ok(image) => {
            assert_eq!(image.dimensions(), (320, 200));
            assert_ne!(image.get_pixel(160, 100), image.get_pixel(4, 4));
        }
        Err(e @ (HeadlessError::NoEgl { .. } | HeadlessError::NoContext { .. })) => {
            say(&format!("SKIPPED, for want of GL: {e}"));
            assert!(e.to_string().contains(PACKAGES));
        }
        Err(e) => panic!("{e}"),
    }
}

#[test]
fn a_picture_of_impossible_size_is_refused_with_a_word() {
    let Some(_gl) = headless() else { return };
    for (width, height) in [(0, 100), (100, 0), (4_000_000, 10)] {
        match render_png(&cube_scene(), front(), &BenchStyle::light(), width, height) {
            Err(HeadlessError::Picture { .. }) => {}
            other => panic!("{width} × {height}: {other:?}"),
        }
    }
}

#[test]
fn scenes_with_nothing_to_draw_give_a_picture() {
    let Some(mut gl) = headless() else { return };
    let empty = seamwright_geometry::Mesh::default();
    let mut broken = cube();
    broken.vertices[0] = Point::new(f64::NAN, 0.0, 0.0);
    for scene in [
        Scene::default(),
        Scene { drawn: vec![drawn(1, empty)], ..Default::default() },
        Scene { drawn: vec![drawn(1, broken)], ..Default::default() },
        Scene { outlines: Arc::new(vec![vec![], vec![Point::origin()]]), ..Default::default() },
    ] {
        picture(&mut gl, &scene, front());
    }
}

/// The picture and the picking are made in two quite different ways; here they must agree.
fn assert_seen_where_met(gl: &mut HeadlessGl, mesh: seamwright_geometry::Mesh, name: &str) {
    let bounds = mesh.bounds().expect("faces");
    let scene = Scene { drawn: vec![Drawn::new(MeshId(0), Arc::new(Body::new(Arc::new(mesh))))], ..Default::default() };
    scene.drawn[0].body.tree();
    for from in StandardView::ALL {
        let camera = Camera::default().seen_from(from).framing(&bounds, 1.0);
        let rect = egui::Rect::from_min_size(egui::Pos2::ZERO, egui::Vec2::splat(SIZE as f32));
        let view = View { camera, rect };
        let empty = picture(gl, &Scene::default(), camera);
        let full = picture(gl, &scene, camera);
        let (mut met, mut apart) = (0, 0);
        for (x, y) in (0..SIZE).step_by(3).flat_map(|x| (0..SIZE).step_by(3).map(move |y| (x, y))) {
            // Not at outlines, which are inked a pixel wide of the mesh.
            let hits = [(-2.0, 0.0), (2.0, 0.0), (0.0, -2.0), (0.0, 2.0), (0.0, 0.0)].map(|(dx, dy)| {
                let at = egui::pos2(x as f32 + 0.5 + dx, y as f32 + 0.5 + dy);
                pick::pick(&scene, &view.ray(at), false).is_some()
            });
            if hits.iter().any(|h| *h != hits[0]) {
                continue;
            }
            let drawn = full.get_pixel(x, y).0.iter().zip(empty.get_pixel(x, y).0).any(|(a, b)| a.abs_diff(b) > 8);
            met += u32::from(hits[0]);
            apart += u32::from(hits[0] != drawn);
        }
        assert!(met > 40, "{name} from {from:?}: met only {met} times");
        assert!(apart * 100 <= met, "{name} from {from:?}: {apart} of {met} are apart");
    }
}

#[test]
fn a_mesh_is_seen_where_rays_meet_it() {
    let Some(mut gl) = headless() else { return };
    assert_seen_where_met(&mut gl, cuboid([-80.0, -20.0, -35.0], [60.0, 40.0, 50.0]), "a box");
}

#[test]
fn a_scan_is_seen_where_rays_meet_it() {
    let Some(folder) = std::env::var_os("SEAMWRIGHT_MESHES") else {
        return say("SKIPPED: SEAMWRIGHT_MESHES names no folder of meshes, so no scan was drawn");
    };
    let Some(mut gl) = headless() else { return };
    for name in ["dog-skull.stl", "athena-statue.stl"] {
        let path = std::path::Path::new(&folder).join(name);
        let read = seamwright_geometry::exchange::read_stl(&path, &seamwright_geometry::Progress::new());
        match read {
            Ok(read) => assert_seen_where_met(&mut gl, read.mesh, name),
            Err(e) => panic!("{e}"),
        }
    }
}
