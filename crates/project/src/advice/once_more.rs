//! Cutting once more a piece that no move of a cut helps.

use std::path::Path;

use seamwright_geometry::{LastPiece, Progress, StepOffError, Steps};

use super::about;
use crate::cache::Cache;
use crate::cut_plane::{Axis, CutPlane};
use crate::edit::Edit;
use crate::evaluate::evaluate;
use crate::outcome::{Note, Outcome, Piece};
use crate::placing::{Placing, PlacingError};
use crate::recipe::Scope;

/// Tells the fewest further cuts, square to one axis, with which the piece comes to parts that fit; or that it is not to
/// be done that way.
pub(super) fn advise(
    outcome: &Outcome,
    piece: &Piece,
    project_dir: &Path,
    cache: &Cache,
    progress: &Progress,
) -> Result<Note, PlacingError> {
    let placing = Placing::prepare_part(&outcome.recipe, piece.id.part, project_dir, cache, progress)?;
    let mut stepped: Vec<(Axis, Vec<CutPlane>)> = Vec::new();
    for axis in Axis::ALL {
        let like = CutPlane::square(axis, piece.facts.bounds.centre()[axis.index()]);
        let last = LastPiece { least_mm: 0.0 };
        match placing.step_off(&piece.id, &like, false, Steps::Equal, last, progress) {
            Ok(planes) if !planes.is_empty() => stepped.push((axis, planes)),
            Err(StepOffError::Cancelled) => return Err(PlacingError::Cancelled),
            Ok(_) | Err(_) => {}
        }
    }
    // The fewest; of as many, across the longest side.
    let size = piece.facts.bounds.size();
    stepped.sort_by(|(a, m), (b, n)| m.len().cmp(&n.len()).then(size[b.index()].total_cmp(&size[a.index()])));
    for (axis, planes) in stepped {
        let (count, scope) = (planes.len(), Scope::Pieces([piece.id.clone()].into()));
        let edit = Edit::AddCuts { name: String::new(), part: piece.id.part, planes, scope };
        let Ok(recipe) = edit.apply(&outcome.recipe) else { continue };
        let made = evaluate(&recipe, project_dir, cache, progress).map_err(|_| PlacingError::Cancelled)?;
        let mut parts = made.pieces.iter().filter(|part| part.id == piece.id || part.lineage.contains(&piece.id));
        if made.failure.is_none() && parts.all(|part| part.fit.verdict.fits()) {
            let across = ["its width (X)", "its depth (Y)", "its height (Z)"][axis.index()];
            let text = match count {
                1 => format!("cut it once more across {across}, and both halves fit"),
                _ => format!("cut it {count} times more across {across}, and all {} parts fit", count + 1),
            };
            return Ok(Note { edit: Some(edit), ..about(piece, text, None) });
        }
    }
    let text = "no move of its cuts and no parallel cuts square to an axis make it fit: cut it along two axes, or use \
        a larger bed";
    Ok(about(piece, text.into(), None))
}
