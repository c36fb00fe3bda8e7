//! The real program in a real window.

use std::{
    fs::{self, File},
    path::{Path, PathBuf},
    process::{Child, Command, Stdio},
    thread,
    time::{Duration, Instant},
};

use image::RgbImage;

use crate::{display::Display, support::folder::Folder};

/// Longer than it takes to open a demo project and to draw it by software on a busy machine.
const PATIENCE: Duration = Duration::from_secs(90);
const GLANCE: Duration = Duration::from_millis(300);
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
        let home = Folder::new();
        let log = home.path("log.txt");
        let err = File::create(&log).expect("a log can be written");
        let program = Command::new(env!("CARGO_BIN_EXE_seamwright"))
            .arg(file)
            .env("DISPLAY", display.name())
            .env_remove("WAYLAND_DISPLAY")
            .env("LIBGL_ALWAYS_SOFTWARE", "1")
            .envs(
                ["HOME", "XDG_CONFIG_HOME", "XDG_DATA_HOME", "XDG_CACHE_HOME", "XDG_STATE_HOME"]
                    .map(|name| (name, home.path("home"))),
            )
            .stdin(Stdio::null())
            .stdout(Stdio::null())
            .stderr(err)
            .spawn()
            .expect("the program starts");
        let mut window = Window { display, program, log, _home: home };
        window.wait_until("the window is open", |display| display.has_window(TITLE));
        display.focus(TITLE);
        window
    }

    /// Waits until what is seen no longer changes, and satisfies `looks_right`. The last picture is kept as `name`.
    pub fn picture_when(&mut self, name: &str, looks_right: impl Fn(&RgbImage) -> bool) -> RgbImage {
        let mut last = self.display.picture(name);
        self.wait_until(name, |display| {
            let now = display.picture(name);
            let still = now == last;
            last = now;
            still && looks_right(&last)
        });
        last
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
