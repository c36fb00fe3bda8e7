//! A folder to work in, and the program run in it.

use seamwright_geometry::exchange::{Overwrite, read_stl, write_stl};
use seamwright_geometry::{Bed, Mesh, Point, Progress, solids};
use seamwright_project::{Axis, CutForm, CutPlane, Document, Edit, PartId, Recipe, Scope, store};
use serde_json::Value;
use std::collections::BTreeSet;
use std::fs;
use std::io::Write;
use std::path::PathBuf;
use std::process::Command;
use std::process::Output;
use std::process::Stdio;
use tempfile::TempDir;

/// A folder of its own in which the program is run.
pub struct Workshop {
    dir: TempDir,
}

impl Workshop {
    pub fn new() -> Workshop {
        Workshop { dir: TempDir::new().unwrap() }
    }

    pub fn path(&self, name: &str) -> PathBuf {
        self.dir.path().join(name)
    }

    pub fn file(&self, name: &str, content: &[u8]) {
        fs::File::create(self.path(name)).unwrap().write_all(content).unwrap();
    }

    /// Writes `mesh` as STL and gives its name, as it is typed on the command line.
    pub fn model(&self, name: &str, mesh: &Mesh) -> String {
        write_stl(&self.path(name), mesh, name, Overwrite::Allow).unwrap();
        name.to_owned()
    }

    pub fn read(&self, name: &str) -> Mesh {
        read_stl(&self.path(name), &Progress::new()).unwrap().mesh
    }

    /// Saves a project of `mesh`, cut square to z at `cuts_mm`, for a bed of 220 × 220 × 250 mm, and gives its file's
    /// name.
    pub fn project(&self, name: &str, mesh: &Mesh, cuts_mm: &[f64]) -> String {
        let stock = self.model(&format!("{name}.stl"), mesh);
        let source = store::describe_source(&self.path(&stock), self.dir.path()).unwrap();
        let mut document = Document::new(Recipe::new(name));
        document.apply(&Edit::SetStock(source)).unwrap();
        document.apply(&Edit::SetBed(Bed::rectangle(220.0, 220.0, 250.0))).unwrap();
        for &offset in cuts_mm {
            let plane = CutPlane::square(Axis::Z, offset);
            document
                .apply(&Edit::AddCut {
                    name: String::new(),
                    part: PartId::MAIN,
                    plane,
                    form: CutForm::Flat,
                    scope: Scope::All,
                })
                .unwrap();
        }
        let file = format!("{name}.seamwright.json");
        store::save(&self.path(&file), document.recipe()).unwrap();
        file
    }

    pub fn names(&self, dir: &str) -> BTreeSet<String> {
        let entries = fs::read_dir(self.path(dir)).unwrap();
        entries.map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect()
    }

    pub fn command(&self, args: &[&str]) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_seamwright"));
        command.current_dir(self.dir.path()).args(args).stdin(Stdio::null());
        command
    }

    pub fn run(&self, args: &[&str]) -> Output {
        self.command(args).output().unwrap()
    }

    /// Runs with `--json`: exactly one object on the standard output, nothing on the standard error.
    pub fn json(&self, code: i32, args: &[&str]) -> Value {
        let out = self.run(&[args, &["--json"]].concat());
        let complaint = String::from_utf8_lossy(&out.stderr);
        assert_eq!(out.status.code(), Some(code), "{args:?}: {complaint}");
        assert_eq!(complaint, "", "{args:?}");
        let value: Value = serde_json::from_slice(&out.stdout).unwrap();
        assert!(value.is_object());
        value
    }

    /// Runs what must be refused: exit code 2, a message, and nothing on the standard output, with and without
    /// `--json`.
    pub fn refusal(&self, args: &[&str]) -> String {
        let plain = self.run(args);
        let json = self.run(&[args, &["--json"]].concat());
        for out in [&plain, &json] {
            assert_eq!(out.status.code(), Some(2), "{args:?}: {}", String::from_utf8_lossy(&out.stdout));
            assert!(out.stdout.is_empty(), "{args:?}: {}", String::from_utf8_lossy(&out.stdout));
        }
        let message = String::from_utf8(plain.stderr).unwrap();
        assert!(!message.trim().is_empty() && !message.contains("panicked"), "{args:?}: {message}");
        message
    }
}

/// Whether the program says that this machine has nothing to draw with, which is told, and is a fault where the tools
/// were fetched on purpose.
pub fn cannot_draw(out: &Output) -> bool {
    let complaint = String::from_utf8_lossy(&out.stderr);
    let cannot = out.status.code() == Some(2) && complaint.contains("EGL");
    if cannot {
        assert!(std::env::var_os("SEAMWRIGHT_TOOLS_REQUIRED").is_none(), "{complaint}");
        eprintln!("NOT CHECKED: pictures, because this machine has nothing to draw with: {complaint}");
    }
    cannot
}

/// 30 × 20 × 10 mm about the origin; all coordinates are exact in STL.
pub fn brick() -> Mesh {
    solids::cuboid(Point::new(-15.0, -10.0, -5.0), Point::new(15.0, 10.0, 5.0))
}

/// 60 × 40 × 420 mm: too long for the bed in every pose but cut.
pub fn tower() -> Mesh {
    solids::cuboid(Point::origin(), Point::new(60.0, 40.0, 420.0))
}

pub fn list(value: &Value) -> &[Value] {
    value.as_array().unwrap_or_else(|| panic!("{value} is no list"))
}

pub fn numbers(value: &Value) -> Vec<f64> {
    list(value).iter().map(|n| n.as_f64().unwrap()).collect()
}

/// Equal but for the rounding of doubles.
#[track_caller]
pub fn assert_near(value: &Value, expected: f64) {
    assert_within(value, expected, 1e-9);
}

#[track_caller]
pub fn assert_within(value: &Value, expected: f64, relative: f64) {
    let value = value.as_f64().unwrap_or_else(|| panic!("{value} is no number"));
    assert!((value - expected).abs() <= relative * expected.abs().max(f64::MIN_POSITIVE), "{value}, not {expected}");
}
