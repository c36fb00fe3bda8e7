//! The place nearest to where a cut is at which both its sides fit.

use std::path::Path;

use seamwright_geometry::{Plane, Point, Progress, Vector};

use super::trials::Trials;
use super::words;
use crate::cache::Cache;
use crate::cut_plane::CutPlane;
use crate::edit::Edit;
use crate::placing::{Placing, PlacingError};
use crate::recipe::{CutId, Recipe};

/// Where a cut would leave sides that fit.
#[derive(Clone, Debug, PartialEq)]
pub enum Nearest {
    /// Where it is.
    Here,
    /// Elsewhere.
    Place(NearestPlace),
    /// Nowhere that was tried.
    Nowhere,
    /// The cut parts nothing, is switched off, or is not in the recipe.
    PartsNothing,
}

/// A place for a cut at which all pieces that it bounds fit: they were made, and their verdicts are exact.
#[derive(Clone, Debug, PartialEq)]
pub struct NearestPlace {
    /// Which cut.
    pub cut: CutId,
    /// Where it would be.
    pub plane: CutPlane,
    /// How far it is moved along its new normal, mm, measured at the middle of its section; negative against it.
    pub moved_mm: f64,
    /// How far it is tilted about that place, degrees; 0 where moving alone is enough.
    pub tilted_deg: f64,
    /// What to do, in words: "move brow by 6.5 mm upwards, and both sides fit".
    pub text: String,
}

impl NearestPlace {
    /// The change that puts the cut there.
    pub fn edit(&self) -> Edit {
        Edit::SetCutPlane { cut: self.cut, plane: self.plane }
    }

    /// What is easier to do comes first: moving before tilting, then the lesser.
    pub(super) fn effort(&self) -> (bool, f64) {
        let tilted = self.tilted_deg > 0.0;
        (tilted, if tilted { self.tilted_deg } else { self.moved_mm.abs() })
    }
}

/// Looks for the place nearest to where `cut` is at which all that it bounds fits one of the beds.
///
/// That is the least move along its normal, to a tenth of a millimetre. Where no move is enough it is the least tilt about
/// the middle of its section, with a move where the tilt alone is not enough; tilts of up to 30° in twelve directions
/// are looked through with the quick verdicts of a drag. Whatever is told was made and found to fit.
/// Runs on a worker.
pub fn nearest_place(
    recipe: &Recipe,
    cut: CutId,
    project_dir: &Path,
    cache: &Cache,
    progress: &Progress,
) -> Result<Nearest, PlacingError> {
    let Some(now) = recipe.cut(cut).filter(|cut| cut.enabled) else { return Ok(Nearest::PartsNothing) };
    let Ok(plane) = now.plane.plane() else { return Ok(Nearest::PartsNothing) };
    let Some(mut trials) = Trials::prepare(recipe, now, project_dir, cache, progress)? else {
        return Ok(Nearest::PartsNothing);
    };
    if trials.both_fit(&plane)? {
        return Ok(Nearest::Here);
    }
    let placing = Placing::prepare(recipe, Some(cut), project_dir, cache, progress)?;
    let told = |place: &Plane, through: &Point, trials: &Trials<'_>| {
        let normal = place.normal();
        let moved_mm = place.offset_mm() - normal.dot(&through.coords);
        let moved_mm = if moved_mm.abs() < SAME_MM { 0.0 } else { moved_mm };
        let tilted_deg = angle_deg(&plane.normal(), &normal);
        let text = words::moved(&now.name, &(normal * moved_mm), tilted_deg);
        Nearest::Place(NearestPlace { cut, plane: trials.cut_on(place), moved_mm, tilted_deg, text })
    };
    let through =
        placing.middle_of_section(&plane).unwrap_or_else(|| plane.project(&Point::from(now.plane.through_mm)));
    progress.stage(format!("looking for a place for {}", now.name));
    if let Some(place) = trials.nearest_along(&plane, placing.stretch(&plane))? {
        return Ok(told(&place, &through, &trials));
    }
    let tilted = placing.nearby(&plane, &through, progress)?.filter(|near| near.tilted_deg > 0.0);
    let Some(tilted) = tilted else { return Ok(Nearest::Nowhere) };
    let normal = tilted.plane.normal();
    let Ok(in_place) = Plane::through(through, normal) else { return Ok(Nearest::Nowhere) };
    Ok(match trials.nearest_along(&in_place, placing.stretch(&tilted.plane))? {
        Some(place) => told(&place, &through, &trials),
        None => Nearest::Nowhere,
    })
}

/// A move shorter than this is rounding of offsets a metre away, mm.
const SAME_MM: f64 = 1e-9;

/// The angle between two unit vectors; 0 for what only rounding keeps apart.
fn angle_deg(a: &Vector, b: &Vector) -> f64 {
    if a == b { 0.0 } else { a.cross(b).norm().atan2(a.dot(b)).to_degrees() }
}
