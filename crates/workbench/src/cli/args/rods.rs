//! What may be typed after the verbs for rods and magnets.

use clap::builder::TypedValueParser;
use clap::{Args, ValueEnum};
use seamwright_project::rods::{Clearance, PRINTER_MM};
use seamwright_project::{BoreShape, MAGNET_PLAY_MM};

use super::shared::{MODEL_OUT, ProjectArgs, StockArgs, WriteArgs};
use crate::cli::planes;
use crate::cli::rods;

/// `seamwright bore`.
#[derive(Debug, Args)]
#[command(
    mut_arg("out", |out| out.help(MODEL_OUT)),
    group = clap::ArgGroup::new("what").args(["diameter", "rod"]).required(true),
    after_help = format!(
        "An end stops at its point; one on the surface is led out of it. It is always the diameter that is asked for.\n\
        With --clearance as a number, that is all that is added to the diameter; with a class, {PRINTER_MM} mm are added for what \
        printers take away, unless --printer says otherwise.\n\
        Exit codes: 0 done, and closed; 1 written, but the model is open elsewhere; 2 bad input or use, or the model is open \
        where the channel passes."
    )
)]
pub struct BoreArgs {
    #[command(flatten)]
    pub stock: StockArgs,
    /// Where the channel begins
    #[arg(long, value_name = "X,Y,Z", allow_hyphen_values = true, value_parser = planes::place)]
    pub from: [f64; 3],
    /// Where it ends
    #[arg(long, value_name = "X,Y,Z", allow_hyphen_values = true, value_parser = planes::place)]
    pub to: [f64; 3],
    /// A bend between; may be given several times
    #[arg(long, value_name = "X,Y,Z", allow_hyphen_values = true, value_parser = planes::place)]
    pub via: Vec<[f64; 3]>,
    /// Diameter of the rod, mm
    #[arg(long, value_name = "MM", allow_hyphen_values = true)]
    pub diameter: Option<f64>,
    /// A rod of the tables: M6, 1/4-20, "dowel 8 mm", "carbon tube 10x8 mm"
    #[arg(long, value_name = "NAME")]
    pub rod: Option<String>,
    /// How much play it has: fine, medium, coarse, or so many mm on the diameter
    #[arg(long, value_name = "CLASS|MM", default_value = "medium", allow_hyphen_values = true,
        value_parser = rods::clearance)]
    pub clearance: Clearance,
    /// What the printer takes away from the diameter, mm
    #[arg(long, value_name = "MM", allow_hyphen_values = true)]
    pub printer: Option<f64>,
    /// Cross-section of the channel
    #[arg(long, value_enum, default_value_t = TypedShape::Round)]
    pub shape: TypedShape,
    /// Where a roof or a slit points, or a flat
    #[arg(long, value_name = "X,Y,Z", allow_hyphen_values = true, value_parser = planes::place)]
    pub up: Option<[f64; 3]>,
    /// Lead both ends out through the surface
    #[arg(long)]
    pub open: bool,
    /// Stop the beginning so far below the surface, mm
    #[arg(long, value_name = "MM", allow_hyphen_values = true)]
    pub blind_from: Option<f64>,
    /// Stop the end so far below the surface, mm
    #[arg(long, value_name = "MM", allow_hyphen_values = true)]
    pub blind_to: Option<f64>,
    /// A countersink at the end, so wide at the surface, mm; with --open
    #[arg(long, value_name = "MM", allow_hyphen_values = true, requires = "open")]
    pub countersink: Option<f64>,
    /// A pocket for a nut at the end, so far below the surface, mm; with --open and a threaded --rod
    #[arg(long, value_name = "MM", allow_hyphen_values = true, requires_all = ["open", "rod"], conflicts_with = "countersink")]
    pub nut_pocket: Option<f64>,
    /// Move it to where its least wall is greatest
    #[arg(long)]
    pub centre: bool,
    /// A wall thinner than this is told, mm
    #[arg(long, value_name = "MM", default_value_t = 1.2, allow_hyphen_values = true)]
    pub wall: f64,
    #[command(flatten)]
    pub write: WriteArgs,
}

/// `seamwright magnets`.
#[derive(Debug, Args)]
#[command(
    group = clap::ArgGroup::new("where").args(["count", "at"]).required(true),
    after_help = format!(
        "One short bore across the cut makes the pockets of both pieces, so that they line up; each is {MAGNET_PLAY_MM} mm \
        deeper than its magnet. Check which way round the magnets go before they are glued in, and keep small magnets \
        from children: swallowed magnets hurt badly.\n\
        Exit codes: 0 every pocket is open in two closed pieces with a wall around it; 1 written, but one is not; 2 bad \
        input or use."
    )
)]
pub struct MagnetsArgs {
    #[command(flatten)]
    pub project: ProjectArgs,
    /// Name of the cut that they hold together
    #[arg(long, value_name = "NAME")]
    pub cut: String,
    /// Diameter of the magnets, mm
    #[arg(long, value_name = "MM", allow_hyphen_values = true)]
    pub diameter: f64,
    /// How thick each is, mm
    #[arg(long, value_name = "MM", allow_hyphen_values = true)]
    pub thickness: f64,
    /// How much play they have: fine, medium, coarse, or so many mm on the diameter
    #[arg(long, value_name = "CLASS|MM", default_value = "fine", allow_hyphen_values = true,
        value_parser = rods::clearance)]
    pub clearance: Clearance,
    /// Spread so many evenly along the middle of the seam
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(1..=MOST_MAGNETS).map(usize::from))]
    pub count: Option<usize>,
    /// A place, moved square to the cut onto it; may be given several times
    #[arg(long, value_name = "X,Y,Z", allow_hyphen_values = true, value_parser = planes::place)]
    pub at: Vec<[f64; 3]>,
    #[command(flatten)]
    pub write: WriteArgs,
}

/// More magnets than this at one seam nobody sets. Our own choice, no source.
const MOST_MAGNETS: i64 = 100;

/// [`BoreShape`] as it is typed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum TypedShape {
    Round,
    Teardrop,
    FlatRoof,
    Square,
    Hexagon,
    Slit,
}

impl From<TypedShape> for BoreShape {
    fn from(shape: TypedShape) -> BoreShape {
        match shape {
            TypedShape::Round => BoreShape::Round,
            TypedShape::Teardrop => BoreShape::Teardrop,
            TypedShape::FlatRoof => BoreShape::FlatRoof,
            TypedShape::Square => BoreShape::Square,
            TypedShape::Hexagon => BoreShape::Hexagon,
            TypedShape::Slit => BoreShape::Slit,
        }
    }
}
