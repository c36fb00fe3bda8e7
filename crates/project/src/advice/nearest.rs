//! The place nearest to where a cut is at which both its sides fit.

use std::path::Path;

use seamwright_geometry::{Plane, Point, Progress, Vector};

use super::trials::{Sits, Trials};
use super::words::{self, Flat};
use crate::cache::Cache;
use crate::cut_plane::CutPlane;
use crate::edit::Edit;
use crate::placing::{Placing, PlacingError};
use crate::recipe::{CutId, Recipe};
use crate::tried::WORTH_A_FLAT;

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
/// That is the least move along its normal, to a tenth of a millimetre. Where that leaves a side that only fits tilted
/// freely, with no flat on the bed, and both sides stand or lie on a flat a little farther along (twice as far, or within
/// a tenth of what is cut), it is there: what the least would have been is told too. Where no move is enough it is the
/// least tilt about the middle of its section, with a move where the tilt alone is not enough; tilts of up to 30° in twelve
/// directions are looked through with the quick verdicts of a drag. Whatever is told was made and found to fit.
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
    let here = trials.both_sit(&plane)?;
    if here == Sits::Flat {
        return Ok(Nearest::Here);
    }
    let placing = Placing::prepare(recipe, Some(cut), project_dir, cache, progress)?;
    let told = |place: &Plane, through: &Point, flat: Flat, trials: &Trials<'_>| {
        let normal = place.normal();
        let moved_mm = place.offset_mm() - normal.dot(&through.coords);
        let moved_mm = if moved_mm.abs() < SAME_MM { 0.0 } else { moved_mm };
        let tilted_deg = angle_deg(&plane.normal(), &normal);
        let text = words::moved(&now.name, &(normal * moved_mm), tilted_deg, flat);
        Nearest::Place(NearestPlace { cut, plane: trials.cut_on(place), moved_mm, tilted_deg, text })
    };
    let through =
        placing.middle_of_section(&plane).unwrap_or_else(|| plane.project(&Point::from(now.plane.through_mm)));
    progress.stage(format!("looking for a place for {}", now.name));
    let guess = placing.stretch(&plane);
    if let Some(place) = trials.nearest_along(&plane, guess, Sits::Tilted)? {
        let least_mm = (place.offset_mm() - plane.offset_mm()).abs();
        if trials.both_sit(&place)? == Sits::Flat {
            return Ok(told(&place, &through, Flat::Both, &trials));
        }
        let flat = trials.nearest_along(&plane, guess, Sits::Flat)?;
        let extent_mm = trials.extent_mm(&plane.normal());
        return Ok(
            match flat.filter(|flat| is_near((flat.offset_mm() - plane.offset_mm()).abs(), least_mm, extent_mm)) {
                Some(flat) => told(&flat, &through, Flat::Farther { least_mm }, &trials),
                None if here == Sits::Tilted => Nearest::Here,
                None => told(&place, &through, Flat::NotBoth, &trials),
            },
        );
    }
    let tilted = placing.nearby(&plane, &through, progress)?.filter(|near| near.tilted_deg > 0.0);
    let Some(tilted) = tilted else { return Ok(Nearest::Nowhere) };
    let normal = tilted.plane.normal();
    let Ok(in_place) = Plane::through(through, normal) else { return Ok(Nearest::Nowhere) };
    let Some(place) = trials.nearest_along(&in_place, placing.stretch(&tilted.plane), Sits::Tilted)? else {
        return Ok(Nearest::Nowhere);
    };
    let flat = if trials.both_sit(&place)? == Sits::Flat { Flat::Both } else { Flat::NotBoth };
    Ok(told(&place, &through, flat, &trials))
}

/// Whether a place `flat_mm` away, where both sides stand or lie on a flat, is worth more than the nearest, `least_mm` away:
/// as much as for the number of parts, or within a share of what is cut. A part that is tilted freely takes much more
/// support and stands badly; a cut that is moved far lies elsewhere than it was meant to.
fn is_near(flat_mm: f64, least_mm: f64, [low_mm, high_mm]: [f64; 2]) -> bool {
    flat_mm <= (WORTH_A_FLAT as f64 * least_mm).max(FLAT_WITHIN * (high_mm - low_mm))
}

/// Share of the length of a part along the way of a cut that the cut is moved at most for a flat. Our own choice, no source.
const FLAT_WITHIN: f64 = 0.1;

/// A move shorter than this is rounding of offsets a metre away, mm.
const SAME_MM: f64 = 1e-9;

/// The angle between two unit vectors; 0 for what only rounding keeps apart.
fn angle_deg(a: &Vector, b: &Vector) -> f64 {
    if a == b { 0.0 } else { a.cross(b).norm().atan2(a.dot(b)).to_degrees() }
}
