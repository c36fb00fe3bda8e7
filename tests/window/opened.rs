//! The real program in a real window.

use std::{
    fs::{self, File},
    path::{Path, PathBuf},
    process::{Child, Command, ExitStatus, Stdio},
    thread,
    time::{Duration, Instant},
};

use image::RgbImage;

use crate::{display::Display, support::folder::Folder};

/// Longer than it takes to open a demo project and to draw it by software on a busy machine.
const PATIENCE: Duration = Duration::from_secs(240);
/// What does not change for so long stands still: longer than a frame takes.
const STILL: Duration = Duration::from_millis(300);
/// So many ticks of a hundredth of a second are no work: something was looked at on the way.
const AT_REST: u64 = 2;
const GLANCE: Duration = Duration::from_millis(50);
const TITLE: &str = "Seamwright";

/// The program with its window open, ended with this value.
#[derive(Debug)]
pub struct Window<'a> {
    display: &'a Display,
    program: Child,
    log: PathBuf,
    // Holds settings and recovery files, away from those of whoever runs the test.
    _home: Folder,
}

impl<'a> Window<'a> {
    /// Opens a file in the window and waits until the window is there.
    pub fn open(display: &'a Display, file: &Path) -> Window<'a> {
        Window::open_with(display, Some(file), &[])
    }

    /// The same on a system that is set up otherwise: with these variables, an empty one taken away.
    pub fn open_with(display: &'a Display, file: Option<&Path>, variables: &[(&str, &str)]) -> Window<'a> {
        let mut window = Window::start(display, file, variables);
        window.wait_until("the window is open", |display| display.has_window(TITLE));
        display.focus(TITLE);
        window
    }

    /// What the program says, and how it ends, where no window can be opened; `None` where one was opened all the same.
    pub fn refused(display: &'a Display, variables: &[(&str, &str)]) -> Option<(ExitStatus, String)> {
        let mut window = Window::start(display, None, variables);
        let began = Instant::now();
        loop {
            if let Some(ended) = window.program.try_wait().expect("the program can be asked") {
                return Some((ended, fs::read_to_string(&window.log).unwrap_or_default()));
            }
            if display.has_window(TITLE) {
                return None;
            }
            assert!(began.elapsed() < PATIENCE, "neither a window nor a word");
            thread::sleep(GLANCE);
        }
    }

    fn start(display: &'a Display, file: Option<&Path>, variables: &[(&str, &str)]) -> Window<'a> {
        let home = Folder::new();
        let log = home.path("log.txt");
        let err = File::create(&log).expect("a log can be written");
        let mut command = Command::new(env!("CARGO_BIN_EXE_seamwright"));
        command
            .args(file)
            .env("DISPLAY", display.name())
            .env_remove("WAYLAND_DISPLAY")
            .env("LIBGL_ALWAYS_SOFTWARE", "1")
            .envs(
                ["HOME", "XDG_CONFIG_HOME", "XDG_DATA_HOME", "XDG_CACHE_HOME", "XDG_STATE_HOME"]
                    .map(|name| (name, home.path("home"))),
            )
            .stdin(Stdio::null())
            .stdout(Stdio::null())
            .stderr(err);
        for (name, value) in variables {
            if value.is_empty() {
                command.env_remove(name);
            } else {
                command.env(name, value);
            }
        }
        let program = command.spawn().expect("the program starts");
        Window { display, program, log, _home: home }
    }

    /// Waits until this is so of something outside the window; until then it says what it waits for.
    pub fn wait_for(&mut self, so: impl Fn() -> Result<(), String>) {
        let began = Instant::now();
        while let Err(awaited) = so() {
            self.assert_well();
            assert!(began.elapsed() < PATIENCE, "waited in vain for: {awaited}");
            thread::sleep(GLANCE);
        }
    }

    /// Waits until what is seen no longer changes, the program has nothing left to do, and `looks_right`. The last picture is
    /// kept as `name`.
    pub fn picture_when(&mut self, name: &str, looks_right: impl Fn(&RgbImage) -> bool) -> RgbImage {
        let (began, mut last) = (Instant::now(), self.display.glance());
        loop {
            let worked = self.ticks();
            thread::sleep(STILL);
            let now = self.display.glance();
            let rests = self.ticks() <= worked + AT_REST;
            let done = rests && now == last && looks_right(&now);
            last = now;
            if done || began.elapsed() > PATIENCE {
                self.display.keep(&last, name);
                assert!(done, "waited in vain for: {name}");
                return last;
            }
            self.assert_well();
        }
    }

    /// Waits until what is seen `looks_right`, also while it goes on changing, as where a text cursor blinks. Kept as `name`.
    pub fn picture_once(&mut self, name: &str, looks_right: impl Fn(&RgbImage) -> bool) -> RgbImage {
        let began = Instant::now();
        loop {
            let picture = self.display.glance();
            let done = looks_right(&picture);
            if done || began.elapsed() > PATIENCE {
                self.display.keep(&picture, name);
                assert!(done, "waited in vain for: {name}");
                return picture;
            }
            self.assert_well();
            thread::sleep(GLANCE);
        }
    }

    /// How long the program has worked so far, in the ticks of the system. A slow machine may be late in showing what a click
    /// did, but not in beginning with it.
    fn ticks(&self) -> u64 {
        let facts = fs::read_to_string(format!("/proc/{}/stat", self.program.id())).unwrap_or_default();
        // After the name, which ends with the last bracket, the twelfth and the thirteenth: as user, and within the system.
        let after = facts.rsplit_once(')').map_or("", |(_, after)| after);
        after.split_whitespace().skip(11).take(2).filter_map(|ticks| ticks.parse::<u64>().ok()).sum()
    }

    /// Asserts that the program is still there and has not complained of itself.
    pub fn assert_well(&mut self) {
        let log = fs::read_to_string(&self.log).unwrap_or_default();
        assert!(!log.contains("panicked"), "{log}");
        let ended = self.program.try_wait().expect("the program can be asked");
        assert!(ended.is_none(), "the program ended with {ended:?}\n{log}");
    }

    fn wait_until(&mut self, what: &str, mut done: impl FnMut(&Display) -> bool) {
        let began = Instant::now();
        while !done(self.display) {
            self.assert_well();
            assert!(began.elapsed() < PATIENCE, "waited in vain for: {what}");
            thread::sleep(GLANCE);
        }
    }
}

impl Drop for Window<'_> {
    fn drop(&mut self) {
        // Gone already is as good.
        let _ = self.program.kill();
        let _ = self.program.wait();
    }
}
