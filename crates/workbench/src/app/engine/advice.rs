//! Work for advice: where a cut would leave sides that fit, and what to do about what does not.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use seamwright_geometry::{Cancelled, Progress};
use seamwright_project::{Cache, CutId, Note, PlacingError, Recipe, advise, nearest_place};

use super::{Engine, Outcome, Ready};
use crate::text;

/// What advice is asked about, and where its files are.
pub(super) type About = (Arc<Outcome>, PathBuf);

impl Engine {
    /// Looks for the best place nearby for `cut` in the background.
    pub fn find_place(&mut self, recipe: Recipe, folder: PathBuf, cut: CutId) {
        let cache = self.cache.clone();
        self.errand(text::work::LOOKING_FOR_PLACE, move |progress| {
            match nearest_place(&recipe, cut, &folder, &cache, progress) {
                Ok(nearest) => Ok(Ready::Place(Box::new((recipe, cut, nearest)))),
                Err(PlacingError::Cancelled) => Err(Cancelled),
                Err(error) => Ok(Ready::Trouble(error.to_string())),
            }
        });
    }

    /// Looks for what to do about what does not fit in `outcome`, unless that was asked for already.
    pub fn advise(&mut self, outcome: Arc<Outcome>, project_dir: &Path) {
        if self.advising_for.as_ref().is_some_and(|of| *of == outcome.recipe) {
            return;
        }
        self.advising_for = Some(outcome.recipe.clone());
        self.advising.ask((outcome, project_dir.into()));
    }

    /// Whether advice is being looked for.
    pub fn is_advising(&self) -> bool {
        self.advising.progress().is_some()
    }

    /// How far advice is that is being looked for.
    pub fn advising(&self) -> Option<f64> {
        self.advising.progress().map(|progress| progress.now().1)
    }

    /// Things change: advice would be about what was.
    pub fn give_up_advice(&mut self) {
        if self.advising.progress().is_some() {
            self.advising.stop();
            self.advising_for = None;
        }
    }
}

/// Nothing to say where the pieces cannot be prepared: that is told elsewhere.
pub(super) fn look(
    (outcome, project_dir): About,
    cache: &Cache,
    progress: &Progress,
) -> Result<(Recipe, Vec<Note>), Cancelled> {
    let notes = match advise(&outcome, &project_dir, cache, progress) {
        Ok(notes) => notes,
        Err(PlacingError::Cancelled) => return Err(Cancelled),
        Err(PlacingError::Failed(_) | PlacingError::NoStock) => Vec::new(),
    };
    Ok((outcome.recipe.clone(), notes))
}
