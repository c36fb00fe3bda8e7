//! What a project's evaluation noticed, as it is told on the command line.

use std::fmt;

use seamwright_project::{Note, Outcome, PieceId, Weight};
use serde::Serialize;

use super::measures::place;
use super::words;

/// Something that will not come out as wished, or is good to know.
#[derive(Debug, Serialize)]
pub struct Problem {
    /// In the maker's words.
    pub text: String,
    /// Mark of the piece that it is about.
    pub piece: Option<String>,
    /// Name of the cut that it is about.
    pub cut: Option<String>,
    /// Name of the bore that it is about.
    pub bore: Option<String>,
    /// Where to look, in the frame of the assembled whole, mm.
    pub place_mm: Option<[f64; 3]>,
}

/// What will not come out as wished.
pub fn of(outcome: &Outcome) -> Vec<Problem> {
    of_weight(outcome, Weight::Warning)
}

/// What is only good to know.
pub fn remarks(outcome: &Outcome) -> Vec<Problem> {
    of_weight(outcome, Weight::Remark)
}

/// One line each.
pub fn write(f: &mut fmt::Formatter<'_>, problems: &[Problem]) -> fmt::Result {
    for problem in problems {
        let place = problem.place_mm.map_or(String::new(), |p| format!(", see {}", words::place(&p)));
        writeln!(f, "  noticed  {}{place}", problem.text)?;
    }
    Ok(())
}

fn of_weight(outcome: &Outcome, weight: Weight) -> Vec<Problem> {
    outcome.notes.iter().filter(|note| note.weight == weight).map(|note| problem(outcome, note)).collect()
}

fn problem(outcome: &Outcome, note: &Note) -> Problem {
    let mark = |id: &PieceId| outcome.pieces.iter().find(|piece| piece.id == *id).map(|piece| piece.mark.clone());
    Problem {
        text: note.text.clone(),
        piece: note.piece.as_ref().and_then(mark),
        cut: note.cut.and_then(|id| outcome.recipe.cut(id)).map(|cut| cut.name.clone()),
        bore: note.bore.and_then(|id| outcome.recipe.bore(id)).map(|bore| bore.name.clone()),
        place_mm: note.place.as_ref().map(place),
    }
}
