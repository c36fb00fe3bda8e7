//! What may be typed after the verbs that make a project's pieces, write them, draw them, look at them and measure.

use std::path::PathBuf;

use clap::{Args, ValueEnum};
use seamwright_project::Axis;

use super::shared::{FolderArgs, ForceArgs, OutputArgs, ProjectArgs, WriteArgs};
use crate::bench::StandardView;
use crate::cli::picture::PictureSize;
use crate::cli::planes;

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
    #[command(flatten)]
    pub write: WriteArgs,
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
    /// Write no files of crumbs: pieces so little that nobody means them. Those that would vanish in print are left out in
    /// any case
    #[arg(long)]
    pub leave_out_crumbs: bool,
    #[command(flatten)]
    pub write: FolderArgs,
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
