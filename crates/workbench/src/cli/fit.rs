//! `fit`: whether a model, or the pieces of a project, fit a printer's bed.

use std::fmt;

use seamwright_geometry::{
    Axis, Bed, Bounds, Fit, HalfSupport, LastPiece, Mesh, Motion, Outline, Point, Progress, Reason, Search, StepOff,
    StepOffError, Steps, Vector, Verdict, fit, sticks_out_mm,
};
use seamwright_project::{Stands, saved_beds, store};
use serde::Serialize;

use super::args::FitArgs;
use super::beds::AskedBed;
use super::fit_project::{self, FittedProject};
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

/// The answer for one bed.
#[derive(Clone, Debug, Serialize)]
pub struct OnBed {
    verdict: &'static str,
    pub fits: bool,
    sizes_mm: [f64; 3],
    pub as_it_stands: AsItStands,
    slack_mm: f64,
    excess: Option<Excess>,
    turn_deg: Option<f64>,
    bed_from_model: Option<[[f64; 4]; 4]>,
    pub reason: String,
    proof: Proof,
    pub bed: ToldBed,
}

#[derive(Clone, Debug, Serialize)]
struct Excess {
    axis: &'static str,
    mm: f64,
}

/// How it is in the pose that it has in its file.
#[derive(Clone, Debug, Serialize)]
pub struct AsItStands {
    sizes_mm: [f64; 3],
    /// By how much it is too wide, too deep and too tall; 0 where it is not.
    over_mm: [f64; 3],
    #[serde(skip)]
    words: String,
}

impl AsItStands {
    fn new(stands: &Stands) -> AsItStands {
        AsItStands { sizes_mm: stands.sizes_mm, over_mm: stands.over_mm(), words: stands.to_string() }
    }
}

impl fmt::Display for AsItStands {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}, {}", words::size(&self.sizes_mm), self.words)
    }
}

/// What the verdict rests on.
#[derive(Clone, Debug, Serialize)]
#[serde(tag = "by", rename_all = "kebab-case")]
enum Proof {
    /// Every vertex was placed: so far does the farthest stick out (less than rounding, mm).
    Pose { sticks_out_mm: f64 },
    /// A bound excludes every pose that was asked for.
    Bound { bound: &'static str },
    /// There is none: poses with at most so much to spare were not excluded.
    None { at_most_mm: Option<f64> },
}

#[derive(Clone, Debug, Serialize)]
pub struct ToldBed {
    pub name: String,
    size_mm: [f64; 3],
    margin_mm: f64,
    around_mm: f64,
    raft_mm: f64,
    keep_outs: usize,
    room_mm: [f64; 3],
    rectangle: bool,
}

impl OnBed {
    pub fn new(name: &str, bed: &Bed, fit: &Fit, points: &[Point]) -> OnBed {
        let [x_mm, y_mm] = bed.size_mm();
        let nothing = Bounds { min: Point::origin(), max: Point::origin() };
        let stands = Stands::on(bed, &Bounds::of(points.iter().copied()).unwrap_or(nothing));
        OnBed {
            verdict: fit.verdict.as_str(),
            fits: fit.verdict.fits(),
            sizes_mm: fit.sizes_mm,
            as_it_stands: AsItStands::new(&stands),
            slack_mm: fit.slack_mm,
            excess: fit.excess.as_ref().map(|excess| Excess { axis: excess.axis.as_str(), mm: excess.mm }),
            turn_deg: match fit.reason {
                Reason::Turns { turn_deg } => Some(turn_deg),
                _ => None,
            },
            bed_from_model: fit.pose.as_ref().map(rows),
            reason: fit.reason.to_string(),
            proof: proof(fit, points, bed),
            bed: ToldBed {
                name: name.to_owned(),
                size_mm: [x_mm, y_mm, bed.height_mm],
                margin_mm: bed.margin_mm,
                around_mm: bed.around_mm,
                raft_mm: bed.raft_mm,
                keep_outs: bed.keep_outs.len(),
                room_mm: bed.room_mm(),
                rectangle: matches!(bed.outline, Outline::Rectangle { .. }),
            },
        }
    }
}

fn proof(fit: &Fit, points: &[Point], bed: &Bed) -> Proof {
    if let Some(pose) = &fit.pose {
        return Proof::Pose { sticks_out_mm: sticks_out_mm(points, pose, bed) };
    }
    let bound = |bound| Proof::Bound { bound };
    match &fit.reason {
        Reason::NotAsItStands => bound("as it stands"),
        Reason::NoTurn => bound("every turn"),
        Reason::TooLong { .. } => bound("longest section"),
        Reason::TooThick { .. } => bound("least width"),
        Reason::TooMuch { measure, .. } => bound(measure),
        Reason::NoRotation { .. } => bound("every rotation"),
        Reason::OutOfPatience { at_most_mm, .. } => Proof::None { at_most_mm: Some(*at_most_mm) },
        _ => Proof::None { at_most_mm: None },
    }
}

/// The four rows of the motion as a matrix.
fn rows(motion: &Motion) -> [[f64; 4]; 4] {
    motion.to_homogeneous().transpose().into()
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

impl OnBed {
    fn write(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.verdict != Verdict::AsItStands.as_str() {
            writeln!(f, "  stands {}", self.as_it_stands)?;
        }
        writeln!(f, "  size   {} in the best pose found", words::size(&self.sizes_mm))?;
        let mut kept = match self.bed.margin_mm + self.bed.around_mm {
            0.0 => String::new(),
            mm => format!(", with {mm} mm kept free along every edge"),
        };
        if !self.bed.rectangle {
            kept.push_str(", around its outline");
        }
        if self.bed.keep_outs > 0 {
            let zones = words::count(self.bed.keep_outs, "keep-out zone", "keep-out zones");
            kept.push_str(&format!(", less {zones}"));
        }
        writeln!(f, "  room   {}{kept}", words::size(&self.bed.room_mm))?;
        match self.over_words() {
            Some(over) => writeln!(f, "  over   {over} at best"),
            None => writeln!(f, "  spare  {:.1} mm", self.slack_mm),
        }
    }

    fn over_words(&self) -> Option<String> {
        let Excess { axis, mm } = self.excess.as_ref()?;
        let way = if *axis == Axis::Across.as_str() { (*axis).to_owned() } else { format!("in {axis}") };
        Some(format!("{mm:.1} mm {way}"))
    }

    /// What is to spare, or over and which way, in a few words.
    pub fn room_words(&self) -> String {
        match self.over_words() {
            Some(over) => format!("over by {over} at best"),
            None => format!("{:.1} mm to spare", self.slack_mm),
        }
    }
}
