//! What may be typed after several verbs alike.

use std::path::PathBuf;

use clap::{Args, ValueEnum};
use seamwright_geometry::exchange::Overwrite;
use seamwright_project::Unit;

use crate::cli::targets;
use crate::cli::trouble::Trouble;

/// A model and the unit of its numbers.
#[derive(Debug, Args)]
pub struct StockArgs {
    /// The model: an STL, OBJ, PLY or 3MF file
    #[arg(value_name = "FILE")]
    pub file: PathBuf,
    /// The unit that the file was modelled in, in full or as mm, cm, m, in, ft; millimeter where neither this nor the file
    /// says it. Everything else is always millimetres
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

impl ForceArgs {
    /// The same for what writes files.
    pub fn overwrite(&self) -> Overwrite {
        if self.force { Overwrite::Allow } else { Overwrite::Refuse }
    }
}

/// A file that may be written beside the answer.
#[derive(Debug, Args)]
pub struct WriteArgs {
    /// The project file to write (*.seamwright.json); with none, only the answer is given
    #[arg(long, value_name = "FILE")]
    pub out: Option<PathBuf>,
    #[command(flatten)]
    pub force: ForceArgs,
    #[command(flatten)]
    pub output: OutputArgs,
}

/// What `--out` of [`WriteArgs`] means to a verb that writes a model.
pub const MODEL_OUT: &str =
    "The file to write it to; its ending says the format: stl, obj, ply, 3mf. With none, only the answer is given";

impl WriteArgs {
    /// Fails where the file is there already and may not be replaced: before any long work.
    pub fn check_free(&self) -> Result<(), Trouble> {
        targets::check_free(&self.out, self.force.force)
    }

    /// The file as the answer names it.
    pub fn told(&self) -> Option<String> {
        self.out.as_ref().map(|out| out.display().to_string())
    }
}

/// A folder that files are written into.
#[derive(Debug, Args)]
pub struct FolderArgs {
    /// The folder that the pieces go to; made when it is not there
    #[arg(long, value_name = "DIR")]
    pub out: PathBuf,
    #[command(flatten)]
    pub force: ForceArgs,
    #[command(flatten)]
    pub output: OutputArgs,
}

/// [`Unit`] as it is typed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum FileUnit {
    #[value(aliases = ["um", "microns"])]
    Micron,
    #[value(aliases = ["mm", "millimetre", "millimeters"])]
    Millimeter,
    #[value(aliases = ["cm", "centimetre", "centimeters"])]
    Centimeter,
    #[value(aliases = ["in", "inches"])]
    Inch,
    #[value(aliases = ["ft", "feet"])]
    Foot,
    #[value(aliases = ["m", "metre", "meters"])]
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
