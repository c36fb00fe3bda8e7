//! The real window under a display with no screen, drawn by software GL, moved by a hand of `xdotool`. What is done in it is
//! told by the colours of the pieces and by the project that is saved. Pictures are left among the artefacts.

mod support;

#[path = "window/display.rs"]
mod display;
#[path = "window/opened.rs"]
mod opened;
#[path = "window/poor_systems.rs"]
mod poor_systems;
#[path = "window/whole_job.rs"]
mod whole_job;

use std::fs;
use std::path::{Path, PathBuf};

use display::Display;
use image::{Rgb, RgbImage};
use opened::Window;
use serde_json::Value;
use support::folder::Folder;

#[test]
fn dragging_a_cut_recolours_the_pieces_while_it_moves() {
    let Some(display) = Display::start(1400, 900) else { return };
    let folder = Folder::new();
    let mut window = Window::open(&display, &copy_of_the_helm(&folder));
    window.picture_when("window-1-opened", |picture| Tones::of(picture).fitting > PLENTY);
    display.press(FRONT_VIEW);
    let before = Tones::of(&window.picture_when("window-2-front", |_| true));
    assert!(before.fitting > PLENTY && before.others < PLENTY, "the demo does not fit as it stands: {before:?}");

    let arrow = take_the_upright_cut(&display, &mut window);
    let raised = [arrow[0], arrow[1] - LIFT];
    display.drag(arrow, raised);
    let moving = Tones::of(&window.picture_when("window-4-moving", |picture| Tones::of(picture).others > PLENTY));
    assert!(moving.fitting < before.fitting, "{moving:?}, before {before:?}");

    display.release();
    // Now the real cut has been made: the lower part is higher than the bed allows.
    let done = window.picture_when("window-5-done", |picture| Tones::of(picture).too_big > PLENTY);
    assert!(Tones::of(&done).fitting < before.fitting, "{:?}, before {before:?}", Tones::of(&done));

    display.press("ctrl+z");
    window.picture_when("window-6-undone", |picture| {
        let undone = Tones::of(picture);
        undone.others < PLENTY && undone.fitting > PLENTY
    });
    window.assert_well();
}

/// Pixels that surely belong to a piece of the helm and not to a swatch in the ledger.
const PLENTY: usize = 5_000;
/// How far the cut at the brow is lifted, in pixels: about 70 mm, so that what is below outgrows the bed.
const LIFT: i32 = 80;
/// The key that looks from the front, where the helm's cut at the brow is seen from its edge.
const FRONT_VIEW: &str = "alt+1";
/// Where the names of cuts are on the job card, and where to look for them from top to bottom.
const NAMES_X: i32 = 90;
const NAMES_Y: std::ops::Range<i32> = 258..640;
/// Lower than a name is high.
const STEP_Y: usize = 14;
/// What the bench paints handles with, on light paper.
const HANDLE: Rgb<u8> = Rgb([0x26, 0x2f, 0x38]);
/// Everything right of the job card is bench.
const BENCH_X: u32 = 320;

/// Takes one cut after the other in hand, by its name on the job card, until one has an arrow that stands upright in the
/// bench; gives a place on that arrow to take hold of.
fn take_the_upright_cut(display: &Display, window: &mut Window<'_>) -> [i32; 2] {
    for y in NAMES_Y.step_by(STEP_Y) {
        // What was in hand before may have moved the card.
        display.scroll_up([NAMES_X, NAMES_Y.start]);
        window.picture_when("window-3-card", |_| true);
        display.click([NAMES_X, y]);
        let picture = window.picture_when("window-3-cut-in-hand", |_| true);
        if let Some(arrow) = upright_arrow(&picture) {
            return arrow;
        }
        // Whatever is in hand makes its entry on the card longer: lay it down before the next.
        display.press("Escape");
    }
    panic!("no cut on the job card has an upright arrow; see window-3-cut-in-hand.png");
}

/// A place in the upper half of the arrow that moves a cut, if the arrow stands upright.
fn upright_arrow(picture: &RgbImage) -> Option<[i32; 2]> {
    /// Shorter than the arrow, longer than anything else of that colour.
    const UPRIGHT: usize = 60;
    (BENCH_X..picture.width()).find_map(|x| {
        let rows: Vec<_> = (0..picture.height()).filter(|&y| picture.get_pixel(x, y) == &HANDLE).collect();
        (rows.len() >= UPRIGHT).then(|| [x, rows[rows.len() / 4]].map(u32::cast_signed))
    })
}

/// How many pixels of the bench show which verdict. Light and shade change a tone's brightness, so it is told by its hue.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
struct Tones {
    /// *Fits as it stands*, bluish green.
    fitting: usize,
    /// *Too big*, vermillion.
    too_big: usize,
    /// Every tone but *fits as it stands*: sky blue, yellow, vermillion, reddish purple.
    others: usize,
}

impl Tones {
    fn of(picture: &RgbImage) -> Tones {
        let mut tones = Tones::default();
        for (_, _, &pixel) in picture.enumerate_pixels().filter(|(x, ..)| *x >= BENCH_X) {
            match hue_deg(pixel) {
                Some(150..=178) => tones.fitting += 1,
                Some(15..=32) => {
                    tones.too_big += 1;
                    tones.others += 1;
                }
                Some(48..=64 | 190..=214 | 310..=340) => tones.others += 1,
                _ => {}
            }
        }
        tones
    }
}

/// How many pixels of the bench differ clearly between two pictures.
fn differing(a: &RgbImage, b: &RgbImage) -> usize {
    let bench = |(x, ..): &(u32, u32, &Rgb<u8>)| *x >= BENCH_X;
    let apart = |p: &Rgb<u8>, q: &Rgb<u8>| p.0.iter().zip(q.0).any(|(a, b)| a.abs_diff(b) > 24);
    a.enumerate_pixels().filter(bench).filter(|(x, y, p)| apart(p, b.get_pixel(*x, *y))).count()
}

/// The hue of a colour that is clearly not grey.
fn hue_deg(Rgb([r, g, b]): Rgb<u8>) -> Option<u32> {
    let [r, g, b] = [r, g, b].map(f64::from);
    let (most, least) = (r.max(g).max(b), r.min(g).min(b));
    let spread = most - least;
    if spread < 0.35 * most || most < 60.0 {
        return None;
    }
    let sixths = if most == r {
        (g - b) / spread
    } else if most == g {
        2.0 + (b - r) / spread
    } else {
        4.0 + (r - g) / spread
    };
    Some((sixths * 60.0).rem_euclid(360.0).round() as u32)
}

/// The helm's project and model, copied so that nothing is written into the checkout.
fn copy_of_the_helm(folder: &Folder) -> PathBuf {
    let demo = support::root().join("demo-projects");
    let copy = |name: &str| folder.write(name, fs::read(demo.join(name)).expect("the demo is there"));
    copy("helm.stl");
    copy("helm.seamwright.json")
}

/// The same with no cuts yet.
fn uncut_helm(folder: &Folder) -> PathBuf {
    let file = copy_of_the_helm(folder);
    let mut project = saved(&file);
    project["cuts"] = Value::Array(Vec::new());
    fs::write(&file, project.to_string()).expect("the project can be written");
    file
}

/// A project as it lies on the disk.
fn saved(file: &Path) -> Value {
    serde_json::from_slice(&fs::read(file).expect("the project is there")).expect("a project is JSON")
}
