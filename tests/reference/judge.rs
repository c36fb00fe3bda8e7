//! The Python side: prepares meshes, cuts them by formula and by libraries, and measures the pieces that we wrote.

use std::{
    io::Write,
    path::{Path, PathBuf},
    process::{Command, Stdio},
};

use serde::{Deserialize, de::DeserializeOwned};
use serde_json::{Value, json};

use crate::{fitting::Searched, support, told::Plane};

/// A Python with the reference libraries.
#[derive(Debug)]
pub struct Judge {
    python: PathBuf,
}

impl Judge {
    pub fn new(python: PathBuf) -> Judge {
        Judge { python }
    }

    /// Writes `source`, scaled, as the STL file `target` that everyone then reads.
    pub fn prepare(&self, source: &Path, scale: f64, target: &Path) {
        let status = self.script("prepare.py").args([source, target]).arg(scale.to_string()).status();
        assert!(status.expect("Python starts").success(), "{} could not be prepared", source.display());
    }

    /// Judges several cuts of one mesh, each with the files of the pieces that it gave.
    pub fn judge(&self, stl: &Path, cuts: &[(Plane, Vec<PathBuf>)]) -> Judged {
        let cut = |(plane, pieces): &(Plane, Vec<PathBuf>)| json!({ "normal": plane.normal, "offset_mm": plane.offset_mm, "pieces": pieces });
        self.ask("compare.py", stl, "cuts", cuts.iter().map(cut).collect())
    }

    /// Looks for poses of a mesh in several beds by brute force.
    pub fn search_poses(&self, stl: &Path, beds: &Value) -> Vec<Searched> {
        self.ask("fit.py", stl, "beds", beds.clone())
    }

    /// Hands a script a mesh and what to do with it.
    fn ask<T: DeserializeOwned>(&self, script: &str, stl: &Path, key: &str, what: Value) -> T {
        let job = json!({ "mesh": stl, key: what }).to_string();
        let mut child =
            self.script(script).stdin(Stdio::piped()).stdout(Stdio::piped()).spawn().expect("Python starts");
        child.stdin.take().expect("stdin is piped").write_all(job.as_bytes()).expect("Python reads the job");
        let output = child.wait_with_output().expect("Python ends");
        assert!(output.status.success(), "{script} failed on {}", stl.display());
        serde_json::from_slice(&output.stdout).unwrap_or_else(|error| panic!("{script} lacks a promised key: {error}"))
    }

    fn script(&self, name: &str) -> Command {
        let mut command = Command::new(&self.python);
        // Byte code would be written into the checkout.
        command.arg("-B").arg(support::root().join("tests/reference").join(name));
        command
    }
}

/// A mesh and its cuts, as judged.
#[derive(Debug, Deserialize)]
pub struct Judged {
    pub mesh: Solid,
    pub cuts: Vec<JudgedCut>,
}

#[derive(Debug, Deserialize)]
pub struct JudgedCut {
    pub formula: Measures,
    pub trimesh: Answer,
    pub manifold3d: Answer,
    pub vtk: Answer,
    pub pieces: Vec<WrittenPiece>,
}

/// Volumes on both sides of a plane, and area and length of outline of the section.
#[derive(Debug, Deserialize)]
pub struct Measures {
    pub above_mm3: f64,
    pub below_mm3: f64,
    pub cap_mm2: f64,
    pub outline_mm: f64,
    /// Edges of the two sides that are not used as often one way as the other; always 0 by formula, which makes none.
    pub unbalanced: usize,
}

/// What a library makes of a cut.
#[derive(Debug, Deserialize)]
#[serde(untagged)]
pub enum Answer {
    Measured(Measures),
    Refused { refused: String },
}

/// Takes the answer of one library.
type OfLibrary = fn(&JudgedCut) -> &Answer;

impl Answer {
    /// The libraries, each with its answer.
    pub const LIBRARIES: [(&str, OfLibrary); 3] =
        [("trimesh", |cut| &cut.trimesh), ("manifold3d", |cut| &cut.manifold3d), ("VTK", |cut| &cut.vtk)];
}

/// A piece that we wrote, read back by someone else.
#[derive(Debug, Deserialize)]
pub struct WrittenPiece {
    #[serde(flatten)]
    pub solid: Solid,
    pub above: bool,
    pub beyond_plane_mm: f64,
    pub cap: Cap,
}

/// The triangles of a piece that lie in the plane of the cut.
#[derive(Debug, Deserialize)]
pub struct Cap {
    pub signed_mm2: f64,
    pub covered_mm2: f64,
    pub outline_mm: f64,
}

/// A mesh as trimesh sees it: `watertight` where every edge has exactly two faces, that run along it in opposite
/// directions, `balanced` where it has as many of one direction as of the other. `collapsed` triangles have two corners
/// of equal coordinates and are not counted.
#[derive(Debug, Deserialize)]
pub struct Solid {
    pub triangles: usize,
    pub shells: usize,
    pub collapsed: usize,
    pub balanced: bool,
    pub watertight: bool,
    pub volume_mm3: f64,
    pub area_mm2: f64,
    pub min_mm: [f64; 3],
    pub max_mm: [f64; 3],
    pub rounding_mm: f64,
}
