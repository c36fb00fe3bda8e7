//! The model that a verb is about.

use std::path::PathBuf;

use seamwright_geometry::exchange::{Format, ReadOptions, read as read_model};
use seamwright_geometry::{Mesh, Progress};
use seamwright_project::{Unit, guess_units, remarks_on};

use super::args::StockArgs;
use super::inspect_project::is_project;
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
    /// The format of the file.
    pub format: Format,
    /// What was passed over or put right.
    pub remarks: Vec<String>,
    /// Seconds for reading.
    pub read_s: f64,
    /// Seconds for merging equal corners.
    pub merge_s: f64,
}

impl Stock {
    /// What to say where the size makes no sense in this unit and another one would.
    pub fn unit_guess(&self) -> Option<String> {
        let longest = self.mesh.bounds()?.size().max() / self.unit.mm();
        let guesses = guess_units(longest, self.unit);
        let now = guesses.first()?.now_mm;
        let each = guesses.iter().map(|guess| format!("--unit {}: then {:.0} mm", guess.unit.name(), guess.then_mm));
        Some(format!("it would be {now:.3} mm long; perhaps {}", each.collect::<Vec<_>>().join(", or ")))
    }
}

/// Reads the model. Where no unit is asked for, it is the one that the file states, or else millimetres.
pub fn read(args: &StockArgs, progress: &Progress) -> Result<Stock, Trouble> {
    if is_project(&args.file) {
        return Err(Trouble::Said(format!(
            "{} is a project, and this verb is about a model. \"seamwright kit\" makes and writes the pieces of a project, \
             \"seamwright check\" says what is wrong with them",
            args.file.display()
        )));
    }
    let read = read_model(&args.file, &ReadOptions::default(), progress).map_err(Trouble::said)?;
    let unit = args.unit.map(Unit::from).or(read.unit).unwrap_or_default();
    let (format, facets, set_aside) = (read.format, read.facets, read.set_aside_not_finite);
    let (read_s, merge_s) = (read.read_s, read.merge_s);
    let remarks = remarks_on(&read);
    let mut mesh = read.into_mesh().map_err(|error| Trouble::Said(format!("{}: {error}", args.file.display())))?;
    if unit != Unit::Millimetre {
        mesh.vertices.iter_mut().for_each(|p| p.coords *= unit.mm());
    }
    Ok(Stock { file: args.file.clone(), unit, mesh, facets, set_aside, format, remarks, read_s, merge_s })
}
