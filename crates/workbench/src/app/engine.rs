//! The workers: the only place of the window that calls evaluation.

mod advice;
mod boring;
mod cutting;
mod detailing;

use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::mpsc::{Receiver, Sender, channel};
use std::time::Instant;

use seamwright_geometry::{
    Cancelled, Detail, Passage, Plane, Point, Progress, SectionSupport, Solid, Stretch, narrowest_below,
};
use seamwright_project::health::{Beside, Health, Look, look_between, look_closely_named};
use seamwright_project::kit::{self, KitError};
use seamwright_project::{
    BoreId, Boring, Cache, CutId, Edit, Measured, MeasuringError, Nearest, Part, PartId, Recipe, StepAsked, Stepped,
    evaluate, store,
};

pub use boring::BoringFor;

use cutting::PlacingKey;

use super::bodies::{Bodies, BodyStore};
use super::cut_found::StretchKey;
use super::lane::{Done, Lane};
use super::measuring::Round;
use super::pointing::rims;
use super::start::{LookUp, StartFound, look_up};
use super::state::{Inside, KitWritten, Looked};
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

/// Something is ready.
#[derive(Debug)]
pub enum Ready {
    /// New results, and what the bench shows of them.
    Outcome(Box<Outcome>, Bodies),
    /// The evaluation was stopped.
    Stopped,
    /// Live placing of a cut is ready, or cannot be.
    Placing(CutId, Result<Box<Placing>, Failure>),
    /// Preparing to place a cut was stopped.
    PlacingStopped,
    /// Live placing of a bore is ready, or cannot be.
    Boring(BoreId, Result<Boring, Failure>),
    /// A place for a bore was found.
    BorePlaced {
        /// The recipe that it was found for.
        asked: Box<Recipe>,
        /// The edit that lays it there.
        edit: Edit,
        /// The least wall before and after, mm.
        gain: Option<(BoreId, [f64; 2])>,
    },
    /// What the cut in hand would do where it rests.
    Resting(AtRest),
    /// Both sides of the cut in hand exactly: of which preparation of the pieces, along which plane.
    Exact(u64, Plane, Vec<PlacedSide>),
    /// The best place nearby for a cut of this recipe.
    Place(Box<(Recipe, CutId, Nearest)>),
    /// What to do about what does not fit with this recipe.
    Advice(Box<(Recipe, Vec<Note>)>),
    /// Cuts that step a piece off, or why there are none.
    Stepped(Box<StepAsked>, Result<Box<Stepped>, String>),
    /// Where along its normal both sides of the cut in hand fit.
    Stretch(StretchKey, Option<Stretch>),
    /// The same in any pose.
    ExactStretch(StretchKey, Option<Stretch>),
    /// What on a part a cut may be meant to follow.
    Details(Arc<Solid>, Arc<Vec<Detail>>),
    /// The lines that a plane draws on a part.
    Sketched(Plane, Vec<Vec<Point>>),
    /// The lines that tapes lie along.
    Girths(Vec<Vec<Point>>),
    /// A file was measured for this project: the edit that takes it as the stock.
    Measured(u64, Edit),
    /// A file that was to be measured for this project cannot be read: why, and the way out.
    NotRead(u64, String),
    /// Something was measured on a part of this project.
    MeasureTaken(u64, PartId, Result<Measured, MeasuringError>),
    /// The parts were looked at closely.
    Looked(Box<Looked>),
    /// Earlier results were worked out anew; `None` where that ended without any.
    Earlier(Option<Box<(Outcome, Bodies)>>),
    /// What is on the start sheet was looked up.
    Start(Box<StartFound>),
    /// The clear inside was measured.
    Inside(Box<Inside>),
    /// A kit was written.
    Kit(Box<KitWritten>),
    /// A kit is in the way.
    KitInTheWay(PathBuf, String),
    /// Something went wrong.
    Trouble(String),
}

/// Work that is done once and that nothing replaces.
#[derive(Debug)]
struct Errand {
    number: u64,
    what: &'static str,
    progress: Progress,
    since: Instant,
}

type ErrandDone = (u64, Ready);

