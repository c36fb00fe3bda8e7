//! The model that a verb is about.

use std::path::PathBuf;

use seamwright_geometry::exchange::read_stl;
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
    let read = read_stl(&args.file, progress).map_err(Trouble::said)?;
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
