//! `check`: what is wrong with a project.

use std::fmt;

use seamwright_project::{Outcome, reason_words};
use serde::Serialize;

use super::args::CheckArgs;
use super::measures::Box3;
use super::output::Answer;
use super::problems::{self, Problem};
use super::trouble::Trouble;
use super::waiting::Waiting;
use super::{project, words};

/// Makes all pieces and looks at them; writes nothing.
pub fn run(args: &CheckArgs) -> Result<Checked, Trouble> {
    let waiting = Waiting::new();
    let outcome = project::make_advised(&args.project, waiting.progress())?;
    Ok(Checked::new(args, &outcome))
}

/// The answer.
#[derive(Debug, Serialize)]
pub struct Checked {
    project: String,
    name: String,
    ok: bool,
    pieces: Vec<Piece>,
    problems: Vec<Problem>,
    remarks: Vec<Problem>,
    timings_s: Timings,
}

#[derive(Debug, Serialize)]
struct Piece {
    mark: String,
    closed: bool,
    volume_mm3: f64,
    area_mm2: f64,
    bounds_mm: Box3,
    fit: &'static str,
    slack_mm: f64,
    reason: String,
}

#[derive(Debug, Serialize)]
struct Timings {
    stock: f64,
    part: f64,
    bores: f64,
    cuts: f64,
    fit: f64,
}

impl Checked {
    fn new(args: &CheckArgs, outcome: &Outcome) -> Checked {
        let pieces = outcome.pieces.iter().map(|piece| Piece {
            mark: piece.mark.clone(),
            closed: piece.facts.closed,
            volume_mm3: piece.facts.volume_mm3,
            area_mm2: piece.facts.area_mm2,
            bounds_mm: piece.facts.bounds.into(),
            fit: piece.fit.verdict.as_str(),
            slack_mm: piece.fit.slack_mm,
            reason: reason_words(&piece.fit.reason),
        });
        let problems = problems::of(outcome);
        let sound = outcome.pieces.iter().all(|piece| piece.facts.closed && piece.fit.verdict.fits());
        let timings = &outcome.timings;
        Checked {
            project: args.project.file.display().to_string(),
            name: outcome.recipe.name.clone(),
            ok: sound && problems.is_empty(),
            pieces: pieces.collect(),
            problems,
            remarks: problems::remarks(outcome),
            timings_s: Timings {
                stock: timings.stock_s,
                part: timings.part_s,
                bores: timings.bores_s,
                cuts: timings.cuts_s,
                fit: timings.fit_s,
            },
        }
    }
}

impl Answer for Checked {
    fn is_yes(&self) -> bool {
        self.ok
    }
}

impl fmt::Display for Checked {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let pieces = words::count(self.pieces.len(), "piece", "pieces");
        let found = match self.problems.len() {
            0 => "no problems".to_owned(),
            n => words::count(n, "problem", "problems"),
        };
        writeln!(f, "{}: {pieces}, {found}", self.name)?;
        for piece in &self.pieces {
            let (size, volume) = (words::size(&piece.bounds_mm.size()), words::volume(piece.volume_mm3));
            writeln!(f, "  {:<8} {size}, {volume}, {}", piece.mark, words::fit(piece.fit))?;
        }
        problems::write(f, &self.problems)?;
        problems::write(f, &self.remarks)
    }
}
