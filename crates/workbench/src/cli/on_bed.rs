//! What `fit` answers about one bed.

use std::fmt;

use seamwright_geometry::{Axis, Bed, Bounds, Fit, Motion, Outline, Point, Reason, Verdict, sticks_out_mm};
use seamwright_project::Stands;
use serde::Serialize;

use super::words;

/// The answer for one bed.
#[derive(Clone, Debug, Serialize)]
pub struct OnBed {
    verdict: &'static str,
    pub fits: bool,
    sizes_mm: [f64; 3],
    pub as_it_stands: AsItStands,
    pub slack_mm: f64,
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

impl OnBed {
    pub fn write(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
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
