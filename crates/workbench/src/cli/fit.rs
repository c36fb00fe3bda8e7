//! `fit`: whether a model fits a printer's bed.

use std::fmt;

use seamwright_geometry::{Bed, Fit, Motion, Outline, Reason, Search, fit};
use serde::Serialize;

use super::args::FitArgs;
use super::output::Answer;
use super::trouble::Trouble;
use super::waiting::Waiting;
use super::{stock, words};

/// Reads the model and looks for a pose.
pub fn run(args: &FitArgs) -> Result<Fitted, Trouble> {
    let bed = Bed { margin_mm: args.margin, ..args.bed.clone() };
    bed.check().map_err(|error| Trouble::Option { option: "--margin", problem: error.to_string() })?;
    let search = if args.any_pose { Search::AnyPose } else { Search::Turned };
    let waiting = Waiting::new();
    let stock = stock::read(&args.stock, waiting.progress())?;
    waiting.progress().stage("looking for a pose");
    let fit = fit(&stock.mesh.vertices, &bed, search);
    Ok(Fitted::new(&stock, &bed, search, &fit))
}

/// The answer.
#[derive(Debug, Serialize)]
pub struct Fitted {
    file: String,
    unit: &'static str,
    verdict: &'static str,
    fits: bool,
    sizes_mm: [f64; 3],
    slack_mm: f64,
    excess: Option<Excess>,
    turn_deg: Option<f64>,
    bed_from_model: Option<[[f64; 4]; 4]>,
    reason: String,
    any_pose: bool,
    bed: AskedBed,
}

#[derive(Debug, Serialize)]
struct Excess {
    axis: &'static str,
    mm: f64,
}

#[derive(Debug, Serialize)]
struct AskedBed {
    size_mm: [f64; 3],
    margin_mm: f64,
    room_mm: [f64; 3],
}

impl Fitted {
    fn new(stock: &stock::Stock, bed: &Bed, search: Search, fit: &Fit) -> Fitted {
        let Outline::Rectangle { x_mm, y_mm } = bed.outline;
        Fitted {
            file: stock.file.display().to_string(),
            unit: stock.unit.name(),
            verdict: fit.verdict.as_str(),
            fits: fit.verdict.fits(),
            sizes_mm: fit.sizes_mm,
            slack_mm: fit.slack_mm,
            excess: fit.excess.as_ref().map(|excess| Excess { axis: excess.axis.as_str(), mm: excess.mm }),
            turn_deg: match fit.reason {
                Reason::Turns { turn_deg } => Some(turn_deg),
                _ => None,
            },
            bed_from_model: fit.pose.as_ref().map(rows),
            reason: fit.reason.to_string(),
            any_pose: search == Search::AnyPose,
            bed: AskedBed { size_mm: [x_mm, y_mm, bed.height_mm], margin_mm: bed.margin_mm, room_mm: bed.room_mm() },
        }
    }
}

/// The four rows of the motion as a matrix.
fn rows(motion: &Motion) -> [[f64; 4]; 4] {
    motion.to_homogeneous().transpose().into()
}

impl Answer for Fitted {
    fn is_yes(&self) -> bool {
        self.fits
    }
}

impl fmt::Display for Fitted {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(f, "{}: {}", self.file, self.reason)?;
        writeln!(f, "  size   {} in the best pose found", words::size(&self.sizes_mm))?;
        let margin = match self.bed.margin_mm {
            0.0 => String::new(),
            mm => format!(", with {mm} mm kept free along every edge"),
        };
        writeln!(f, "  room   {}{margin}", words::size(&self.bed.room_mm))?;
        match &self.excess {
            Some(excess) => writeln!(f, "  over   {:.1} mm in {} at best", excess.mm, excess.axis)?,
            None => writeln!(f, "  spare  {:.1} mm", self.slack_mm)?,
        }
        if !self.fits && !self.any_pose {
            writeln!(f, "  --any-pose tries tilted poses too")?;
        }
        Ok(())
    }
}
