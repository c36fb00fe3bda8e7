//! Work for bores: preparing to place one, and finding better places.

use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::Instant;

use seamwright_geometry::{Cancelled, Progress};
use seamwright_project::{
    BoreChange, BoreId, Boring, Cache, Edit, NewBore, NewMagnets, Outcome, PartId, Placed, PlacingError, Recipe,
    places_with_room, spaced_places,
};

use super::{Engine, Failure, Job, Ready};
use crate::text;

/// For which bore a place is looked for.
#[derive(Clone, Debug)]
pub enum BoringFor {
    /// One that is not in the recipe yet.
    New(Box<NewBore>),
    /// This one.
    Bore(BoreId),
}

impl Engine {
    /// Has the part made ready for `bore` to be placed, unless that was asked for already. Where the bore itself lies does
    /// not matter to it, nor do cuts.
    pub fn prepare_boring(&mut self, recipe: &Recipe, bore: BoreId, project_dir: &Path) {
        let key = (bore, without(recipe, bore));
        if self.boring_for.as_ref() == Some(&key) {
            return;
        }
        self.boring_for = Some(key);
        self.placing_since = Instant::now();
        self.boring.ask((Job { recipe: recipe.clone(), project_dir: project_dir.into() }, bore));
    }

    /// No bore is in hand: live placing is needed no more.
    pub fn give_up_boring(&mut self) {
        if self.boring_for.take().is_some() {
            self.boring.stop();
        }
    }

    /// Looks for the place where the least wall around `bore` is greatest, in the background.
    pub fn centre_bore(&mut self, recipe: Recipe, folder: PathBuf, bore: BoreId) {
        let cache = self.cache.clone();
        self.errand(text::work::CENTRING, move |progress| {
            let boring = match ready(Boring::prepare(&recipe, Some(bore), PartId::MAIN, &folder, &cache, progress))? {
                Ok(boring) => boring,
                Err(text) => return Ok(Ready::Trouble(text)),
            };
            let Some(now) = recipe.bore(bore) else { return Err(Cancelled) };
            Ok(match boring.centred(now, progress)? {
                Err(why) => Ready::Trouble(why),
                Ok(found) => {
                    let change = BoreChange::Line { line_mm: found.line_mm, placed: Placed::Centred };
                    let gain = Some((bore, [found.before_mm, found.after_mm]));
                    Ready::BorePlaced { edit: Edit::ChangeBore { bore, change }, gain, asked: Box::new(recipe) }
                }
            })
        });
    }
}

impl Engine {
    /// Looks for a line along the middle of the stock in up to `runs` straight runs, in the background.
    pub fn bore_along_middle(&mut self, recipe: Recipe, folder: PathBuf, of: BoringFor, runs: usize) {
        let cache = self.cache.clone();
        self.errand(text::work::LOOKING_FOR_MIDDLE, move |progress| {
            let (id, part) = match &of {
                BoringFor::New(new) => (None, new.part),
                BoringFor::Bore(id) => (Some(*id), PartId::MAIN),
            };
            let boring = match ready(Boring::prepare(&recipe, id, part, &folder, &cache, progress))? {
                Ok(boring) => boring,
                Err(text) => return Ok(Ready::Trouble(text)),
            };
            progress.stage(text::work::LOOKING_FOR_MIDDLE);
            let Some(line_mm) = boring.middle(runs, progress)? else {
                return Ok(Ready::Trouble(text::work::NO_MIDDLE.into()));
            };
            let edit = match of {
                BoringFor::New(new) => Edit::AddBore(Box::new(NewBore { line_mm, ..*new })),
                BoringFor::Bore(bore) => {
                    Edit::ChangeBore { bore, change: BoreChange::Line { line_mm, placed: Placed::Middle } }
                }
            };
            Ok(Ready::BorePlaced { edit, gain: None, asked: Box::new(recipe) })
        });
    }
}

impl Engine {
    /// Finds places for magnets, in the background: near those that `new` has, or `count` spread evenly where it has none.
    pub fn add_magnets(&mut self, outcome: Arc<Outcome>, new: NewMagnets, count: usize) {
        self.errand(text::work::LOOKING_FOR_MAGNETS, move |progress| {
            progress.check()?;
            let keep_mm = new.keep_mm();
            let found = match new.places_mm.as_slice() {
                [] => spaced_places(&outcome, new.cut, count, keep_mm),
                picked => places_with_room(&outcome, new.cut, picked, keep_mm),
            };
            Ok(match found {
                Err(why) => Ready::Trouble(why),
                Ok(places_mm) => {
                    let edit = Edit::AddMagnets(Box::new(NewMagnets { places_mm, ..new }));
                    Ready::BorePlaced { edit, gain: None, asked: Box::new(outcome.recipe.clone()) }
                }
            })
        });
    }
}

/// All that the part looks like before `bore` depends on.
fn without(recipe: &Recipe, bore: BoreId) -> Recipe {
    let mut others = recipe.clone();
    let at = others.bores.iter().position(|other| other.id == bore).unwrap_or(others.bores.len());
    others.bores.truncate(at);
    others.cuts.clear();
    others
}

/// `Ok(Err(..))` where there is nothing to place a bore in.
pub(super) fn prepare(
    job: &Job,
    bore: BoreId,
    cache: &Cache,
    progress: &Progress,
) -> Result<Result<Boring, Failure>, Cancelled> {
    match Boring::prepare(&job.recipe, Some(bore), PartId::MAIN, &job.project_dir, cache, progress) {
        Ok(boring) => Ok(Ok(boring)),
        Err(PlacingError::Cancelled | PlacingError::NoStock) => Err(Cancelled),
        Err(PlacingError::Failed(failure)) => Ok(Err(failure)),
    }
}

fn ready(prepared: Result<Boring, PlacingError>) -> Result<Result<Boring, String>, Cancelled> {
    match prepared {
        Ok(boring) => Ok(Ok(boring)),
        Err(PlacingError::Cancelled) => Err(Cancelled),
        Err(error) => Ok(Err(error.to_string())),
    }
}
