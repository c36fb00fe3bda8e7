//! A display of our own, with no screen behind it: an eye (`import`) and a hand (`xdotool`) on it.

use std::{
    fs,
    io::{BufRead, BufReader},
    process::{Child, Command, Stdio},
    thread,
    time::Duration,
};

use image::RgbImage;

use crate::support::{artefacts, tools};

/// Between the movements of the hand, so that each reaches the program as a movement of its own.
const MOVEMENT: Duration = Duration::from_millis(25);
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
        let mut server = Command::new(xvfb)
            .args(["-displayfd", "1", "-nolisten", "tcp", "-screen", "0", &format!("{width}x{height}x24")])
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .expect("Xvfb starts");
        let mut number = String::new();
        let stdout = server.stdout.take().expect("stdout is piped");
        BufReader::new(stdout).read_line(&mut number).expect("Xvfb tells its number");
        let number: u32 = number.trim().parse().expect("Xvfb found a free display");
        Some(Display { server, name: format!(":{number}") })
    }

    /// What `DISPLAY` is to be.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// Everything that is to be seen, also kept among the artefacts as `name`.png.
    pub fn picture(&self, name: &str) -> RgbImage {
        let file = artefacts::folder().join(name).with_extension("png");
        let import = Command::new("import").args(["-display", &self.name, "-window", "root"]).arg(&file).status();
        assert!(import.expect("import starts").success(), "no picture could be taken");
        let bytes = fs::read(&file).expect("the picture is there");
        image::load_from_memory(&bytes).expect("the picture is a PNG").into_rgb8()
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

impl Drop for Display {
    fn drop(&mut self) {
        // Gone already is as good.
        let _ = self.server.kill();
        let _ = self.server.wait();
    }
}
