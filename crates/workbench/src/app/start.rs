//! The start sheet: what was open lately, the demos, and a first job.

use seamwright_geometry::{Cancelled, Progress};
use seamwright_project::recent::{self, Recent};
use seamwright_project::{Document, Edit, Outcome};
use std::path::{Path, PathBuf};

use super::App;
use super::demos::{self, Demo};
use super::first_job::FirstJob;
use super::kit_found;
use super::state::{Line, Next, State};
use crate::text;

/// What panels ask for on the start sheet.
#[derive(Clone, Debug, PartialEq)]
pub enum StartAction {
    /// Puts the sheet away.
    Close,
    /// Opens a file that was open lately.
    Open(PathBuf),
    /// Takes a file off the list; the file itself stays.
    Forget(PathBuf),
    /// Opens a copy of a demo.
    OpenDemo(PathBuf),
    /// Opens a copy of a demo without asking about unsaved work.
    OpenDemoNow(PathBuf),
    /// Begins the first job without asking about unsaved work.
    FirstJobNow,
}

/// The start sheet.
#[derive(Clone, Debug, Default)]
pub struct StartDesk {
    /// It was asked for, although a model is open.
    pub open: bool,
    /// What it lists; `None` until it was looked up.
    pub found: Option<StartFound>,
    /// Where the list of recent files is kept; `None` on a machine that names no folder for settings.
    pub kept_in: Option<PathBuf>,
    /// Where demos are looked for.
    pub demo_folders: Vec<PathBuf>,
    /// It is being looked up.
    asked: bool,
}

/// What is on the sheet.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct StartFound {
    /// What was open lately, newest first.
    pub recents: Vec<RecentFile>,
    /// Why that could not be read, if so.
    pub trouble: Option<String>,
    /// The demos.
    pub demos: Vec<Demo>,
}

/// A file that was open lately, as it is now.
#[derive(Clone, Debug, PartialEq)]
pub struct RecentFile {
    /// What is kept of it.
    pub recent: Recent,
    /// How long it is, bytes; `None` where it is not there any more.
    pub bytes: Option<u64>,
}

/// What a worker looks up: files may lie on a disk that answers slowly or not at all.
#[derive(Clone, Debug)]
pub struct LookUp {
    kept_in: Option<PathBuf>,
    demo_folders: Vec<PathBuf>,
}

/// Looks up what is on the sheet.
pub fn look_up(asked: &LookUp, progress: &Progress) -> Result<StartFound, Cancelled> {
    let (recents, trouble) = match asked.kept_in.as_deref().map(recent::load) {
        Some(Ok(recents)) => (recents, None),
        Some(Err(error)) => (Vec::new(), Some(error.to_string())),
        None => (Vec::new(), None),
    };
    let now = |recent: Recent| {
        let facts = recent.path.metadata().ok().filter(std::fs::Metadata::is_file);
        RecentFile { bytes: facts.map(|facts| facts.len()), recent }
    };
    let recents = recents.into_iter().map(now).collect();
    Ok(StartFound { recents, trouble, demos: demos::find(&asked.demo_folders, progress)? })
}

impl State {
    /// Whether the start sheet lies on the bench: there is no model, or it was asked for.
    pub fn shows_start(&self) -> bool {
        self.start.open || self.is_bench_bare()
    }

    /// Whether there is no model, and none is on its way.
    pub fn is_bench_bare(&self) -> bool {
        self.recipe().stock.is_none() && self.work.is_none()
    }
}

impl App {
    pub(super) fn apply_start(&mut self, action: StartAction) {
        match action {
            StartAction::Close => self.state.start.open = false,
            StartAction::Open(path) if super::files::is_model(&path.to_string_lossy()) => {
                self.leaving(Next::NewFrom(path));
            }
            StartAction::Open(path) => self.leaving(Next::Open(path)),
            StartAction::Forget(path) => self.forget_recent(&path),
            StartAction::OpenDemo(path) => self.leaving(Next::Demo(path)),
            StartAction::OpenDemoNow(path) => self.open_demo(&path),
            StartAction::FirstJobNow => self.begin_first_job(),
        }
    }

    /// Looks up what is on the sheet, once it is to be seen.
    pub(super) fn update_start(&mut self) {
        let start = &mut self.state.start;
        // The first job needs to know where the demo is.
        if start.found.is_some() || start.asked || !(start.open || self.state.document.recipe().stock.is_none()) {
            return;
        }
        start.asked = true;
        self.engine.look_up(LookUp { kept_in: start.kept_in.clone(), demo_folders: start.demo_folders.clone() });
    }

