//! Stepping a piece off: the fewest parallel cuts with which all its parts fit a bed, as one change.

use std::path::Path;

use seamwright_geometry::{Bounds, Cancelled, LastPiece, Progress, SectionLoop, StepOffError, Steps, section};

use crate::cache::Cache;
use crate::cut_plane::{Axis, CutPlane};
use crate::edit::Edit;
use crate::placing::{Placing, PlacingError};
use crate::recipe::{PieceId, Recipe, Scope};
use crate::tried::{Tried, WORTH_A_FLAT, try_cuts};

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
    /// The parts were made, and one of them sticks out.
    #[error(
        "of the parts that these cuts make one still sticks out by {excess_mm:.1} mm: step it off along another axis"
    )]
    SticksOut {
        /// By how much, mm.
        excess_mm: f64,
    },
}

impl From<Cancelled> for SteppingError {
    fn from(stop: Cancelled) -> SteppingError {
        SteppingError::Steps(stop.into())
    }
}

/// Steps a piece off. Runs on a worker: the parts are made, and what is told of equal ones and of those as long as fits
/// is that they fit.
pub fn step_off(
    recipe: &Recipe,
    asked: &StepAsked,
    project_dir: &Path,
    cache: &Cache,
    progress: &Progress,
) -> Result<Stepped, SteppingError> {
    let for_bed = Recipe {
        bed: recipe.beds().nth(asked.bed).unwrap_or(&recipe.bed).clone(),
        more_beds: Vec::new(),
        ..recipe.clone()
    };
    let part = asked.piece.part;
    let placing = Placing::prepare_part(&for_bed, part, project_dir, cache, progress)?;
    let piece = placing.pieces().iter().find(|piece| piece.id == asked.piece).ok_or(StepOffError::Nothing)?;
    let bounds = piece.solid.mesh.bounds().ok_or(StepOffError::Nothing)?;
    let shop = Shop { recipe: &for_bed, asked, bounds, project_dir, cache, progress };
    let planes = match asked.steps {
        Steps::Every { .. } => shop.quick(&placing)?,
        Steps::Equal => match shop.fewest_equal(&placing)? {
            Some(planes) => planes,
            None => shop.that_fit()?,
        },
        Steps::AsLongAsFits => shop.that_fit()?,
    };
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

/// Cuts square to an axis that leave so many parts, all equally long.
pub fn evenly(bounds: &Bounds, axis: Axis, parts: usize) -> Vec<CutPlane> {
    let (low, high) = (bounds.min[axis.index()], bounds.max[axis.index()]);
    let length = (high - low) / parts as f64;
    // To a tenth of a millimetre, as it is read and typed.
    let offset = |n: usize| ((low + length * n as f64) * 10.0).round() / 10.0;
    (1..parts).map(|n| CutPlane::square(axis, offset(n))).collect()
}

/// So few equal parts are made to see whether they fit in poses that are not tried quickly. Our own choice, no source.
const MADE_TO_SEE: usize = 6;
/// So often parts that were quickly found to fit, and do not when they are made, are made shorter. Our own choice, no
/// source.
const SHORTENED: usize = 4;
/// They are made for a bed so much smaller than by what sticks out, mm: twice what quick verdicts are short by.
const SHORTER_MM: f64 = 0.1;

/// What is asked, and all that it takes to make the parts.
struct Shop<'a> {
    recipe: &'a Recipe,
    asked: &'a StepAsked,
    bounds: Bounds,
    project_dir: &'a Path,
    cache: &'a Cache,
    progress: &'a Progress,
}

impl Shop<'_> {
    /// What the quick verdicts of a drag tell.
    fn quick(&self, placing: &Placing) -> Result<Vec<CutPlane>, StepOffError> {
        let StepAsked { piece, axis, backwards, steps, least_mm, .. } = self.asked;
        let like = CutPlane { axis: *axis, through_mm: self.bounds.centre().coords.into(), tilt_deg: [0.0; 2] };
        let last = LastPiece { least_mm: *least_mm };
        placing.step_off(piece, &like, *backwards, *steps, last, self.progress)
    }

    fn tried(&self, planes: &[CutPlane]) -> Result<Option<Tried>, Cancelled> {
        try_cuts(self.recipe, &self.asked.piece, planes, self.project_dir, self.cache, self.progress)
    }

    /// Fewer equal parts than quick verdicts tell, which try few poses; `None` where these know best.
    fn fewest_equal(&self, placing: &Placing) -> Result<Option<Vec<CutPlane>>, SteppingError> {
        let quick = match self.quick(placing) {
            Ok(planes) if planes.is_empty() => return Ok(Some(planes)),
            Ok(planes) => Some(planes.len() + 1),
            Err(StepOffError::TooWide { .. } | StepOffError::TooMany) => None,
            Err(error) => return Err(error.into()),
        };
        let length = self.bounds.size()[self.asked.axis.index()];
        let longest = self.recipe.bed.room_mm().iter().map(|side| side * side).sum::<f64>().sqrt();
        for parts in 2..=MADE_TO_SEE.min(quick.map_or(MADE_TO_SEE, |quick| quick - 1)) {
            let each = length / parts as f64;
            if each > longest || each < self.asked.least_mm {
                continue;
            }
            let mut planes = evenly(&self.bounds, self.asked.axis, parts);
            if self.asked.backwards {
                planes.reverse();
            }
            let Some(Tried { excess_mm: None, tilts_freely, .. }) = self.tried(&planes)? else { continue };
            if !tilts_freely || quick.is_none_or(|quick| quick > WORTH_A_FLAT * parts) {
                return Ok(Some(planes));
            }
        }
        Ok(None)
    }

    /// What quick verdicts tell, made; and for a smaller bed where the parts that come of it do not fit.
    fn that_fit(&self) -> Result<Vec<CutPlane>, SteppingError> {
        let mut shrunk = self.recipe.clone();
        let mut excess_mm = 0.0;
        for _ in 0..=SHORTENED {
            let part = self.asked.piece.part;
            let placing = Placing::prepare_part(&shrunk, part, self.project_dir, self.cache, self.progress)?;
            let planes = match self.quick(&placing) {
                Err(StepOffError::Cancelled) => return Err(Cancelled.into()),
                // It is the bed made smaller that is too small.
                Err(_) if excess_mm > 0.0 => break,
                planes => planes?,
            };
            let tried = if planes.is_empty() { None } else { self.tried(&planes)? };
            let Some(Tried { excess_mm: Some(mm), .. }) = tried else { return Ok(planes) };
            excess_mm = mm;
            shrunk.bed.margin_mm += (mm + SHORTER_MM) / 2.0;
            shrunk.bed.height_mm -= mm + SHORTER_MM;
        }
        Err(SteppingError::SticksOut { excess_mm })
    }
}
