//! What may be typed after the verbs that part a model and hold it against beds.

use std::path::PathBuf;

use clap::Args;

use super::shared::{FolderArgs, OutputArgs, ProjectArgs, StockArgs, WriteArgs};
use crate::cli::beds::{self, AskedBed};
use crate::cli::planes::{self, AskedCut};
use crate::cli::step_off::{self, AskedSteps};

/// `seamwright cut`.
#[derive(Debug, Args)]
#[command(
    after_help = format!(
        "A plane is the set of places where NX·x + NY·y + NZ·z = OFFSET. The planes are taken one after the other, and \
        each cuts all that it crosses.\n{}\n{}\n{}\n\
        Exit codes: 0 every piece is closed; 1 written, but a piece is open because the model is; 2 bad input or use.",
        planes::WORDS, step_off::WORDS, beds::WORDS
    )
)]
pub struct CutArgs {
    #[command(flatten)]
    pub stock: StockArgs,
    /// A cut; may be given several times
    #[arg(long = "plane", value_name = "NX,NY,NZ,OFFSET [WORDS]", required_unless_present = "step_off",
        allow_hyphen_values = true, value_parser = planes::parse)]
    pub planes: Vec<AskedCut>,
    /// Step it off: the fewest parallel cuts so that all pieces fit the --bed, before the planes
    #[arg(long, value_name = "AXIS [WORDS]", requires = "bed", allow_hyphen_values = true,
        value_parser = step_off::parse)]
    pub step_off: Option<AskedSteps>,
    /// The bed that it is stepped off for
    #[arg(long, value_name = "BED", requires = "step_off", allow_hyphen_values = true, value_parser = beds::parse)]
    pub bed: Option<AskedBed>,
    /// Leave bodies that a cut disconnects together in one piece
    #[arg(long)]
    pub keep_together: bool,
    #[command(flatten)]
    pub write: FolderArgs,
}

/// `seamwright fit`.
#[derive(Debug, Args)]
#[command(
    after_help = format!(
        "FILE may be a project (*.seamwright.json), too: then each of its pieces is held against the beds of the project, or \
        those that are given, in any pose.\n{}\n\
        Exit codes: 0 it fits a bed, all pieces of a project do; 1 it is too big for all of them, or that is undecided; 2 bad input or use.",
        beds::WORDS
    )
)]
pub struct FitArgs {
    #[command(flatten)]
    pub stock: StockArgs,
    /// A bed; may be given several times. A project has its own
    #[arg(long = "bed", value_name = "BED", allow_hyphen_values = true, value_parser = beds::parse)]
    pub beds: Vec<AskedBed>,
    /// What stays free along every edge of every bed, mm
    #[arg(long, value_name = "MM", allow_hyphen_values = true)]
    pub margin: Option<f64>,
    /// Try tilted poses too, not only turns about the vertical
    #[arg(long)]
    pub any_pose: bool,
    #[command(flatten)]
    pub output: OutputArgs,
}

/// `seamwright beds`.
#[derive(Debug, Args)]
#[command(
    after_help = format!("{}\nExit codes: 0 done; 1 there is no bed to forget; 2 bad input or use.", beds::WORDS)
)]
pub struct BedsArgs {
    /// Keep a bed under this name
    #[arg(long, value_name = "NAME", requires = "bed", conflicts_with = "forget")]
    pub keep: Option<String>,
    /// The bed to keep
    #[arg(long, value_name = "BED", requires = "keep", allow_hyphen_values = true, value_parser = beds::parse)]
    pub bed: Option<AskedBed>,
    /// Forget the bed of this name
    #[arg(long, value_name = "NAME")]
    pub forget: Option<String>,
    /// The file that they are kept in; one in the settings folder of this machine where it is left out
    #[arg(long, value_name = "FILE")]
    pub kept_in: Option<PathBuf>,
    #[command(flatten)]
    pub output: OutputArgs,
}

/// `seamwright place`.
#[derive(Debug, Args)]
#[command(
    after_help = format!(
        "{}\n\
        Exit codes: 0 both sides fit where the cut is, or a place was found where they do; 1 there is none, or the cut \
        parts nothing; 2 bad input or use.",
        beds::WORDS
    )
)]
pub struct PlaceArgs {
    #[command(flatten)]
    pub project: ProjectArgs,
    /// The cut: its name, or its number in the list; with none, the cuts are told
    #[arg(long, value_name = "CUT")]
    pub cut: Option<String>,
    /// The bed that they should fit, instead of those of the project
    #[arg(long, value_name = "BED", allow_hyphen_values = true, value_parser = beds::parse)]
    pub bed: Option<AskedBed>,
    #[command(flatten)]
    pub write: WriteArgs,
}