/// What a measured file is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MeasureFor {
    /// A new stock.
    NewStock,
    /// The place where the stock is now.
    Relocation,
    /// The place where a file beside the first is now.
    RelocationBeside(usize),
    /// A further file of the same frame.
    Beside,
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

    /// Measures a file (length, SHA-256) in the background and answers with the edit that takes it as the
    /// stock of `project`, a number of the caller's.
    pub fn measure(&mut self, file: PathBuf, project_dir: PathBuf, purpose: MeasureFor, project: u64) {
        self.errand(text::work::READING, move |progress| {
            let source = match store::describe_source_while(&file, &project_dir, || progress.check()) {
                Ok(source) => source?,
                Err(error) => {
                    return Ok(Ready::NotRead(project, text::files::cannot_be_read(&file, error)));
                }
            };
            let edit = match purpose {
                MeasureFor::NewStock => Edit::SetStock(source),
                MeasureFor::Relocation => Edit::RelocateStock(source),
                MeasureFor::RelocationBeside(at) => Edit::RelocateSource { at, source },
                MeasureFor::Beside => Edit::AddSource(source),
            };
            Ok(Ready::Measured(project, edit))
        });
    }

    /// Writes the kit of `outcome` into `folder` in the background.
    pub fn write_kit(&mut self, outcome: Arc<Outcome>, folder: PathBuf, overwrite: Overwrite) {
        self.errand(text::work::WRITING_KIT, move |progress| {
            match kit::write(&outcome, &folder, overwrite, progress) {
                Ok(manifest) => Ok(Ready::Kit(Box::new(KitWritten {
                    folder,
                    pieces: manifest.pieces.len(),
                    left: manifest.left_from_before,
                    recipe: outcome.recipe.clone(),
                }))),
                Err(KitError::Cancelled) => Err(Cancelled),
                Err(error @ KitError::Exists { .. }) => Ok(Ready::KitInTheWay(folder, error.to_string())),
                Err(error) => Ok(Ready::Trouble(error.to_string())),
            }
        });
    }

    /// Looks closely at the parts of `outcome` in the background.
    pub fn look_closely(&mut self, outcome: Arc<Outcome>) {
        self.errand(text::work::LOOKING_CLOSELY, move |progress| {
            let look = Look::default();
            let closely = |part: &Part| {
                let shell_of_face = |face: u32| outcome.shell_of(part, face);
                look_closely_named(&part.solid.mesh, &shell_of_face, &look, progress)
            };
            let mut parts = outcome.parts.iter().map(closely).collect::<Result<Vec<_>, _>>()?;
            if outcome.parts.len() > 1 {
                let outcome = &outcome;
                let names: Vec<_> =
                    outcome.parts.iter().map(|part| move |face: u32| outcome.shell_of(part, face)).collect();
                let beside = outcome.parts.iter().zip(&names);
                let beside: Vec<Beside<'_>> =
                    beside.map(|(part, shell_of_face)| Beside { mesh: &part.solid.mesh, shell_of_face }).collect();
                let findings = look_between(&beside, &look, progress)?;
                parts.push(Health { findings, ..Health::default() });
            }
            progress.check()?;
            let rims = outcome.parts.iter().zip(&parts).map(|(part, found)| rims(&part.solid.mesh, found)).collect();
            Ok(Ready::Looked(Box::new(Looked { recipe: outcome.recipe.clone(), rims, parts })))
        });
    }

    /// Measures the clear inside of the main part at a height in the background.
    pub fn measure_inside(&mut self, outcome: Arc<Outcome>, z_mm: f64) {
        self.errand(text::work::MEASURING_INSIDE, move |progress| {
            let plane = Plane::new(seamwright_geometry::Vector::z(), z_mm);
            let mut inside = Inside { recipe: outcome.recipe.clone(), z_mm, clear: None, way_out: Passage::NoRoom };
            if let (Some(solid), Ok(plane)) = (outcome.whole(), plane) {
                let support = SectionSupport::build(solid, progress)?;
                inside.clear = support.section(solid, &plane).clear(&plane);
                inside.way_out = narrowest_below(solid, &support, &plane, progress)?;
            }
            Ok(Ready::Inside(Box::new(inside)))
        });
    }

    /// Everything that became ready since the last call.
    pub fn poll(&mut self) -> Vec<Ready> {
        let mut ready = Vec::new();
        match self.evaluation.poll() {
            Some(Done::Answered((outcome, bodies))) => ready.push(Ready::Outcome(Box::new(outcome), bodies)),
            Some(Done::Cancelled) => ready.push(Ready::Stopped),
            Some(Done::Broke) => {
                ready.push(Ready::Stopped);
                ready.push(Ready::Trouble(text::work::BROKE.into()));
            }
            None => {}
        }
        if let (Some(done), Some((bore, _))) = (self.boring.poll(), &self.boring_for) {
            match done {
                Done::Answered(boring) => ready.push(Ready::Boring(*bore, boring)),
                Done::Cancelled => {}
                Done::Broke => ready.push(Ready::Trouble(text::work::BROKE.into())),
            }
        }
        if let (Some(done), Some(PlacingKey { cut, .. })) = (self.placing.poll(), &self.placing_for) {
            match done {
                Done::Answered(Ok(placing)) => ready.push(Ready::Placing(*cut, Ok(Box::new(placing)))),
                Done::Answered(Err(failure)) => ready.push(Ready::Placing(*cut, Err(failure))),
                Done::Cancelled => ready.push(Ready::PlacingStopped),
                Done::Broke => {
                    ready.push(Ready::PlacingStopped);
                    ready.push(Ready::Trouble(text::work::BROKE.into()));
                }
            }
        }
        if let Some(Done::Answered(rest)) = self.resting.poll() {
            ready.push(Ready::Resting(rest));
        }
        if let Some(Done::Answered(advice)) = self.advising.poll() {
            ready.push(Ready::Advice(Box::new(advice)));
        }
        if let (Some(done), Some((_, asked))) = (self.stepping.poll(), &self.stepping_for) {
            match done {
                Done::Answered(found) => ready.push(Ready::Stepped(Box::new(asked.clone()), found.map(Box::new))),
                Done::Cancelled => {}
                Done::Broke => ready.push(Ready::Trouble(text::work::BROKE.into())),
            }
        }
        if let Some(Done::Answered((prepared, plane, sides))) = self.exact.poll() {
            ready.push(Ready::Exact(prepared, plane, sides));
        }
        if let Some(Done::Answered((key, stretch))) = self.stretching.poll() {
            ready.push(Ready::Stretch(key, stretch));
        }
        if let Some(Done::Answered((key, stretch))) = self.stretching_exactly.poll() {
            ready.push(Ready::ExactStretch(key, stretch));
        }
        if let Some(Done::Answered((part, details))) = self.detailing.poll() {
            ready.push(Ready::Details(part, details));
        }
        if let Some(Done::Answered((plane, lines))) = self.sketching.poll() {
            ready.push(Ready::Sketched(plane, lines));
        }
        if let Some(Done::Answered(lines)) = self.girthing.poll() {
            ready.push(Ready::Girths(lines));
        }
        match self.looking_back.poll() {
            Some(Done::Answered(found)) => ready.push(Ready::Earlier(Some(Box::new(found)))),
            Some(_) => ready.push(Ready::Earlier(None)),
            None => {}
        }
        match self.looking_up.poll() {
            Some(Done::Answered(found)) => ready.push(Ready::Start(Box::new(found))),
            // The sheet then says that it has nothing to list.
            Some(_) => ready.push(Ready::Start(Box::default())),
            None => {}
        }
        while let Ok((number, done)) = self.errand_results.1.try_recv() {
            self.errands.retain(|errand| errand.number != number);
            ready.push(done);
        }
        ready
    }

    fn errand(
        &mut self,
        what: &'static str,
        work: impl FnOnce(&Progress) -> Result<Ready, Cancelled> + Send + 'static,
    ) {
        let progress = Progress::new();
        let number = self.next_errand;
        self.next_errand += 1;
        let (results, wake, own) = (self.errand_results.0.clone(), self.wake.clone(), progress.clone());
        let run = move || {
            let done = std::panic::catch_unwind(std::panic::AssertUnwindSafe(|| work(&own)));
            let ready = match done {
                Ok(Ok(ready)) => ready,
                Ok(Err(Cancelled)) => Ready::Trouble(text::work::was_stopped(what)),
                Err(_) => Ready::Trouble(text::work::BROKE.into()),
            };
            // The window may be gone by now, and with it the need for an answer.
            let _ = results.send((number, ready));
            wake();
        };
        match std::thread::Builder::new().name(what.into()).spawn(run) {
            Ok(_) => self.errands.push(Errand { number, what, progress, since: Instant::now() }),
            Err(error) => log::error!("{what}: no thread could be started: {error}"),
        }
    }
}

#[cfg(all(test, unix))]
mod tests;
