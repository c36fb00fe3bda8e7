//! The job of an evening by hand: open, look round, a cut through three picked points, drag, tilt, type, undo, pull apart, save.

use std::path::Path;

use image::RgbImage;
use serde_json::Value;

use crate::display::Display;
use crate::opened::Window;
use crate::support::{folder::Folder, program::seamwright};
use crate::{BENCH_X, FRONT_VIEW, LIFT, PLENTY, Tones, differing, saved, uncut_helm, upright_arrow};

/// On the brow of the helm as it is framed from the front. Places of one height on the screen give a cut that is seen from its
/// edge, so that its arrow stands upright.
const PICKS: [[i32; 2]; 3] = [[765, 240], [790, 240], [850, 240]];
/// Where the button stands on the job card that makes the cut of the picked points, and where to look for it.
const BUTTON_X: i32 = 110;
const BUTTON_Y: std::ops::Range<i32> = 240..300;
/// Bench with nothing on it.
const NOTHING: [i32; 2] = [420, 120];

#[test]
fn a_whole_job_is_done_by_hand() {
    let Some(display) = Display::start(1400, 900) else { return };
    let folder = Folder::new();
    let file = uncut_helm(&folder);
    let mut window = Window::open(&display, &file);
    let opened = window.picture_when("job-1-opened", |picture| Tones::of(picture).too_big > PLENTY);

    display.drag(NOTHING, [NOTHING[0] + 160, NOTHING[1] + 40]);
    display.release();
    window.picture_when("job-2-turned", |picture| differing(picture, &opened) > PLENTY);

    display.press(FRONT_VIEW);
    let mut before = window.picture_when("job-3-front", |picture| Tones::of(picture).too_big > PLENTY);
    display.press("p");
    for pick in PICKS {
        display.click(pick);
        before = window.picture_when("job-4-picked", |picture| differing(picture, &before) > 0);
    }
    let arrow = press_the_button(&display, &mut window);
    let placed = save_and_read(&display, &mut window, &file, |cuts| cuts.len() == 1);
    assert_eq!(placed[0]["axis"], "Z", "the picks are of one height: {placed:?}");

    display.drag(arrow, [arrow[0], arrow[1] - LIFT / 2]);
    window.picture_when("job-5-dragged", |_| true);
    display.release();
    let dragged = save_and_read(&display, &mut window, &file, |cuts| height_mm(cuts) > height_mm(&placed) + 10.0);

    let knob = knob(&window.picture_when("job-6-let-go", |_| true));
    display.drag(knob, [knob[0], knob[1] - 40]);
    display.release();
    let tilted = save_and_read(&display, &mut window, &file, |cuts| tilt_deg(cuts, &dragged) > 5.0);

    let before = window.picture_when("job-6-tilted", |_| true);
    // Whatever was dragged before, the number is for the offset, and shown while it is typed.
    display.type_text("=409.5/2");
    window.picture_once("job-7-typed", |picture| differing(picture, &before) > PLENTY);
    display.press("Return");
    let typed = save_and_read(&display, &mut window, &file, |cuts| (height_mm(cuts) - 204.75).abs() < 1e-9);
    assert_eq!(typed[0]["tilt_deg"], tilted[0]["tilt_deg"], "a typed height leaves the tilt");

    display.press("ctrl+z");
    save_and_read(&display, &mut window, &file, |cuts| cuts == tilted);

    display.press("Escape");
    let together = window.picture_when("job-8-together", |_| true);
    display.press("e");
    window.picture_when("job-9-apart", |picture| differing(picture, &together) > PLENTY);
    window.assert_well();

    let check = seamwright(["check".as_ref(), file.as_os_str(), "--json".as_ref()]);
    assert!(check.code.is_some_and(|code| code < 2), "the saved project can be read: {check:?}");
}

/// Presses the button that makes the cut, which makes it have an arrow.
fn press_the_button(display: &Display, window: &mut Window<'_>) -> [i32; 2] {
    for y in BUTTON_Y.step_by(crate::STEP_Y) {
        display.click([BUTTON_X, y]);
        if let Some(arrow) = upright_arrow(&window.picture_when("job-4-cut", |_| true)) {
            return arrow;
        }
    }
    panic!("no cut is made of the picked points; see job-4-picked.png and job-4-cut.png");
}

/// Saves, and gives the cuts of the project once they are as they should be.
fn save_and_read(
    display: &Display,
    window: &mut Window<'_>,
    file: &Path,
    right: impl Fn(&[Value]) -> bool,
) -> Vec<Value> {
    display.press("ctrl+s");
    let cuts = || saved(file)["cuts"].as_array().cloned().unwrap_or_default();
    window.wait_for(|| if right(&cuts()) { Ok(()) } else { Err(format!("other cuts on the disk than {:?}", cuts())) });
    cuts()
}

fn height_mm(cuts: &[Value]) -> f64 {
    cuts[0]["through_mm"][2].as_f64().expect("a cut has a place")
}

/// How far the cut is tilted against how it was, about the one axis or the other.
fn tilt_deg(cuts: &[Value], before: &[Value]) -> f64 {
    let tilt = |cuts: &[Value], i: usize| cuts[0]["tilt_deg"][i].as_f64().expect("a cut has tilts");
    (0..2).map(|i| (tilt(cuts, i) - tilt(before, i)).abs()).fold(0.0, f64::max)
}

/// The knob at the left, that tilts the cut in hand: of all that has the colour of handles it lies farthest out.
fn knob(picture: &RgbImage) -> [i32; 2] {
    /// From the edge of a knob to its middle, pixels.
    const RADIUS: i32 = 7;
    let of_column = |x: u32| {
        let rows: Vec<u32> = (0..picture.height()).filter(|&y| picture.get_pixel(x, y) == &crate::HANDLE).collect();
        rows.get(rows.len() / 2).map(|y| [x.cast_signed() + RADIUS, y.cast_signed()])
    };
    (BENCH_X..picture.width()).find_map(of_column).expect("a cut in hand has knobs")
}
