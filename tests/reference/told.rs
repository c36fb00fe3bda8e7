//! What the program tells about a mesh and about a cut.

use std::path::{Path, PathBuf};

use serde::{Deserialize, de::DeserializeOwned};

use crate::{
    judge::Solid,
    support::program::{Run, seamwright},
};

/// A plane `normal · p = offset_mm`; `normal` has length 1.
#[derive(Clone, Copy, Debug)]
pub struct Plane {
    pub normal: [f64; 3],
    pub offset_mm: f64,
}

/// Runs `seamwright inspect`.
pub fn inspect(stl: &Path) -> Inspected {
    answer(&seamwright(["inspect".as_ref(), stl.as_os_str(), "--json".as_ref()]))
}

/// Runs `seamwright cut` with one plane; the pieces lie in `out`.
pub fn cut(stl: &Path, plane: Plane, out: &Path) -> CutAnswer {
    let [x, y, z] = plane.normal;
    let plane = format!("--plane={x},{y},{z},{}", plane.offset_mm);
    let arguments = ["cut".as_ref(), stl.as_os_str(), plane.as_ref(), "--out".as_ref(), out.as_os_str()];
    answer(&seamwright(arguments.into_iter().chain(["--json".as_ref()])))
}

/// Runs `seamwright fit` over all poses; fitting or not, the answer is told.
pub fn fit(stl: &Path, bed: &str) -> serde_json::Value {
    let arguments = ["fit".as_ref(), stl.as_os_str(), "--bed".as_ref(), bed.as_ref()];
    let run = seamwright(arguments.into_iter().chain(["--any-pose".as_ref(), "--json".as_ref()]));
    assert!(matches!(run.code, Some(0 | 1)), "{run:?}");
    run.json()
}

fn answer<T: DeserializeOwned>(run: &Run) -> T {
    assert_eq!(run.code, Some(0), "{run:?}");
    serde_json::from_value(run.json()).unwrap_or_else(|error| panic!("a promised key is missing: {error}\n{run:?}"))
}

#[derive(Debug, Deserialize)]
pub struct Inspected {
    pub triangles: usize,
    pub closed: bool,
    pub volume_mm3: f64,
    pub area_mm2: f64,
    pub bounds_mm: Bounds,
    pub shells: Vec<Shell>,
}

#[derive(Debug, Deserialize)]
pub struct Shell {
    pub triangles: usize,
    pub closed: bool,
    pub volume_mm3: f64,
}

#[derive(Debug, Deserialize)]
pub struct CutAnswer {
    pub pieces: Vec<Piece>,
    pub timings_s: Timings,
}

impl CutAnswer {
    /// Where the pieces were written.
    pub fn files(&self, out: &Path) -> Vec<PathBuf> {
        self.pieces.iter().map(|piece| out.join(&piece.file)).collect()
    }
}

#[derive(Debug, Deserialize)]
pub struct Piece {
    pub file: String,
    pub triangles: usize,
    pub closed: bool,
    pub volume_mm3: f64,
    pub bounds_mm: Bounds,
    pub cap_area_mm2: f64,
}

#[derive(Debug, Deserialize)]
pub struct Timings {
    read: f64,
    merge: f64,
    cut: f64,
    write: f64,
}

impl Timings {
    pub fn are_all_measured(&self) -> bool {
        [self.read, self.merge, self.cut, self.write].iter().all(|&seconds| seconds > 0.0)
    }
}

#[derive(Clone, Copy, Debug, Deserialize)]
pub struct Bounds {
    pub min: [f64; 3],
    pub max: [f64; 3],
}

impl Bounds {
    pub fn are_those_of(&self, solid: &Solid, tolerance_mm: f64) -> bool {
        let near = |a: &[f64; 3], b: &[f64; 3]| a.iter().zip(b).all(|(a, b)| (a - b).abs() <= tolerance_mm);
        near(&self.min, &solid.min_mm) && near(&self.max, &solid.max_mm)
    }
}
