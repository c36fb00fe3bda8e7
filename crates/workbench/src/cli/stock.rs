//! The model that a verb is about.

use std::path::{Path, PathBuf};

use seamwright_geometry::exchange::{ReadError, ReadProblem, read_stl};
use seamwright_geometry::{Mesh, Progress};
use seamwright_project::Unit;

use super::args::StockArgs;
use super::trouble::Trouble;

/// A model, in millimetres.
#[derive(Debug)]
pub struct Stock {
    /// Where it was read from.
    pub file: PathBuf,
    /// The unit that its numbers were taken to be in.
    pub unit: Unit,
    /// Its faces, mm.
    pub mesh: Mesh,
    /// Facets in the file.
    pub facets: usize,
    /// Those of them that were left out because a coordinate is not a number.
    pub set_aside: usize,
    /// Seconds for reading.
    pub read_s: f64,
    /// Seconds for merging equal corners.
    pub merge_s: f64,
}

/// Reads the model.
pub fn read(args: &StockArgs, progress: &Progress) -> Result<Stock, Trouble> {
    let unit = Unit::from(args.unit);
    let read = read_stl(&args.file, progress).map_err(|error| not_read(&args.file, error))?;
    let mut mesh = read.mesh;
    if unit != Unit::Millimetre {
        mesh.vertices.iter_mut().for_each(|p| p.coords *= unit.in_mm());
    }
    Ok(Stock {
        file: args.file.clone(),
        unit,
        mesh,
        facets: read.facets,
        set_aside: read.set_aside_not_finite,
        read_s: read.read_s,
        merge_s: read.merge_s,
    })
}

/// A file that is there, is no STL file and does not call itself one needs no word about facets.
fn not_read(file: &Path, error: ReadError) -> Trouble {
    let ending = file.extension().unwrap_or_default().to_string_lossy().to_ascii_lowercase();
    match error.problem {
        ReadProblem::Io(_) | ReadProblem::Cancelled(_) | ReadProblem::Empty => Trouble::said(error),
        _ if ending.is_empty() || ending == "stl" => Trouble::said(error),
        _ => {
            let file = file.display();
            Trouble::Said(format!(
                "{file}: the name ends in .{ending}, and this is no STL file; export the model as STL"
            ))
        }
    }
}
