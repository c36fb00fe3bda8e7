//! `fit`: whether a model, or the pieces of a project, fit a printer's bed.

use std::fmt;

use seamwright_geometry::{
    Bed, HalfSupport, LastPiece, Mesh, Progress, Search, StepOff, StepOffError, Steps, Vector, fit,
};
use seamwright_project::{saved_beds, store};
use serde::Serialize;

use super::args::FitArgs;
use super::beds::AskedBed;
use super::fit_project::{self, FittedProject};
use super::on_bed::OnBed;
use super::output::Answer;
use super::trouble::Trouble;
use super::waiting::Waiting;
use super::{stock, words};

/// Reads the model and looks for a pose on every bed that was asked for.
pub fn run(args: &FitArgs) -> Result<Answered, Trouble> {
    if args.stock.file.to_string_lossy().ends_with(store::EXTENSION) {
        return fit_project::run(args).map(Answered::Project);
    }
    let beds = args.beds_asked()?;
    if beds.is_empty() {
        let problem = "a model needs a bed to be held against, such as 220x220x250; a project has its own".to_owned();
        return Err(Trouble::Option { option: "--bed", problem });
    }
    let search = if args.any_pose { Search::AnyPose } else { Search::Turned };
    let waiting = Waiting::new();
    let stock = stock::read(&args.stock, waiting.progress())?;
    waiting.progress().stage("looking for a pose");
    let points = &stock.mesh.vertices;
    let on_bed = |(name, bed): &(String, Bed)| OnBed::new(name, bed, &fit(points, bed, search), points);
    let on_beds: Vec<OnBed> = beds.iter().map(on_bed).collect();
    let least = |best: usize, k: usize| if on_beds[k].slack_mm > on_beds[best].slack_mm { k } else { best };
    let fitting = on_beds.iter().position(|on_bed| on_bed.fits);
    let best = fitting.unwrap_or_else(|| (1..on_beds.len()).fold(0, least));
    let what_to_do = if on_beds[best].fits { None } else { cut_up(&stock.mesh, &beds[best], waiting.progress())? };
    Ok(Answered::Model(Box::new(Fitted {
        file: stock.file.display().to_string(),
        unit: stock.unit.name(),
        any_pose: args.any_pose,
        best: on_beds[best].clone(),
        what_to_do,
        beds: on_beds,
    })))
}

impl FitArgs {
    /// The beds that were asked for, with their names as they were typed.
    pub fn beds_asked(&self) -> Result<Vec<(String, Bed)>, Trouble> {
        let kept_in = saved_beds::default_path();
        let bed = |asked: &AskedBed| -> Result<(String, Bed), Trouble> {
            let mut bed = asked.bed(kept_in.as_deref())?;
            if let Some(margin_mm) = self.margin {
                bed.margin_mm = margin_mm;
                bed.check().map_err(|error| Trouble::Option { option: "--margin", problem: error.to_string() })?;
            }
            Ok((asked.text.clone(), bed))
        };
        self.beds.iter().map(bed).collect()
    }
}

/// The fewest parallel cuts square to an axis whose pieces fit; `None` where there are none.
fn cut_up(mesh: &Mesh, (name, bed): &(String, Bed), progress: &Progress) -> Result<Option<WhatToDo>, Trouble> {
    let support = HalfSupport::build(mesh, progress).map_err(Trouble::said)?;
    let mut best: Option<WhatToDo> = None;
    let axes = [(Vector::x(), "x", "width"), (Vector::y(), "y", "depth"), (Vector::z(), "z", "height")];
    for (axis, letter, across) in axes {
        let how = StepOff { axis, steps: Steps::Equal, last: LastPiece { least_mm: 0.0 }, search: Search::AnyPose };
        match support.step_off(&how, bed, progress) {
            Ok(cuts) if !cuts.is_empty() && best.as_ref().is_none_or(|best| cuts.len() < best.cuts) => {
                let pieces = words::count(cuts.len() + 1, "piece", "pieces");
                let text =
                    format!("cut it across its {across}: {pieces} fit (cut --step-off {letter} --bed \"{name}\")");
                best = Some(WhatToDo { text, axis: letter, cuts: cuts.len() });
            }
            Err(StepOffError::Cancelled) => return Err(Trouble::said(StepOffError::Cancelled)),
            Ok(_) | Err(_) => {}
        }
    }
    Ok(best)
}

/// What `fit` answers: about a model, or about the pieces of a project.
#[derive(Debug, Serialize)]
#[serde(untagged)]
pub enum Answered {
    Model(Box<Fitted>),
    Project(FittedProject),
}

impl Answer for Answered {
    fn is_yes(&self) -> bool {
        match self {
            Answered::Model(fitted) => fitted.best.fits,
            Answered::Project(fitted) => fitted.fits,
        }
    }
}

impl fmt::Display for Answered {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Answered::Model(fitted) => fmt::Display::fmt(&**fitted, f),
            Answered::Project(fitted) => fmt::Display::fmt(fitted, f),
        }
    }
}

/// Cuts that leave pieces that fit.
#[derive(Debug, Serialize)]
struct WhatToDo {
    text: String,
    /// The axis that they are square to.
    axis: &'static str,
    /// How many.
    cuts: usize,
}

/// The answer.
#[derive(Debug, Serialize)]
pub struct Fitted {
    file: String,
    unit: &'static str,
    any_pose: bool,
    /// On the first bed that it fits, else on that on which it sticks out least.
    #[serde(flatten)]
    best: OnBed,
    what_to_do: Option<WhatToDo>,
    beds: Vec<OnBed>,
}

impl fmt::Display for Fitted {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let [only] = &self.beds[..] {
            writeln!(f, "{}: {}", self.file, only.reason)?;
            only.write(f)?;
        } else {
            let fitting = self.beds.iter().filter(|on_bed| on_bed.fits).count();
            writeln!(f, "{}: fits {fitting} of {} beds", self.file, self.beds.len())?;
            for on_bed in &self.beds {
                writeln!(f, "{}: {}", on_bed.bed.name, on_bed.reason)?;
                on_bed.write(f)?;
            }
        }
        if !self.best.fits && !self.any_pose {
            writeln!(f, "  --any-pose tries tilted poses too")?;
        }
        if let Some(what) = &self.what_to_do {
            writeln!(f, "  do     {}", what.text)?;
        }
        Ok(())
    }
}
