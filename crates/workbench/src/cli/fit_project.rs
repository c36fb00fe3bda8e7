//! `fit` of a project: every piece on every bed, and what to do about those that do not fit.

use std::fmt;

use seamwright_project::{Cache, Document, Edit, NamedBed, Note, Outcome, Piece, PieceId, advise};
use serde::Serialize;

use super::args::{FitArgs, ProjectArgs};
use super::on_bed::OnBed;
use super::project;
use super::trouble::Trouble;
use super::waiting::Waiting;

/// Makes the pieces and tells how each fits: the project's beds, or those that were asked for.
pub fn run(args: &FitArgs) -> Result<FittedProject, Trouble> {
    let option = |option, problem: &str| Err(Trouble::Option { option, problem: problem.to_owned() });
    if args.stock.unit.is_some() {
        return option("--unit", "a project knows the unit of its model");
    }
    if args.margin.is_some() && args.beds.is_empty() {
        return option("--margin", "the beds of a project have margins of their own: give a --bed with it");
    }
    let asked = args.beds_asked()?;
    let waiting = Waiting::new();
    let file = ProjectArgs { file: args.stock.file.clone() };
    let document = Document::open(&file.file).map_err(Trouble::said)?;
    let mut recipe = document.recipe().clone();
    if !asked.is_empty() {
        let beds = asked.into_iter().map(|(name, bed)| NamedBed { name, bed }).collect();
        recipe = Edit::SetBeds(beds).apply(&recipe).map_err(Trouble::said)?;
    }
    let (folder, cache) = (document.folder(), Cache::default());
    let outcome = project::make_recipe(&file, &recipe, &folder, &cache, waiting.progress())?;
    let advice = advise(&outcome, &folder, &cache, waiting.progress()).map_err(Trouble::said)?;
    let piece = |piece: &Piece| FittedPiece::new(&outcome, piece);
    Ok(FittedProject {
        project: file.file.display().to_string(),
        fits: outcome.pieces.iter().all(|piece| piece.fit.verdict.fits()),
        pieces: outcome.pieces.iter().map(piece).collect(),
        what_to_do: advice.iter().map(|note| Advice::new(&outcome, note)).collect(),
    })
}

/// The answer.
#[derive(Debug, Serialize)]
pub struct FittedProject {
    project: String,
    pub fits: bool,
    pieces: Vec<FittedPiece>,
    what_to_do: Vec<Advice>,
}

#[derive(Debug, Serialize)]
struct FittedPiece {
    mark: String,
    /// On the first bed that it fits, else on that on which it sticks out least.
    #[serde(flatten)]
    best: OnBed,
    beds: Vec<OnBed>,
}

#[derive(Debug, Serialize)]
struct Advice {
    text: String,
    piece: Option<String>,
    cut: Option<String>,
    /// The change in few words; none where only words can be given.
    edit: Option<String>,
}

impl FittedPiece {
    fn new(outcome: &Outcome, piece: &Piece) -> FittedPiece {
        let recipe = &outcome.recipe;
        let on_bed = |(at, (bed, fit))| OnBed::new(&recipe.bed_name(at), bed, fit, &piece.solid.mesh.vertices);
        let beds: Vec<OnBed> =
            recipe.beds().zip(piece.fits.iter().map(AsRef::as_ref)).enumerate().map(on_bed).collect();
        FittedPiece { mark: piece.mark.clone(), best: beds[piece.bed].clone(), beds }
    }
}

impl Advice {
    fn new(outcome: &Outcome, note: &Note) -> Advice {
        let mark = |id: &PieceId| outcome.pieces.iter().find(|piece| piece.id == *id).map(|piece| piece.mark.clone());
        Advice {
            text: note.text.clone(),
            piece: note.piece.as_ref().and_then(mark),
            cut: note.cut.and_then(|id| outcome.recipe.cut(id)).map(|cut| cut.name.clone()),
            edit: note.edit.as_ref().map(|edit| edit.title(&outcome.recipe)),
        }
    }
}

impl fmt::Display for FittedProject {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let fitting = self.pieces.iter().filter(|piece| piece.best.fits).count();
        writeln!(f, "{}: {fitting} of {} pieces fit", self.project, self.pieces.len())?;
        for piece in &self.pieces {
            let on = if piece.beds.len() > 1 { format!(" on {}", piece.best.bed.name) } else { String::new() };
            let (reason, room) = (&piece.best.reason, piece.best.room_words());
            writeln!(f, "  {:<6} {reason}{on}, {room}", piece.mark)?;
            if !piece.best.fits {
                writeln!(f, "  {:<6} as it stands {}", "", piece.best.as_it_stands)?;
            }
        }
        for advice in &self.what_to_do {
            writeln!(f, "  do     {}", advice.text)?;
        }
        Ok(())
    }
}
