mod hostile;
mod obj;
mod ply;
mod round_trips;
mod stl;
mod threemf;

use super::{Format, ModelFile, Part, ReadOptions, ReadProblem, parse};
use crate::{Mesh, Progress, inspect};

fn model(bytes: &[u8]) -> Result<ModelFile, ReadProblem> {
    parse(bytes, &ReadOptions::default(), &Progress::new())
}

/// The message of a refusal.
fn refusal(bytes: &[u8]) -> String {
    model(bytes).map(|model| panic!("{model:?} was read")).unwrap_err().to_string()
}

fn remarks(model: &ModelFile) -> Vec<String> {
    model.remarks.iter().map(ToString::to_string).collect()
}

fn names(model: &ModelFile) -> Vec<(&str, usize)> {
    model.parts.iter().map(|part| (part.name.as_str(), part.mesh.triangles.len())).collect()
}

/// A cube of 10, whatever its vertices are called.
#[track_caller]
fn assert_is_cube(model: ModelFile, format: Format) {
    assert_eq!((model.format, model.facets, model.collapsed), (format, 12, 0));
    let report = inspect(&model.into_mesh().unwrap());
    assert_eq!((report.triangles, report.vertices, report.closed), (12, 8, true));
    assert!((report.volume_mm3 - 1000.0).abs() < 1e-9, "{}", report.volume_mm3);
}

/// Corners of a cube of 10, with x changing fastest.
const CORNERS: [[i32; 3]; 8] =
    [[0, 0, 0], [10, 0, 0], [0, 10, 0], [10, 10, 0], [0, 0, 10], [10, 0, 10], [0, 10, 10], [10, 10, 10]];

/// Its sides, turned outwards, as indices from 0.
const SIDES: [[usize; 4]; 6] = [[0, 2, 3, 1], [4, 5, 7, 6], [0, 1, 5, 4], [2, 6, 7, 3], [0, 4, 6, 2], [1, 3, 7, 5]];

/// Its sides in two triangles each.
fn triangles() -> Vec<[usize; 3]> {
    SIDES.iter().flat_map(|&[a, b, c, d]| [[a, b, c], [a, c, d]]).collect()
}

fn mesh_of(part: &Part) -> &Mesh {
    &part.mesh
}
