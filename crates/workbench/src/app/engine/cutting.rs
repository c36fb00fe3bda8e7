//! Work for the cut in hand: preparing to place it, and what is asked of it once it rests.

use std::path::Path;
use std::time::Instant;

use seamwright_geometry::StepOffError;
use seamwright_geometry::{Cancelled, Plane, Progress};
use seamwright_project::{Cache, CutId, PlacingError, Recipe, Scope, StepAsked, Stepped, SteppingError};

use super::{Engine, Failure, Job, PlacedSide, Placing};
use crate::app::cut_found::StretchKey;

/// Both sides exactly: of which preparation of the pieces, along which plane.
pub(super) type Exact = (u64, Plane, Vec<PlacedSide>);

/// What live placing depends on.
#[derive(Debug, PartialEq)]
pub(super) struct PlacingKey {
    others: Recipe,
    pub cut: CutId,
    scope: Scope,
}

impl Engine {
    /// Has live placing of `cut` made ready; `false` where that was asked for already, even if it was stopped since.
    /// Where the cut itself lies does not matter to it.
    pub fn prepare_placing(&mut self, recipe: &Recipe, cut: CutId, project_dir: &Path) -> bool {
        let mut others = recipe.clone();
        others.cuts.retain(|c| c.id != cut);
        let scope = recipe.cut(cut).map_or(Scope::All, |cut| cut.scope.clone());
        let key = PlacingKey { others, cut, scope };
        if self.placing_for.as_ref() == Some(&key) {
            return false;
        }
        self.placing_for = Some(key);
        self.placing_since = Instant::now();
        self.placing.ask((Job { recipe: recipe.clone(), project_dir: project_dir.into() }, cut));
        true
    }

    /// Has worked out what a cut that rests along `plane` would do.
    pub fn look_at_rest(&mut self, placing: Placing, plane: Plane) {
        self.resting.ask((placing, plane));
    }

    /// Has both sides of a cut along `plane` worked out exactly; `prepared` is a number of the caller's.
    pub fn look_exactly(&mut self, placing: Placing, plane: Plane, prepared: u64) {
        self.exact.ask((placing, plane, prepared));
    }

    /// Whether no stretch is being looked for.
    pub fn is_free_for_stretch(&self) -> bool {
        self.stretching.progress().is_none()
    }

    /// Has the stretch looked for in which both sides of a cut like `plane` fit.
    pub fn find_stretch(&mut self, placing: Placing, plane: Plane, key: StretchKey) {
        self.stretching.ask((placing, plane, key));
    }

    /// The same with both sides asked in any pose, which takes some seconds.
    pub fn find_exact_stretch(&mut self, placing: Placing, plane: Plane, key: StretchKey) {
        self.stretching_exactly.ask((placing, plane, key));
    }

    /// Has a piece stepped off, unless that was asked for already.
    pub fn step_off(&mut self, recipe: &Recipe, asked: &StepAsked, project_dir: &Path) {
        if self.stepping_for.as_ref().is_some_and(|(of, before)| of == recipe && before == asked) {
            return;
        }
        self.stepping_for = Some((recipe.clone(), asked.clone()));
        self.placing_since = Instant::now();
        self.stepping.ask((Job { recipe: recipe.clone(), project_dir: project_dir.into() }, asked.clone()));
    }

    /// Nothing is stepped off any more.
    pub fn give_up_stepping(&mut self) {
        if self.stepping_for.take().is_some() {
            self.stepping.stop();
        }
    }

    /// The cut moves again.
    pub fn give_up_rest(&mut self) {
        self.resting.stop();
        self.exact.stop();
        self.stretching_exactly.stop();
    }

    /// No cut is in hand: live placing is needed no more.
    pub fn give_up_placing(&mut self) {
        self.placing_for = None;
        self.placing.stop();
        self.resting.stop();
        self.exact.stop();
        self.stretching_exactly.stop();
    }
}

/// `Ok(Err(..))` where there is nothing to place a cut in.
pub(super) fn prepare(
    job: &Job,
    cut: CutId,
    cache: &Cache,
    progress: &Progress,
) -> Result<Result<Placing, Failure>, Cancelled> {
    match Placing::prepare(&job.recipe, Some(cut), &job.project_dir, cache, progress) {
        Ok(placing) => Ok(Ok(placing)),
        Err(PlacingError::Cancelled | PlacingError::NoStock) => Err(Cancelled),
        Err(PlacingError::Failed(failure)) => Ok(Err(failure)),
    }
}

/// `Ok(Err(..))` where it cannot be done so, in words.
pub(super) fn step_off(
    job: &Job,
    asked: &StepAsked,
    cache: &Cache,
    progress: &Progress,
) -> Result<Result<Stepped, String>, Cancelled> {
    match seamwright_project::step_off(&job.recipe, asked, &job.project_dir, cache, progress) {
        Ok(stepped) => Ok(Ok(stepped)),
        Err(
            SteppingError::Placing(PlacingError::Cancelled | PlacingError::NoStock)
            | SteppingError::Steps(StepOffError::Cancelled),
        ) => Err(Cancelled),
        Err(error) => Ok(Err(error.to_string())),
    }
}
