//! Work that is done once and that nothing replaces: each on a thread of its own.

use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::Instant;

use seamwright_geometry::exchange::{ReadError, ReadOptions, ReadProblem, read};
use seamwright_geometry::{Cancelled, Passage, Plane, Progress, SectionSupport, narrowest_below};
use seamwright_project::health::{Beside, Health, Look, look_between, look_closely_named};
use seamwright_project::kit::{self, KitError};
use seamwright_project::{Edit, Part, Recipe, store};

use super::{Engine, Outcome, Overwrite, Ready};
use crate::app::pointing::rims;
use crate::app::state::{Inside, KitWritten, Looked};
use crate::text;

/// Work that is done once and that nothing replaces.
#[derive(Debug)]
pub(super) struct Errand {
    pub(super) number: u64,
    pub(super) what: &'static str,
    pub(super) progress: Progress,
    pub(super) since: Instant,
}

pub(super) type ErrandDone = (u64, Ready);

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

/// Why a file is no model, with the way out; `None` for one that is.
fn why_unread(file: &Path, progress: &Progress) -> Result<Option<String>, Cancelled> {
    match read(file, &ReadOptions::default(), progress) {
        Ok(_) => Ok(None),
        Err(ReadError { problem: ReadProblem::Cancelled(_), .. }) => Err(Cancelled),
        Err(error) => Ok(Some(text::files::cannot_be_read(file, error.problem))),
    }
}

impl Engine {
    /// Reads a file in the background, and answers with it and with `left`, the recipe that is left for a new project with
    /// it, once it is sure that it holds a model.
    pub fn try_to_read(&mut self, file: PathBuf, left: Recipe, project: u64) {
        self.errand(text::work::READING, move |progress| {
            Ok(match why_unread(&file, progress)? {
                Some(why) => Ready::NotRead(project, why),
                None => Ready::Readable(project, Box::new((file, left))),
            })
        });
    }

    /// Measures a file (length, SHA-256) in the background and answers with the edit that takes it as the
    /// stock of `project`, a number of the caller's. Where it comes in place of something, or beside it, it is read first:
    /// what holds no model changes nothing.
    pub fn measure(
        &mut self,
        file: PathBuf,
        project_dir: PathBuf,
        purpose: MeasureFor,
        project: u64,
        is_read_first: bool,
    ) {
        self.errand(text::work::READING, move |progress| {
            if is_read_first && let Some(why) = why_unread(&file, progress)? {
                return Ok(Ready::NotRead(project, why));
            }
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
                    marks_changed: manifest.marks_changed,
                    recipe: outcome.recipe.clone(),
                }))),
                Err(KitError::Cancelled) => Err(Cancelled),
                Err(error @ KitError::Exists { .. }) => Ok(Ready::KitInTheWay(folder, error.to_string())),
                Err(KitError::AmongOthers { folder, first, others }) => {
                    Ok(Ready::KitAmongOthers(folder, text::questions::other_files(&first, others)))
                }
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

    pub(super) fn errand(
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
