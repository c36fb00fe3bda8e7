//! What may be typed after several verbs alike.

use std::path::PathBuf;

use clap::{Args, ValueEnum};
use seamwright_project::Unit;

/// A model and the unit of its numbers.
#[derive(Debug, Args)]
pub struct StockArgs {
    /// The model: an STL, OBJ, PLY or 3MF file
    #[arg(value_name = "FILE")]
    pub file: PathBuf,
    /// The unit that the file was modelled in; millimeter where neither this nor the file says it. Everything else is
    /// always millimetres
    #[arg(long, value_enum)]
    pub unit: Option<FileUnit>,
}

/// A project.
#[derive(Debug, Args)]
pub struct ProjectArgs {
    /// The project file (*.seamwright.json)
    #[arg(value_name = "PROJECT")]
    pub file: PathBuf,
}

/// How the answer is given.
#[derive(Debug, Args)]
pub struct OutputArgs {
    /// Answer with one JSON object on the standard output
    #[arg(long)]
    pub json: bool,
}

/// Whether files may be replaced.
#[derive(Debug, Args)]
pub struct ForceArgs {
    /// Replace files that are there already
    #[arg(long)]
    pub force: bool,
}

/// [`Unit`] as it is typed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum FileUnit {
    Micron,
    Millimeter,
    Centimeter,
    Inch,
    Foot,
    Meter,
}

impl From<FileUnit> for Unit {
    fn from(unit: FileUnit) -> Unit {
        match unit {
            FileUnit::Micron => Unit::Micron,
            FileUnit::Millimeter => Unit::Millimetre,
            FileUnit::Centimeter => Unit::Centimetre,
            FileUnit::Inch => Unit::Inch,
            FileUnit::Foot => Unit::Foot,
            FileUnit::Meter => Unit::Metre,
        }
    }
}
