//! The workers: the only place of the window that calls evaluation.

mod advice;
mod boring;
mod cutting;
mod detailing;
mod errands;
mod ready;

use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::mpsc::{Receiver, Sender, channel};
use std::time::Instant;

use seamwright_geometry::{Plane, Point, Solid, Stretch};
use seamwright_project::{BoreId, Boring, Cache, CutId, Recipe, StepAsked, Stepped, evaluate};

pub use boring::BoringFor;
pub use errands::MeasureFor;
pub use ready::Ready;

use cutting::PlacingKey;
use errands::{Errand, ErrandDone};

use super::bodies::{Bodies, BodyStore};
use super::cut_found::StretchKey;
use super::lane::Lane;
use super::measuring::Round;
use super::start::{LookUp, StartFound, look_up};
use crate::text;
pub use seamwright_geometry::exchange::Overwrite;
pub use seamwright_project::{
    AtRest, CapFacts, Failure, Note, Outcome, Piece, PieceFacts, PlacedSide, Placement, Placing, Stage, Stock, Weight,
};

/// Called from a worker when something is ready.
pub type Wake = Arc<dyn Fn() + Send + Sync>;

/// All workers. Each kind of work has a thread; results are collected once a frame.
pub struct Engine {
    evaluation: Lane<Job, (Outcome, Bodies)>,
    placing: Lane<(Job, CutId), Result<Placing, Failure>>,
    boring: Lane<(Job, BoreId), Result<Boring, Failure>>,
    resting: Lane<(Placing, Plane), AtRest>,
    exact: Lane<(Placing, Plane, u64), cutting::Exact>,
    stretching: Lane<(Placing, Plane, StretchKey), (StretchKey, Option<Stretch>)>,
    stretching_exactly: Lane<(Placing, Plane, StretchKey), (StretchKey, Option<Stretch>)>,
    advising: Lane<advice::About, (Recipe, Vec<Note>)>,
    stepping: Lane<(Job, StepAsked), Result<Stepped, String>>,
    detailing: Lane<Arc<Solid>, detailing::Found>,
    sketching: Lane<(Arc<Solid>, Plane), detailing::Sketched>,
    girthing: Lane<Vec<Round>, Vec<Vec<Point>>>,
    looking_back: Lane<Job, (Outcome, Bodies)>,
    looking_up: Lane<LookUp, StartFound>,
    errands: Vec<Errand>,
    next_errand: u64,
    errand_results: (Sender<ErrandDone>, Receiver<ErrandDone>),
    asked: Option<(Recipe, Instant)>,
    placing_for: Option<PlacingKey>,
    placing_since: Instant,
    stepping_for: Option<(Recipe, StepAsked)>,
    advising_for: Option<Recipe>,
    boring_for: Option<(BoreId, Recipe)>,
    detailing_for: Option<Arc<Solid>>,
    cache: Arc<Cache>,
    wake: Wake,
}

impl std::fmt::Debug for Engine {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Engine").finish_non_exhaustive()
    }
}

#[derive(Debug)]
struct Job {
    recipe: Recipe,
    project_dir: PathBuf,
}

