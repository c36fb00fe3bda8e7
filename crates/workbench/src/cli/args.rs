//! What may be typed after `seamwright`.

use std::ffi::OsString;
use std::path::PathBuf;

use clap::builder::{OsStringValueParser, TypedValueParser};
use clap::{Args, Parser, Subcommand, ValueEnum};
use seamwright_project::relief::check;
use seamwright_project::rods::{Clearance, PRINTER_MM};
use seamwright_project::{Axis, BoreShape, MAGNET_PLAY_MM, Relief, Unit};

use super::beds::{self, AskedBed};
use super::picture::PictureSize;
use super::planes::{self, AskedCut, Quarter};
use super::rods;
use super::step_off::{self, AskedSteps};
use crate::bench::StandardView;

/// Everything that the program can be told when it is started.
#[derive(Debug, Parser)]
#[command(
    name = "seamwright",
    version,
    about = "A workbench that parts large models into pieces that fit a small printer",
    after_help = "With no verb the window opens, with FILE in it if one is given.\n\
        Lengths are millimetres. Exit codes: 0 done, 1 the answer is no, 2 bad input or use.",
    args_conflicts_with_subcommands = true,
    disable_help_subcommand = true
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
    /// The file to write it to; its ending says the format: stl, obj, ply, 3mf
    #[arg(long, value_name = "FILE")]
    pub out: Option<PathBuf>,
    #[command(flatten)]
    pub force: ForceArgs,
    #[command(flatten)]
    pub output: OutputArgs,
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
    /// The file to write it to; its ending says the format: stl, obj, ply, 3mf
    #[arg(long, value_name = "FILE")]
    pub out: Option<PathBuf>,
    #[command(flatten)]
    pub force: ForceArgs,
    #[command(flatten)]
    pub output: OutputArgs,
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

/// `seamwright bore`.
#[derive(Debug, Args)]
#[command(
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
    /// The file to write it to; its ending says the format: stl, obj, ply, 3mf
    #[arg(long, value_name = "FILE")]
    pub out: Option<PathBuf>,
    #[command(flatten)]
    pub force: ForceArgs,
    #[command(flatten)]
    pub output: OutputArgs,
}

/// `seamwright measure`.
#[derive(Debug, Args)]
#[command(
    group = clap::ArgGroup::new("what").args(["distance", "angle", "thickness", "girth"]).required(true).multiple(true),
    after_help = "Places are those of the model as it stands, before it is cut; each option may be given several times.\n\
        Exit codes: 0 measured; 2 there is nothing to measure there, bad input or use."
)]
pub struct MeasureArgs {
    #[command(flatten)]
    pub project: ProjectArgs,
    /// How far two places lie apart
    #[arg(long, value_name = "X,Y,Z;X,Y,Z", allow_hyphen_values = true, value_parser = planes::two_places)]
    pub distance: Vec<[[f64; 3]; 2]>,
    /// The angle between the faces nearest to two places, as a bevel gauge shows it
    #[arg(long, value_name = "X,Y,Z;X,Y,Z", allow_hyphen_values = true, value_parser = planes::two_places)]
    pub angle: Vec<[[f64; 3]; 2]>,
    /// How thick the material is at a place on the surface, which looks along NX,NY,NZ there
    #[arg(long, value_name = "X,Y,Z;NX,NY,NZ", allow_hyphen_values = true, value_parser = planes::two_places)]
    pub thickness: Vec<[[f64; 3]; 2]>,
    /// How far it is round the model at a place, in the plane square to an axis
    #[arg(long, value_name = "X,Y,Z;AXIS", allow_hyphen_values = true, value_parser = planes::place_and_axis)]
    pub girth: Vec<([f64; 3], Axis)>,
    /// The project file to write (*.seamwright.json); with none, only the answer is given
    #[arg(long, value_name = "FILE")]
    pub out: Option<PathBuf>,
    #[command(flatten)]
    pub force: ForceArgs,
    #[command(flatten)]
    pub output: OutputArgs,
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
    /// The project file to write (*.seamwright.json); with none, only the answer is given
    #[arg(long, value_name = "FILE")]
    pub out: Option<PathBuf>,
    #[command(flatten)]
    pub force: ForceArgs,
    #[command(flatten)]
    pub output: OutputArgs,
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
    /// The folder that the pieces go to; made when it is not there
    #[arg(long, value_name = "DIR")]
    pub out: PathBuf,
    /// Leave bodies that a cut disconnects together in one piece
    #[arg(long)]
    pub keep_together: bool,
    #[command(flatten)]
    pub force: ForceArgs,
    #[command(flatten)]
    pub output: OutputArgs,
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
    /// The cut: its name, or its number in the list
    #[arg(long, value_name = "CUT")]
    pub cut: String,
    /// The bed that they should fit, instead of those of the project
    #[arg(long, value_name = "BED", allow_hyphen_values = true, value_parser = beds::parse)]
    pub bed: Option<AskedBed>,
    /// The file to write the project to, with the cut in that place
    #[arg(long, value_name = "FILE")]
    pub out: Option<PathBuf>,
    #[command(flatten)]
    pub force: ForceArgs,
    #[command(flatten)]
    pub output: OutputArgs,
}

