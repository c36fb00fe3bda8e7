//! What may be typed after the verbs that look at a model, mend it and size it.

use clap::{Args, ValueEnum};
use seamwright_project::relief::check;
use seamwright_project::{Axis, Relief};

use super::shared::{MODEL_OUT, OutputArgs, StockArgs, WriteArgs};
use crate::cli::planes::{self, Quarter};

/// `seamwright inspect`.
#[derive(Debug, Args)]
#[command(
    after_help = "FILE may be a project (*.seamwright.json) too: its pieces are made, and it is said which bores go through each.\n\
    Exit codes: 0 the model could be read, closed or not; 2 it could not, or bad use."
)]
pub struct InspectArgs {
    #[command(flatten)]
    pub stock: StockArgs,
    /// Look closely: crossings, thin walls, shells inside out, debris, shells that nest tightly
    #[arg(long)]
    pub closely: bool,
    /// Walls thinner than this are told, mm
    #[arg(long, value_name = "MM", default_value_t = 0.8, requires = "closely")]
    pub print_width: f64,
    #[command(flatten)]
    pub output: OutputArgs,
}

/// `seamwright mend`.
#[derive(Debug, Args)]
#[command(
    mut_arg("out", |out| out.help(MODEL_OUT)),
    after_help = "With no step named, all is done that cannot alter the form that is seen (--safe): vertices that lie within \
    what single precision tells apart are merged, faces without area and duplicates are dropped, edges with more than two \
    faces are parted, shells are turned outwards.\n\
    Exit codes: 0 the model is closed now; 1 it is still open; 2 bad input or use."
)]
pub struct MendArgs {
    #[command(flatten)]
    pub stock: StockArgs,
    /// Do all that leaves the visible form as it is, before the steps that are named
    #[arg(long)]
    pub safe: bool,
    /// Merge vertices at open edges that lie within this distance, mm
    #[arg(long, value_name = "MM", allow_hyphen_values = true)]
    pub merge_near: Option<f64>,
    /// Fill holes, flat and curved
    #[arg(long)]
    pub fill_holes: bool,
    /// Fill flat holes only
    #[arg(long, conflicts_with = "fill_holes")]
    pub fill_flat_holes: bool,
    /// Make one solid of shells that cross
    #[arg(long)]
    pub unite: bool,
    /// Drop shells that lie inside others
    #[arg(long)]
    pub keep_outer: bool,
    /// Make room in a shell for another, with a gap in mm: both by their numbers, as `inspect` lists them; may be given
    /// several times
    #[arg(long = "relieve", value_name = "SHELL,BY,MM", allow_hyphen_values = true, value_parser = relief)]
    pub reliefs: Vec<Relief>,
    #[command(flatten)]
    pub write: WriteArgs,
}

/// Reads `2,1,0.3`: shell 2 makes room for shell 1, 0.3 mm wide.
fn relief(text: &str) -> Result<Relief, String> {
    let wrong = || format!("\"{text}\" is no relief: it takes two numbers of shells and a gap in mm, such as 2,1,0.3");
    let [shell, by, clearance] = text.split(',').map(str::trim).collect::<Vec<_>>()[..] else { return Err(wrong()) };
    let number = |text: &str| text.parse::<u32>().ok().and_then(|number| number.checked_sub(1)).ok_or_else(wrong);
    let clearance_mm = clearance.parse().map_err(|_| wrong())?;
    let relief = Relief { shell: number(shell)?, by: number(by)?, clearance_mm, enabled: true };
    check(&[relief]).map_err(|error| error.to_string())?;
    Ok(relief)
}

/// `seamwright size`.
#[derive(Debug, Args)]
#[command(
    mut_arg("out", |out| out.help(MODEL_OUT)),
    group = clap::ArgGroup::new("what").args(["factor", "width", "depth", "height", "distance", "wearer"]),
    after_help = "With none of --factor, --width, --depth, --height, --distance and --wearer the model is measured only.\n\
    Exit codes: 0 done; 1 the clear inside was asked for and there is none; 2 bad input or use."
)]
pub struct SizeArgs {
    #[command(flatten)]
    pub stock: StockArgs,
    /// What to enlarge it by
    #[arg(long, value_name = "F", allow_hyphen_values = true)]
    pub factor: Option<f64>,
    /// What it should measure along X, mm
    #[arg(long, value_name = "MM", allow_hyphen_values = true)]
    pub width: Option<f64>,
    /// What it should measure along Y, mm
    #[arg(long, value_name = "MM", allow_hyphen_values = true)]
    pub depth: Option<f64>,
    /// What it should measure along Z, mm
    #[arg(long, value_name = "MM", allow_hyphen_values = true)]
    pub height: Option<f64>,
    /// What the two --points should lie apart, mm
    #[arg(long, value_name = "MM", allow_hyphen_values = true, requires = "points")]
    pub distance: Option<f64>,
    /// Two points of the model
    #[arg(long, value_name = "X,Y,Z;X,Y,Z", allow_hyphen_values = true, value_parser = planes::two_places)]
    pub points: Option<[[f64; 3]; 2]>,
    /// A measure of the wearer that it should fit ("head circumference")
    #[arg(long, value_name = "MEASURE")]
    pub wearer: Option<String>,
    /// What that is on the wearer, mm; the middle of men where it is left out
    #[arg(long, value_name = "MM", allow_hyphen_values = true)]
    pub measured: Option<f64>,
    /// Thickness of the padding all round, mm
    #[arg(long, value_name = "MM", default_value_t = 0.0, allow_hyphen_values = true)]
    pub padding: f64,
    /// Measure the clear inside at this height above the lowest point, mm
    #[arg(long, value_name = "MM", allow_hyphen_values = true)]
    pub inside_at: Option<f64>,
    /// Mirror it along this axis
    #[arg(long, value_enum)]
    pub mirror: Option<TypedAxis>,
    /// Turn it to stand on the face that looks this way
    #[arg(long, value_name = "NX,NY,NZ", allow_hyphen_values = true, value_parser = planes::place)]
    pub stand_on: Option<[f64; 3]>,
    /// Then turn it by 90° about this axis, to the left as seen against it, or back; may be given several times
    #[arg(long, value_name = "X|-X|Y|-Y|Z|-Z", allow_hyphen_values = true, value_parser = planes::quarter)]
    pub turn: Vec<Quarter>,
    #[command(flatten)]
    pub write: WriteArgs,
}

/// [`Axis`] as it is typed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum TypedAxis {
    X,
    Y,
    Z,
}

impl From<TypedAxis> for Axis {
    fn from(axis: TypedAxis) -> Axis {
        match axis {
            TypedAxis::X => Axis::X,
            TypedAxis::Y => Axis::Y,
            TypedAxis::Z => Axis::Z,
        }
    }
}
