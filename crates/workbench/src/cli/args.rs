//! What may be typed after `seamwright`.

mod cuts;
mod project;
mod rods;
mod shared;
mod stock;

use std::ffi::OsString;
use std::path::PathBuf;

use clap::builder::{OsStringValueParser, TypedValueParser};
use clap::{Parser, Subcommand};

pub use cuts::{BedsArgs, CutArgs, FitArgs, PlaceArgs};
pub use project::{CheckArgs, KitArgs, MeasureArgs, PictureArgs};
pub use rods::{BoreArgs, MagnetsArgs};
pub use shared::{ProjectArgs, StockArgs};
pub use stock::{InspectArgs, MendArgs, SizeArgs};

/// Everything that the program can be told when it is started.
#[derive(Debug, Parser)]
#[command(
    name = "seamwright",
    version,
    about = "A workbench that parts large models into pieces that fit a small printer",
    after_help = "With no verb the window opens, with FILE in it if one is given.\n\
        Lengths are millimetres. Exit codes: 0 done, 1 the answer is no, 2 bad input or use.",
    args_conflicts_with_subcommands = true
)]
pub struct Arguments {
    /// What to do without a window
    #[command(subcommand)]
    pub verb: Option<Verb>,

    /// A project (*.seamwright.json) or a model to open in the window
    #[arg(value_name = "FILE", value_parser = OsStringValueParser::new().try_map(verb_or_file))]
    pub file: Option<PathBuf>,

    /// Never there: whatever follows a file is refused, with a better word than clap would find.
    #[arg(hide = true, value_parser = one_file_only)]
    rest: Option<String>,
}

fn one_file_only(_: &str) -> Result<String, String> {
    Err("the window opens with one file; what is done without it begins with a verb".into())
}

/// A misspelt verb looks like the name of a file to open: say so, rather than open a window in which it is missed.
fn verb_or_file(text: OsString) -> Result<PathBuf, String> {
    let path = PathBuf::from(text);
    let looks_like_a_file = path.extension().is_some() || path.components().count() > 1;
    if looks_like_a_file || path.exists() {
        return Ok(path);
    }
    Err("there is no such verb, and no such file".into())
}

/// What can be done with no window.
#[derive(Debug, Subcommand)]
pub enum Verb {
    /// Say what state a model is in and how large it is, or what bores go through a project's pieces
    Inspect(InspectArgs),
    /// Mend a model step by step, and say what each step did
    Mend(MendArgs),
    /// Give a model its real size, mirror it, stand it on a face
    Size(Box<SizeArgs>),
    /// Measure a project's model, and note it in the project
    Measure(MeasureArgs),
    /// Bore a channel for a rod, and say what wall is left around it
    Bore(Box<BoreArgs>),
    /// Add pockets for round magnets on both sides of a project's cut
    Magnets(MagnetsArgs),
    /// Part a model by planes and write the closed pieces
    Cut(CutArgs),
    /// Ask whether a model fits a printer's bed
    Fit(FitArgs),
    /// Keep the beds that you own, by name, for every project
    Beds(BedsArgs),
    /// Say where a project's cut would leave two sides that fit
    Place(PlaceArgs),
    /// Make a project's pieces and write them, lying as they print, with a list of them
    Kit(KitArgs),
    /// Draw a project's pieces into a PNG file; needs no display
    Picture(PictureArgs),
    /// Make a project's pieces and say what is wrong with them; writes nothing
    Check(CheckArgs),
}
