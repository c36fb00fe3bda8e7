//! `magnets`: pockets for round magnets on both sides of a cut, added to a project.

use std::fmt;

use seamwright_project::{
    BoreDone, BoreId, Cache, Cut, Document, Edit, NewMagnets, Outcome, Piece, evaluate, spaced_places,
};
use serde::Serialize;

use super::args::MagnetsArgs;
use super::measures::place;
use super::output::Answer;
use super::problems::{self, Problem};
use super::trouble::Trouble;
use super::waiting::Waiting;
use super::{project, words};

/// Makes the project's pieces, finds the places, makes the pockets, and writes the project.
pub fn run(args: &MagnetsArgs) -> Result<Magnets, Trouble> {
    args.write.check_free()?;
    let waiting = Waiting::new();
    let progress = waiting.progress();
    let before = project::make(&args.project, progress)?;
    let cut = before.recipe.cuts.iter().find(|cut| cut.name.eq_ignore_ascii_case(args.cut.trim()));
    let cut = cut.cloned().ok_or_else(|| no_such_cut(&before, args))?;
    let mut new = NewMagnets {
        cut: cut.id,
        diameter_mm: args.diameter,
        thickness_mm: args.thickness,
        clearance: args.clearance,
        places_mm: args.at.clone(),
    };
    if let Some(count) = args.count {
        new.places_mm = spaced_places(&before, cut.id, count, new.keep_mm()).map_err(Trouble::said)?;
    }
    let mut document = Document::open(&args.project.file).map_err(Trouble::said)?;
    let first = document.recipe().next_bore;
    document.apply(&Edit::AddMagnets(Box::new(new))).map_err(Trouble::said)?;
    let outcome =
        evaluate(document.recipe(), &document.folder(), &Cache::default(), progress).map_err(Trouble::said)?;
    if let Some(out) = &args.write.out {
        document.save(Some(out)).map_err(Trouble::said)?;
    }
    Ok(Magnets::new(args, &cut, &outcome, first))
}

fn no_such_cut(outcome: &Outcome, args: &MagnetsArgs) -> Trouble {
    let names: Vec<&str> = outcome.recipe.cuts.iter().map(|cut| cut.name.as_str()).collect();
    let there = if names.is_empty() { "it has none".to_owned() } else { format!("there are {}", names.join(", ")) };
    let problem = format!("there is no cut called \"{}\"; {there}", args.cut);
    Trouble::Project { path: args.project.file.clone(), problem }
}

/// The answer.
#[derive(Debug, Serialize)]
pub struct Magnets {
    project: String,
    out: Option<String>,
    cut: String,
    pockets: Vec<Pocket>,
    closed: bool,
    problems: Vec<Problem>,
}

#[derive(Debug, Serialize)]
struct Pocket {
    name: String,
    magnets: String,
    diameter_mm: f64,
    depth_mm: f64,
    at_mm: Option<[f64; 3]>,
    pieces: Vec<String>,
    least_wall_mm: Option<f64>,
    problem: Option<String>,
}

impl Pocket {
    fn new(outcome: &Outcome, done: &BoreDone) -> Option<Pocket> {
        let bore = outcome.recipe.bore(done.bore)?;
        let facts = done.result.as_ref().ok();
        let holds = |piece: &&Piece| piece.facts.bores.iter().any(|in_it| in_it.bore == bore.id);
        Some(Pocket {
            name: bore.name.clone(),
            magnets: bore.contents(),
            diameter_mm: bore.diameter_mm(),
            depth_mm: bore.seam?.depth_mm(),
            at_mm: bore.placed_in(&outcome.recipe).ok().map(|bore| place(&bore.middle())),
            pieces: outcome.pieces.iter().filter(holds).map(|piece| piece.mark.clone()).collect(),
            least_wall_mm: facts.and_then(|facts| facts.least_wall_mm()),
            problem: done.result.as_ref().err().map(|failed| failed.why.clone()),
        })
    }

    fn is_sound(&self) -> bool {
        self.problem.is_none() && self.pieces.len() == 2 && self.least_wall_mm.is_some_and(|mm| mm > 0.0)
    }
}

impl Magnets {
    fn new(args: &MagnetsArgs, cut: &Cut, outcome: &Outcome, first: BoreId) -> Magnets {
        let new = outcome.bores.iter().filter(|done| done.bore >= first);
        Magnets {
            project: args.project.file.display().to_string(),
            out: args.write.told(),
            cut: cut.name.clone(),
            pockets: new.filter_map(|done| Pocket::new(outcome, done)).collect(),
            closed: outcome.pieces.iter().all(|piece| piece.facts.closed),
            problems: problems::of(outcome),
        }
    }
}

impl Answer for Magnets {
    fn is_yes(&self) -> bool {
        self.closed && self.pockets.iter().all(Pocket::is_sound)
    }
}

impl fmt::Display for Magnets {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let pockets = words::count(self.pockets.len(), "place", "places");
        writeln!(f, "{}: {pockets} for magnets at {}", self.project, self.cut)?;
        for pocket in &self.pockets {
            let at = pocket.at_mm.map_or(String::new(), |at| format!(" at {}", words::place(&at)));
            writeln!(f, "  {:<12} {}{at}", pocket.name, pocket.magnets)?;
            match &pocket.problem {
                Some(why) => writeln!(f, "  {:<12} not made: {why}", "")?,
                None => {
                    let (pieces, wall) = (pocket.pieces.join(" and "), pocket.least_wall_mm.unwrap_or(0.0));
                    let (diameter, depth) = (pocket.diameter_mm, pocket.depth_mm);
                    writeln!(
                        f,
                        "  {:<12} {diameter:.2} mm wide, {depth:.2} mm deep in {pieces}, least wall {wall:.2} mm",
                        ""
                    )?;
                }
            }
        }
        problems::write(f, &self.problems)?;
        if let Some(out) = &self.out {
            writeln!(f, "  written to {out}")?;
        }
        Ok(())
    }
}
