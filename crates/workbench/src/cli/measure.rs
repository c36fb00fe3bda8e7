//! `measure`: lengths and angles taken on a project's model, and noted in it.

use std::fmt;

use seamwright_geometry::{Point, Vector};
use seamwright_project::{Document, Edit, Measured, PartId};
use serde::Serialize;

use super::args::MeasureArgs;
use super::measures::ToldMeasure;
use super::output::Answer;
use super::trouble::Trouble;
use super::waiting::Waiting;
use super::{project, words};

/// Measures on the whole part, before it is cut, and writes the project with what was found.
pub fn run(args: &MeasureArgs) -> Result<Measures, Trouble> {
    args.write.check_free()?;
    let waiting = Waiting::new();
    let progress = waiting.progress();
    let outcome = project::make(&args.project, progress)?;
    let solid = outcome.whole().ok_or_else(|| Trouble::said("the model has no faces"))?;
    let part = outcome.parts.first().map_or(PartId::MAIN, |part| part.id);
    progress.stage("measuring");
    let distances =
        args.distance.iter().map(|[from_mm, to_mm]| Ok(Measured::Distance { from_mm: *from_mm, to_mm: *to_mm }));
    let angles = args.angle.iter().map(|at| Measured::angle(solid, &at.map(Point::from), progress));
    let thicknesses = args
        .thickness
        .iter()
        .map(|[at, outward]| Measured::thickness(solid, &Point::from(*at), &Vector::from(*outward), progress));
    let girths = args.girth.iter().map(|(at, axis)| Measured::girth(solid, &Point::from(*at), *axis, progress));
    let taken: Vec<Measured> =
        distances.chain(angles).chain(thicknesses).chain(girths).collect::<Result<_, _>>().map_err(Trouble::said)?;
    let mut document = Document::open(&args.project.file).map_err(Trouble::said)?;
    let first = document.recipe().measures.len();
    for what in taken {
        document.apply(&Edit::AddMeasure { part, what }).map_err(Trouble::said)?;
    }
    let measures = document.recipe().measures[first..].iter().map(ToldMeasure::new).collect();
    if let Some(out) = &args.write.out {
        document.save(Some(out)).map_err(Trouble::said)?;
    }
    Ok(Measures { project: args.project.file.display().to_string(), out: args.write.told(), measures })
}

/// The answer.
#[derive(Debug, Serialize)]
pub struct Measures {
    project: String,
    out: Option<String>,
    measures: Vec<ToldMeasure>,
}

impl Answer for Measures {
    /// The question is how much, not whether.
    fn is_yes(&self) -> bool {
        true
    }
}

impl fmt::Display for Measures {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(f, "{}: {}", self.project, words::count(self.measures.len(), "measure", "measures"))?;
        for measure in &self.measures {
            writeln!(f, "  {measure}")?;
        }
        match &self.out {
            Some(out) => writeln!(f, "  written to {out}"),
            None => Ok(()),
        }
    }
}
