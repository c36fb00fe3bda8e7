//! What to do about a piece that does not fit: which cut to move, and how far; where to cut once more.

mod nearest;
mod once_more;
mod trials;
mod words;

use std::collections::BTreeMap;
use std::path::Path;

use seamwright_geometry::Progress;

pub use nearest::{Nearest, NearestPlace, nearest_place};

use crate::cache::Cache;
use crate::outcome::{Note, Outcome, Piece, Weight};
use crate::placing::PlacingError;
use crate::recipe::CutId;

/// What to do about every piece of `outcome` that does not fit, each with the edit that does it where there is one.
///
/// Of the cuts that bound a piece the one is told that has least to move. Where moving none of them helps, further cuts
/// are. What is told is verified: the pieces were made, and they fit. It is made on a worker: every place that is tried
/// is cut for it, and what was tried before is in the cache.
pub fn advise(
    outcome: &Outcome,
    project_dir: &Path,
    cache: &Cache,
    progress: &Progress,
) -> Result<Vec<Note>, PlacingError> {
    let mut known: BTreeMap<CutId, Nearest> = BTreeMap::new();
    let mut notes: Vec<Note> = Vec::new();
    for piece in outcome.pieces.iter().filter(|piece| !piece.fit.verdict.fits()) {
        let mut best: Option<NearestPlace> = None;
        for (cut, _) in &piece.id.path {
            let nearest = match known.get(cut) {
                Some(nearest) => nearest.clone(),
                None => nearest_place(&outcome.recipe, *cut, project_dir, cache, progress)?,
            };
            known.insert(*cut, nearest.clone());
            if let Nearest::Place(place) = nearest
                && best.as_ref().is_none_or(|best| place.effort() < best.effort())
            {
                best = Some(place);
            }
        }
        let note = match best {
            Some(place) => about(piece, place.text.clone(), Some(&place)),
            None => once_more::advise(outcome, piece, project_dir, cache, progress)?,
        };
        // Both sides of a cut may be served by the same move.
        if !notes.iter().any(|known| known.edit.is_some() && known.edit == note.edit) {
            notes.push(note);
        }
    }
    Ok(notes)
}

fn about(piece: &Piece, text: String, place: Option<&NearestPlace>) -> Note {
    Note {
        weight: Weight::Remark,
        text: format!("{}: {text}", piece.mark),
        place: Some(piece.facts.bounds.centre()),
        cut: place.map(|place| place.cut),
        bore: None,
        piece: Some(piece.id.clone()),
        edit: place.map(NearestPlace::edit),
    }
}
