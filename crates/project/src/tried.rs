//! Cutting a piece to see whether its parts fit: what is promised of cuts that are not made yet is what they make.

use std::path::Path;

use seamwright_geometry::{Cancelled, Progress, Reason};

use crate::cache::Cache;
use crate::cut_plane::CutPlane;
use crate::edit::Edit;
use crate::evaluate::evaluate;
use crate::recipe::{PieceId, Recipe, Scope};

/// Cuts that were tried on a piece.
#[derive(Clone, Debug)]
pub(crate) struct Tried {
    /// The change that makes them.
    pub edit: Edit,
    /// How many parts they leave.
    pub parts: usize,
    /// By how much the worst of them sticks out of its bed, mm; `None` where all fit.
    pub excess_mm: Option<f64>,
    /// Whether one of them fits with no flat on the bed only.
    pub tilts_freely: bool,
}

/// Parts that lie on a flat are worth having up to so many times as many of them as of parts that only fit tilted freely:
/// those take much more support, and stand badly. Our own choice, no source.
pub(crate) const WORTH_A_FLAT: usize = 2;

/// Cuts `piece` by `planes`, and asks all its parts. `None` where that cannot be cut.
pub(crate) fn try_cuts(
    recipe: &Recipe,
    piece: &PieceId,
    planes: &[CutPlane],
    project_dir: &Path,
    cache: &Cache,
    progress: &Progress,
) -> Result<Option<Tried>, Cancelled> {
    progress.check()?;
    let scope = Scope::Pieces([piece.clone()].into());
    let edit = Edit::AddCuts { name: String::new(), part: piece.part, planes: planes.to_vec(), scope };
    let Ok(cut) = edit.apply(recipe) else { return Ok(None) };
    let made = evaluate(&cut, project_dir, cache, progress)?;
    if made.failure.is_some() {
        return Ok(None);
    }
    let is_part = |id: &PieceId, lineage: &[PieceId]| id == piece || lineage.contains(piece);
    let parts = || made.pieces.iter().filter(|part| is_part(&part.id, &part.lineage));
    let unfit = parts().filter(|part| !part.fit.verdict.fits());
    let excess_mm = unfit.map(|part| (-part.fit.slack_mm).max(0.0)).reduce(f64::max);
    let tilts_freely = parts().any(|part| matches!(part.fit.reason, Reason::TiltsFreely));
    Ok(Some(Tried { edit, parts: parts().count(), excess_mm, tilts_freely }))
}