    /// Takes what was looked up.
    pub(super) fn take_start(&mut self, found: StartFound) {
        self.state.start.asked = false;
        self.state.start.found = Some(found);
    }

    /// Opens a demo as a project of its own without a file, so that no saving writes over the demo.
    pub(super) fn open_demo(&mut self, path: &Path) {
        match Document::copy_of(path, |_| {}) {
            Ok(document) => self.take_document(document),
            Err(error) => self.not_opened(error),
        }
    }

    /// Begins the first job on the demo helm with its last cut taken away, so that one is left to be placed; where the
    /// demo is not there, on whatever model the maker opens.
    pub(super) fn begin_first_job(&mut self) {
        let demos = self.state.start.found.as_ref().map_or(&[][..], |found| found.demos.as_slice());
        let helm = demos.iter().find(|demo| demo.name == demos::FIRST && demo.model.is_some());
        if let Some(path) = helm.map(|demo| demo.path.clone()) {
            let without_last = |recipe: &mut seamwright_project::Recipe| {
                if let Some(last) = recipe.cuts.last().map(|cut| cut.id)
                    && let Ok(without) = Edit::RemoveCut(last).apply(recipe)
                {
                    *recipe = without;
                }
            };
            match Document::copy_of(&path, without_last) {
                Ok(document) => self.take_document(document),
                Err(error) => return self.not_opened(error),
            }
            self.state.open_line = Some(Line::Stock);
        }
        self.state.start.open = false;
        self.state.first_job = Some(FirstJob::begun(&self.state));
    }

    /// Remembers that a file was opened or saved.
    pub(super) fn note_recent(&mut self, path: &Path) {
        let path = std::path::absolute(path).unwrap_or_else(|_| path.into());
        self.keep_recent(Recent::now(path.clone()));
        let (list, folder) = (self.state.start.kept_in.as_ref(), self.state.kit_folder.as_ref());
        let (Some(list), Some(folder)) = (list, folder) else { return };
        if let Err(error) = recent::note_kit(list, &path, folder) {
            self.state.messages.error(text::start::not_kept(error));
        }
    }

    /// Remembers where the kit of this project was made, on this machine: what has no file yet is remembered once it is
    /// saved.
    pub(super) fn note_kit(&mut self, folder: &Path) {
        let folder = std::path::absolute(folder).unwrap_or_else(|_| folder.into());
        self.state.kit_folder = Some(folder);
        if let Some(path) = self.state.document.path().map(Path::to_path_buf) {
            self.note_recent(&path);
        }
    }

    /// Looks up where the kit of the project that was just opened was made last, and whether one lies there or beside it.
    pub(super) fn look_for_kit(&mut self, path: &Path) {
        let path = std::path::absolute(path).unwrap_or_else(|_| path.into());
        // A list that cannot be read is told of where it is shown.
        let known = self.state.start.kept_in.as_deref().and_then(|list| recent::kit_of(list, &path).ok()).flatten();
        self.state.kit_found = kit_found::find(self.state.recipe(), &self.state.document.folder(), known.as_deref());
        self.state.kit_folder = known;
    }

    /// Remembers how large the model of the newest results is, beside the file that it was opened from.
    pub(super) fn note_figures(&mut self, outcome: &Outcome) {
        let Some(path) = self.recent_path.clone() else { return };
        let Some(stock) = &outcome.stock else { return };
        let size_mm = outcome.bounds().map(|bounds| bounds.size().into());
        let triangles = Some(stock.report.triangles as u64);
        let pieces = (!outcome.pieces.is_empty()).then_some(outcome.pieces.len() as u64);
        let likeness = self.state.bodies.likeness.as_deref().cloned();
        let figures = Recent { size_mm, triangles, pieces, likeness, ..Recent::now(path) };
        // When it was opened is none of the figures.
        let as_noted = |noted: &Recent| Recent { opened: figures.opened, ..noted.clone() } == figures;
        if self.recent_figures.as_ref().is_some_and(as_noted) {
            return;
        }
        self.recent_figures = Some(figures.clone());
        self.keep_recent(figures);
    }

    fn keep_recent(&mut self, entry: Recent) {
        let Some(list) = self.state.start.kept_in.clone() else { return };
        self.recent_path = Some(entry.path.clone());
        if let Err(error) = recent::note(&list, entry) {
            self.state.messages.error(text::start::not_kept(error));
        }
        self.state.start.found = None;
    }

    fn forget_recent(&mut self, path: &Path) {
        let Some(list) = self.state.start.kept_in.clone() else { return };
        if let Err(error) = recent::forget(&list, path) {
            self.state.messages.error(error);
        }
        self.state.start.found = None;
    }
}