impl Engine {
    /// Starts the workers.
    pub fn new(wake: Wake) -> Engine {
        let cache = Arc::new(Cache::default());
        let for_evaluation = cache.clone();
        let (for_placing, for_boring) = (cache.clone(), cache.clone());
        let (for_stepping, for_advice) = (cache.clone(), cache.clone());
        // Bodies of its own: those of the newest results stay as they are.
        let (for_looking_back, earlier_bodies) = (cache.clone(), BodyStore::default());
        let bodies = BodyStore::default();
        Engine {
            evaluation: Lane::new("evaluation", wake.clone(), move |job: Job, progress| {
                let outcome = evaluate(&job.recipe, &job.project_dir, &for_evaluation, progress)?;
                let bodies = bodies.of(&outcome, progress)?;
                Ok((outcome, bodies))
            }),
            placing: Lane::new("placing", wake.clone(), move |(job, cut): (Job, CutId), progress| {
                cutting::prepare(&job, cut, &for_placing, progress)
            }),
            boring: Lane::new("boring", wake.clone(), move |(job, bore): (Job, BoreId), progress| {
                boring::prepare(&job, bore, &for_boring, progress)
            }),
            resting: Lane::new("resting", wake.clone(), |(placing, plane): (Placing, Plane), progress| {
                placing.at_rest(&plane, progress)
            }),
            exact: Lane::new(
                "both sides exactly",
                wake.clone(),
                |(placing, plane, prepared): (Placing, Plane, u64), progress| {
                    Ok((prepared, plane, placing.exact(&plane, progress)?))
                },
            ),
            stretching: Lane::new("stretch", wake.clone(), |(placing, plane, key): (Placing, Plane, StretchKey), _| {
                Ok((key, placing.stretch(&plane)))
            }),
            stretching_exactly: Lane::new(
                "stretch in any pose",
                wake.clone(),
                |(placing, plane, key): (Placing, Plane, StretchKey), progress| {
                    Ok((key, placing.exact_stretch(&plane, progress)?))
                },
            ),
            advising: Lane::new("advice", wake.clone(), move |about: advice::About, progress| {
                advice::look(about, &for_advice, progress)
            }),
            stepping: Lane::new("stepping off", wake.clone(), move |(job, asked): (Job, StepAsked), progress| {
                cutting::step_off(&job, &asked, &for_stepping, progress)
            }),
            detailing: Lane::new("details", wake.clone(), detailing::find),
            girthing: Lane::new("girths", wake.clone(), detailing::girths),
            sketching: Lane::new("outline of points", wake.clone(), detailing::sketch),
            looking_back: Lane::new("looking back", wake.clone(), move |job: Job, progress| {
                let outcome = evaluate(&job.recipe, &job.project_dir, &for_looking_back, progress)?;
                let bodies = earlier_bodies.of(&outcome, progress)?;
                Ok((outcome, bodies))
            }),
            looking_up: Lane::new("start sheet", wake.clone(), |asked: LookUp, progress| look_up(&asked, progress)),
            errands: Vec::new(),
            next_errand: 0,
            errand_results: channel(),
            asked: None,
            placing_for: None,
            placing_since: Instant::now(),
            stepping_for: None,
            advising_for: None,
            boring_for: None,
            detailing_for: None,
            cache,
            wake,
        }
    }

    /// Has `recipe` evaluated, unless it is being evaluated already.
    pub fn evaluate(&mut self, recipe: &Recipe, project_dir: &Path) {
        if self.asked.as_ref().is_some_and(|(asked, _)| asked == recipe) {
            return;
        }
        self.asked = Some((recipe.clone(), Instant::now()));
        self.evaluation.ask(Job { recipe: recipe.clone(), project_dir: project_dir.into() });
    }

    /// Forgets what was asked, so that the same recipe is evaluated again: its source may have come back.
    pub fn forget(&mut self) {
        self.asked = None;
        self.placing_for = None;
        self.boring_for = None;
        self.stepping_for = None;
    }

    /// Stops all that is being worked on.
    pub fn stop(&mut self) {
        self.evaluation.stop();
        self.placing.stop();
        self.boring.stop();
        self.stepping.stop();
        self.advising.stop();
        self.detailing.stop();
        self.looking_back.stop();
        for errand in &self.errands {
            errand.progress.cancel();
        }
    }

    /// What is being worked on: the stage, its fraction, and since when.
    pub fn work(&self) -> Option<(String, f64, Instant)> {
        if let Some(errand) = self.errands.first() {
            let (stage, fraction) = errand.progress.now();
            return Some((if stage.is_empty() { errand.what.into() } else { stage }, fraction, errand.since));
        }
        let placing = self.placing.progress().or_else(|| self.boring.progress()).or_else(|| self.stepping.progress());
        let (progress, what, since) = match (self.evaluation.progress(), placing) {
            (Some(progress), _) => {
                let since = self.asked.as_ref().map_or_else(Instant::now, |(_, since)| *since);
                (progress, text::work::WORKING_OUT, since)
            }
            (None, Some(progress)) => (progress, text::work::PREPARING, self.placing_since),
            (None, None) => return None,
        };
        let (stage, fraction) = progress.now();
        Some((if stage.is_empty() { what.into() } else { stage }, fraction, since))
    }

    /// Whether anything at all is being worked on.
    pub fn is_busy(&self) -> bool {
        self.work().is_some()
    }

    /// Has an earlier recipe evaluated: mostly from what is kept.
    pub fn look_back(&mut self, recipe: &Recipe, project_dir: &Path) {
        self.looking_back.ask(Job { recipe: recipe.clone(), project_dir: project_dir.into() });
    }

    /// Has what is on the start sheet looked up.
    pub fn look_up(&mut self, asked: LookUp) {
        self.looking_up.ask(asked);
    }
}

#[cfg(all(test, unix))]
mod tests;
