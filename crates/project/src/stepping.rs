//! Stepping a piece off: the fewest parallel cuts with which all its parts fit a bed, as one change.

use std::path::Path;

use seamwright_geometry::{LastPiece, Progress, SectionLoop, StepOffError, Steps, section};

use crate::cache::Cache;
use crate::cut_plane::{Axis, CutPlane};
use crate::edit::Edit;
use crate::placing::{Placing, PlacingError};
use crate::recipe::{PieceId, Recipe, Scope};

/// What to step off, and how.
#[derive(Clone, Debug, PartialEq)]
pub struct StepAsked {
    /// Which piece.
    pub piece: PieceId,
    /// The bed that its parts are to fit, by its place among [`Recipe::beds`].
    pub bed: usize,
    /// Cuts are square to this axis.
    pub axis: Axis,
    /// Whether it begins at the upper end of the axis.
    pub backwards: bool,
    /// How long the parts are.
    pub steps: Steps,
    /// The last part is not made shorter than this, mm.
    pub least_mm: f64,
}

/// A piece stepped off.
#[derive(Clone, Debug, PartialEq)]
pub struct Stepped {
    /// What was asked.
    pub asked: StepAsked,
    /// The cuts, in the order in which they are stepped off; none where it fits whole.
    pub planes: Vec<CutPlane>,
    /// Where the parts begin and end along the axis, mm, in that order: one more than there are parts.
    pub ends_mm: Vec<f64>,
    /// The lines that the cuts draw on the piece.
    pub lines: Vec<SectionLoop>,
    /// The change that makes them, as one step.
    pub edit: Edit,
}

impl Stepped {
    /// How long the parts are, mm.
    pub fn lengths_mm(&self) -> Vec<f64> {
        self.ends_mm.windows(2).map(|ends| (ends[1] - ends[0]).abs()).collect()
    }
}

/// Why a piece was not stepped off.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum SteppingError {
    /// The pieces are not there.
    #[error(transparent)]
    Placing(#[from] PlacingError),
    /// It cannot be done so.
    #[error(transparent)]
    Steps(#[from] StepOffError),
}

/// Steps a piece off. Runs on a worker: the pieces are prepared for it.
pub fn step_off(
    recipe: &Recipe,
    asked: &StepAsked,
    project_dir: &Path,
    cache: &Cache,
    progress: &Progress,
) -> Result<Stepped, SteppingError> {
    let mut for_bed = recipe.clone();
    for_bed.bed = recipe.beds().nth(asked.bed).unwrap_or(&recipe.bed).clone();
    let part = asked.piece.part;
    let placing = Placing::prepare_part(&for_bed, part, project_dir, cache, progress)?;
    let piece = placing.pieces().iter().find(|piece| piece.id == asked.piece).ok_or(StepOffError::Nothing)?;
    let bounds = piece.solid.mesh.bounds().ok_or(StepOffError::Nothing)?;
    let like = CutPlane { axis: asked.axis, through_mm: bounds.centre().coords.into(), tilt_deg: [0.0; 2] };
    let last = LastPiece { least_mm: asked.least_mm };
    let planes = placing.step_off(&asked.piece, &like, asked.backwards, asked.steps, last, progress)?;
    let k = asked.axis.index();
    let (first, last) = if asked.backwards { (bounds.max[k], bounds.min[k]) } else { (bounds.min[k], bounds.max[k]) };
    let ends_mm = [first].into_iter().chain(planes.iter().map(CutPlane::offset_mm)).chain([last]).collect();
    let mut lines = Vec::new();
    for plane in &planes {
        progress.check().map_err(StepOffError::from)?;
        lines.extend(plane.plane().map_or_else(|_| Vec::new(), |plane| section(&piece.solid, &plane).loops));
    }
    // The only piece there is needs no name.
    let scope = if placing.pieces().len() == 1 { Scope::All } else { Scope::Pieces([asked.piece.clone()].into()) };
    let edit = Edit::AddCuts { name: String::new(), part, planes: planes.clone(), scope };
    Ok(Stepped { asked: asked.clone(), planes, ends_mm, lines, edit })
}