/// `seamwright kit`.
#[derive(Debug, Args)]
#[command(
    after_help = "Exit codes: 0 every piece is closed and fits the bed; 1 written, but a piece is open or does not \
    fit; 2 bad input or use."
)]
pub struct KitArgs {
    #[command(flatten)]
    pub project: ProjectArgs,
    /// The folder that the kit goes to; made when it is not there
    #[arg(long, value_name = "DIR")]
    pub out: PathBuf,
    #[command(flatten)]
    pub force: ForceArgs,
    #[command(flatten)]
    pub output: OutputArgs,
}

/// `seamwright picture`.
#[derive(Debug, Args)]
#[command(after_help = "Exit codes: 0 drawn; 2 bad input or use, or this machine has nothing to draw with.")]
pub struct PictureArgs {
    #[command(flatten)]
    pub project: ProjectArgs,
    /// The picture to write
    #[arg(long, value_name = "FILE.png")]
    pub out: PathBuf,
    /// Width and height, pixels
    #[arg(long, value_name = "WxH", default_value_t = PictureSize::DEFAULT, allow_hyphen_values = true)]
    pub size: PictureSize,
    /// Where it is seen from
    #[arg(long, value_enum, default_value_t = View::ThreeQuarter)]
    pub view: View,
    /// How far the pieces are drawn apart: 0 together, 1 as far as the slider goes
    #[arg(long, value_name = "F", default_value_t = 0.0, allow_hyphen_values = true)]
    pub exploded: f64,
    #[command(flatten)]
    pub force: ForceArgs,
    #[command(flatten)]
    pub output: OutputArgs,
}

/// `seamwright check`.
#[derive(Debug, Args)]
#[command(
    after_help = "Exit codes: 0 every piece is closed and fits the bed; 1 there are problems; 2 bad input or use."
)]
pub struct CheckArgs {
    #[command(flatten)]
    pub project: ProjectArgs,
    #[command(flatten)]
    pub output: OutputArgs,
}

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

/// [`StandardView`] as it is typed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum View {
    ThreeQuarter,
    Front,
    Back,
    Left,
    Right,
    Top,
    Bottom,
}

impl From<View> for StandardView {
    fn from(view: View) -> StandardView {
        match view {
            View::ThreeQuarter => StandardView::ThreeQuarter,
            View::Front => StandardView::Front,
            View::Back => StandardView::Back,
            View::Left => StandardView::Left,
            View::Right => StandardView::Right,
            View::Top => StandardView::Top,
            View::Bottom => StandardView::Bottom,
        }
    }
}
