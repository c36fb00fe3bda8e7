//! Systems that lack something: either the work goes on, or the program says in a word what is missing and what to do.

use crate::display::Display;
use crate::opened::Window;
use crate::support::{folder::Folder, say};
use crate::{PLENTY, Tones, copy_of_the_helm, differing, saved, uncut_helm};

/// Mesa then says that it knows no more than this.
const OLD_DRIVER: [(&str, &str); 2] = [("MESA_GL_VERSION_OVERRIDE", "2.1"), ("MESA_GLES_VERSION_OVERRIDE", "2.0")];

#[test]
fn with_a_driver_too_old_for_the_bench_the_rest_of_the_window_works() {
    let Some(display) = Display::start(1400, 900) else { return };
    let folder = Folder::new();
    let file = uncut_helm(&folder);
    let mut window = Window::open_with(&display, Some(&file), &OLD_DRIVER);
    let picture = window.picture_when("poor-1-old-driver", |_| true);
    if Tones::of(&picture).too_big > PLENTY {
        say("NOT TESTED: an old driver (this one does not say that it is older than it is)");
        return;
    }
    display.press("n");
    display.press("ctrl+s");
    window.wait_for(|| match saved(&file)["cuts"].as_array() {
        Some(cuts) if cuts.len() == 1 => Ok(()),
        cuts => Err(format!("a cut that is made and saved without a picture: there is {cuts:?}")),
    });
    window.picture_once("poor-2-old-driver-cut", |_| true);
    window.assert_well();
}

#[test]
fn a_driver_of_the_smaller_kind_draws_as_well() {
    let Some(display) = Display::start(1400, 900) else { return };
    let folder = Folder::new();
    let mut window =
        Window::open_with(&display, Some(&copy_of_the_helm(&folder)), &[("MESA_GL_VERSION_OVERRIDE", "2.1")]);
    window.picture_when("poor-3-embedded", |picture| Tones::of(picture).fitting > PLENTY);
    window.assert_well();
}

#[test]
fn where_nobody_answers_for_wayland_the_window_opens_on_x11() {
    let Some(display) = Display::start(1400, 900) else { return };
    let folder = Folder::new();
    let gone = [("WAYLAND_DISPLAY", "wayland-of-nobody")];
    let mut window = Window::open_with(&display, Some(&copy_of_the_helm(&folder)), &gone);
    window.picture_when("poor-4-no-wayland", |picture| Tones::of(picture).fitting > PLENTY);
    window.assert_well();
}

#[test]
fn on_a_screen_of_another_scale_all_is_drawn_larger() {
    let Some(display) = Display::start(2000, 1300) else { return };
    let folder = Folder::new();
    let larger = [("WINIT_X11_SCALE_FACTOR", "1.5")];
    let mut window = Window::open_with(&display, Some(&copy_of_the_helm(&folder)), &larger);
    window.picture_when("poor-5-larger", |picture| Tones::of(picture).fitting > 2 * PLENTY);
    window.assert_well();
}

#[test]
fn without_a_portal_files_are_chosen_in_a_dialog_of_our_own() {
    let Some(display) = Display::start(1400, 900) else { return };
    let folder = Folder::new();
    let file = copy_of_the_helm(&folder);
    let no_bus =
        [("DBUS_SESSION_BUS_ADDRESS", "unix:path=/nonexistent/bus"), ("XDG_RUNTIME_DIR", ""), ("PATH", "/nonexistent")];
    let mut window = Window::open_with(&display, None, &no_bus);
    let before = window.picture_when("poor-6-no-file", |_| true);
    display.press("ctrl+o");
    window.picture_once("poor-7-own-dialog", |picture| differing(picture, &before) > PLENTY);
    display.type_text(&file.display().to_string());
    display.press("Return");
    window.picture_when("poor-8-opened", |picture| Tones::of(picture).fitting > PLENTY);
    window.assert_well();
}

#[test]
fn with_nothing_to_draw_with_the_program_ends_with_a_way_out() {
    let Some(display) = Display::start(800, 600) else { return };
    for (missing, variables) in [
        ("drivers", [("LIBGL_DRIVERS_PATH", "/nonexistent"), ("WAYLAND_DISPLAY", "")]),
        ("an X11 display", [("DISPLAY", ":64999"), ("WAYLAND_DISPLAY", "")]),
        ("a Wayland display", [("DISPLAY", ""), ("WAYLAND_DISPLAY", "wayland-of-nobody")]),
        ("any display", [("DISPLAY", ""), ("WAYLAND_DISPLAY", "")]),
    ] {
        let Some((ended, said)) = Window::refused(&display, &variables) else {
            say(&format!("NOT TESTED: no {missing} (a window was opened all the same)"));
            continue;
        };
        assert_eq!(ended.code(), Some(2), "{missing}: {said}");
        let has = |word: &str| said.contains(word);
        assert!(has("the window cannot be opened") && has("apt install") && has("seamwright kit"), "{missing}: {said}");
        assert!(!has("panicked"), "{missing}: {said}");
    }
}
