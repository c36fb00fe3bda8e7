//! A display of our own, with no screen behind it: an eye (`import`) and a hand (`xdotool`) on it.

use std::{
    io::{BufRead, BufReader},
    path::Path,
    process::{Child, Command, Stdio},
    sync::{Mutex, PoisonError},
    thread,
    time::Duration,
};

use image::RgbImage;

use crate::support::{artefacts, tools};

/// Between the movements of the hand, so that each reaches the program as a movement of its own.
const MOVEMENT: Duration = Duration::from_millis(25);
/// So often a display is tried to be started.
const ATTEMPTS: usize = 3;
/// How many movements a drag is made of.
const MOVEMENTS: i32 = 20;

/// An X server, ended with this value.
#[derive(Debug)]
pub struct Display {
    server: Child,
    name: String,
}

impl Display {
    /// Starts a display of this size in pixels; the server finds a free number itself. `None`, said aloud, where the
    /// programs for it are missing.
    pub fn start(width: u32, height: u32) -> Option<Display> {
        let xvfb = tools::program("Xvfb")?;
        tools::program("import")?;
        tools::program("xdotool")?;
        // Two servers that start at once may settle on one number.
        static ONE_AT_A_TIME: Mutex<()> = Mutex::new(());
        let _turn = ONE_AT_A_TIME.lock().unwrap_or_else(PoisonError::into_inner);
        let started = (0..ATTEMPTS).find_map(|_| Display::try_start(&xvfb, width, height));
        Some(started.expect("Xvfb starts and answers"))
    }

    fn try_start(xvfb: &Path, width: u32, height: u32) -> Option<Display> {
        let mut server = Command::new(xvfb)
            // It starts anew when its last client leaves, and for a moment takes none, unless it is told not to.
            .args(["-displayfd", "1", "-noreset", "-nolisten", "tcp", "-screen", "0"])
            .arg(format!("{width}x{height}x24"))
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .expect("Xvfb starts");
        let mut number = String::new();
        let stdout = server.stdout.take().expect("stdout is piped");
        let told = BufReader::new(stdout).read_line(&mut number);
        // Ends the server where it is of no use.
        let display = Display { server, name: format!(":{}", number.trim()) };
        let answers =
            || display.xdotool().arg("getdisplaygeometry").output().is_ok_and(|answer| answer.status.success());
        (told.is_ok() && answers()).then_some(display)
    }

    /// What `DISPLAY` is to be.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// Everything that is to be seen.
    pub fn glance(&self) -> RgbImage {
        let import =
            Command::new("import").args(["-display", &self.name, "-window", "root", "-depth", "8", "ppm:-"]).output();
        let import = import.expect("import starts");
        assert!(import.status.success(), "no picture could be taken");
        of_ppm(&import.stdout).expect("import gives a picture")
    }

    /// Keeps a picture among the artefacts.
    pub fn keep(&self, picture: &RgbImage, name: &str) {
        let file = artefacts::folder().join(name).with_extension("png");
        picture.save(file).expect("a picture can be kept");
    }

    /// Whether a window with this in its title is open.
    pub fn has_window(&self, title: &str) -> bool {
        self.xdotool()
            .args(["search", "--onlyvisible", "--name", title])
            .output()
            .is_ok_and(|found| found.status.success())
    }

    /// Gives the keyboard to the window with this in its title; there is no window manager to do it.
    pub fn focus(&self, title: &str) {
        self.hand(&["search", "--onlyvisible", "--name", title, "windowfocus"]);
    }

    /// Moves the pointer.
    pub fn point_at(&self, [x, y]: [i32; 2]) {
        self.hand(&["mousemove", &x.to_string(), &y.to_string()]);
        thread::sleep(MOVEMENT);
    }

    /// Presses and releases the first button.
    pub fn click(&self, at: [i32; 2]) {
        self.point_at(at);
        self.hand(&["click", "1"]);
        thread::sleep(MOVEMENT);
    }

    /// Rolls the wheel up over a place, as far as it goes.
    pub fn scroll_up(&self, at: [i32; 2]) {
        self.point_at(at);
        self.hand(&["click", "--repeat", "40", "--delay", "5", "4"]);
        thread::sleep(MOVEMENT);
    }

    /// Takes hold at `from` and moves to `to`, still holding on.
    pub fn drag(&self, from: [i32; 2], to: [i32; 2]) {
        self.point_at(from);
        self.hand(&["mousedown", "1"]);
        for step in 1..=MOVEMENTS {
            self.point_at([0, 1].map(|axis| from[axis] + (to[axis] - from[axis]) * step / MOVEMENTS));
        }
    }

    /// Lets go.
    pub fn release(&self) {
        self.hand(&["mouseup", "1"]);
    }

    /// Presses a key, by its X name ("ctrl+z").
    pub fn press(&self, key: &str) {
        self.hand(&["key", key]);
        thread::sleep(MOVEMENT);
    }

    /// Types a text, letter by letter.
    pub fn type_text(&self, text: &str) {
        self.hand(&["type", "--delay", "25", text]);
        thread::sleep(MOVEMENT);
    }

    fn hand(&self, arguments: &[&str]) {
        let status = self.xdotool().args(arguments).stdout(Stdio::null()).status().expect("xdotool starts");
        assert!(status.success(), "xdotool {arguments:?} failed");
    }

    fn xdotool(&self) -> Command {
        let mut command = Command::new("xdotool");
        command.env("DISPLAY", &self.name);
        command
    }
}

/// A picture as rows of colours after three numbers; taken apart here, for it is many times faster than to pack and unpack it.
fn of_ppm(bytes: &[u8]) -> Option<RgbImage> {
    let mut rest = bytes;
    let mut word = || {
        let end = rest.iter().position(u8::is_ascii_whitespace)?;
        let word = std::str::from_utf8(&rest[..end]).ok()?;
        rest = &rest[end + 1..];
        Some(word)
    };
    let (kind, width, height, most) = (word()?, word()?, word()?, word()?);
    if (kind, most) != ("P6", "255") {
        return None;
    }
    RgbImage::from_raw(width.parse().ok()?, height.parse().ok()?, rest.to_vec())
}

impl Drop for Display {
    fn drop(&mut self) {
        // Gone already is as good.
        let _ = self.server.kill();
        let _ = self.server.wait();
    }
}
