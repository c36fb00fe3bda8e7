//! `inspect` of a project: its pieces, which bores go through each of them and where, and what was measured.

use std::fmt;
use std::path::Path;

use seamwright_project::kit::{self, KitBore, KitBoreInPiece};
use seamwright_project::{Outcome, Piece};
use serde::Serialize;

use super::args::{InspectArgs, ProjectArgs};
use super::measures::{Box3, ToldMeasure};
use super::output::Answer;
use super::trouble::Trouble;
use super::waiting::Waiting;
use super::{project, words};

/// Whether a file is a project by its name.
pub fn is_project(file: &Path) -> bool {
    file.file_name().is_some_and(|name| name.to_string_lossy().to_lowercase().ends_with(".seamwright.json"))
}

/// Makes the pieces and tells of them.
pub fn run(args: &InspectArgs) -> Result<InspectedProject, Trouble> {
    if args.closely || args.stock.unit.is_some() {
        return Err(Trouble::said("--closely and --unit are about a model: inspect the model of this project instead"));
    }
    let waiting = Waiting::new();
    let outcome = project::make(&ProjectArgs { file: args.stock.file.clone() }, waiting.progress())?;
    Ok(InspectedProject::new(args, &outcome))
}

/// The answer.
#[derive(Debug, Serialize)]
pub struct InspectedProject {
    project: String,
    name: String,
    pieces: Vec<InspectedPiece>,
    bores: Vec<KitBore>,
    measures: Vec<ToldMeasure>,
}

#[derive(Debug, Serialize)]
struct InspectedPiece {
    mark: String,
    id: String,
    closed: bool,
    triangles: usize,
    volume_mm3: f64,
    bounds_mm: Box3,
    lay: String,
    bores: Vec<KitBoreInPiece>,
}

impl InspectedPiece {
    fn new(outcome: &Outcome, piece: &Piece) -> InspectedPiece {
        InspectedPiece {
            mark: piece.mark.clone(),
            id: piece.id.to_string(),
            closed: piece.facts.closed,
            triangles: piece.solid.mesh.triangles.len(),
            volume_mm3: piece.facts.volume_mm3,
            bounds_mm: piece.facts.bounds.into(),
            lay: kit::lay(outcome, piece).by.to_string(),
            bores: kit::bores_in_piece(outcome, piece),
        }
    }
}

impl InspectedProject {
    fn new(args: &InspectArgs, outcome: &Outcome) -> InspectedProject {
        InspectedProject {
            project: args.stock.file.display().to_string(),
            name: outcome.recipe.name.clone(),
            pieces: outcome.pieces.iter().map(|piece| InspectedPiece::new(outcome, piece)).collect(),
            bores: kit::all_bores(outcome),
            measures: outcome.recipe.measures.iter().map(ToldMeasure::new).collect(),
        }
    }
}

impl Answer for InspectedProject {
    /// The question is what it is like, not whether that is good.
    fn is_yes(&self) -> bool {
        true
    }
}

impl fmt::Display for InspectedProject {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let pieces = words::count(self.pieces.len(), "piece", "pieces");
        writeln!(f, "{}: {pieces}, {}", self.name, words::count(self.bores.len(), "bore", "bores"))?;
        for piece in &self.pieces {
            let state = if piece.closed { "closed" } else { "open" };
            let (size, volume) = (words::size(&piece.bounds_mm.size()), words::volume(piece.volume_mm3));
            writeln!(f, "  {:<8} {size}, {volume}, {state}", piece.mark)?;
            for bore in &piece.bores {
                let [from, to] = bore.ends_mm.map(|at| words::place(&at));
                writeln!(
                    f,
                    "  {:<8} {} from {:.1} to {:.1} mm along it, {from} to {to}",
                    "", bore.bore, bore.from_mm, bore.to_mm
                )?;
            }
        }
        for bore in &self.bores {
            match &bore.problem {
                Some(why) => writeln!(f, "  {:<8} not bored: {why}", bore.bore)?,
                None => {
                    let wall = bore.least_wall_mm.map_or("no wall".to_owned(), |mm| format!("least wall {mm:.2} mm"));
                    let through = bore.pieces.join(", ");
                    writeln!(
                        f,
                        "  {:<8} {}, {:.2} mm wide, through {through}, {wall}",
                        bore.bore, bore.rod, bore.diameter_mm
                    )?;
                }
            }
        }
        self.measures.iter().try_for_each(|measure| writeln!(f, "  measured {measure}"))
    }
}
