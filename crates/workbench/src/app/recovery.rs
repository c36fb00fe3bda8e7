//! Unsaved work survives a crash: autosave while working, an offer at the next start.

use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use seamwright_project::{Document, Recipe, store};

use super::App;
use super::state::{Question, State};
use crate::text;

/// How often unsaved work is kept safe: what a maker would mind doing again.
const AUTOSAVE_EVERY: Duration = Duration::from_secs(20);

/// Keeps unsaved work safe.
#[derive(Debug)]
pub(super) struct Recovery {
    spare_folder: PathBuf,
    /// Stands for the file of a project that has none yet; its own for every run.
    spare: PathBuf,
    /// What an earlier run left, while the maker is asked about it.
    offered: Option<PathBuf>,
    due: Instant,
    complained: bool,
}

impl Recovery {
    pub(super) fn new(spare_folder: PathBuf) -> Recovery {
        let spare = spare_folder.join(format!("unsaved-{}{}", std::process::id(), store::EXTENSION));
        Recovery { spare_folder, spare, offered: None, due: super::now() + AUTOSAVE_EVERY, complained: false }
    }

    /// Keeps unsaved work safe if it is time.
    pub(super) fn autosave_when_due(&mut self, state: &mut State, ctx: &egui::Context) {
        if !state.document.is_unsaved() {
            return;
        }
        let now = super::now();
        if now < self.due {
            ctx.request_repaint_after(self.due - now);
            return;
        }
        self.due = now + AUTOSAVE_EVERY;
        self.autosave_now(state);
    }

    /// Keeps unsaved work safe. Trouble is said once.
    pub(super) fn autosave_now(&mut self, state: &mut State) {
        if !state.document.is_unsaved() {
            return;
        }
        let folder = if state.document.path().is_none() { std::fs::create_dir_all(&self.spare_folder) } else { Ok(()) };
        let trouble = match folder {
            Ok(()) => state.document.autosave(&self.spare).err().map(|e| e.to_string()),
            Err(error) => Some(text::files::trouble(&self.spare_folder, error)),
        };
        if let (Some(trouble), false) = (&trouble, self.complained) {
            state.messages.error(text::files::not_kept_safe(trouble));
        }
        self.complained = trouble.is_some();
    }

    /// The project was saved: nothing is left to recover.
    pub(super) fn saved(&mut self) {
        store::discard_autosave(&self.spare);
    }

    /// The project is left: what was not saved was given up.
    pub(super) fn leave(&mut self, state: &State) {
        store::discard_autosave(state.document.path().unwrap_or(&self.spare));
    }

    /// Work without a file that an earlier run, which runs no more, left behind.
    fn left_behind(&self) -> Option<(PathBuf, Recipe)> {
        let entries = std::fs::read_dir(&self.spare_folder).ok()?;
        let mut left: Vec<PathBuf> = entries.filter_map(|entry| project_of_autosave(&entry.ok()?.path())).collect();
        left.sort();
        left.into_iter().filter(|path| *path != self.spare && !is_running(path)).find_map(|path| {
            let recipe = store::recoverable(&path)?;
            Some((path, recipe))
        })
    }
}

impl App {
    /// Offers work that an earlier run left behind and that had no file yet.
    pub(super) fn offer_spare_recovery(&mut self) {
        if let Some((path, recipe)) = self.recovery.left_behind() {
            let kept = store::autosaved_at(&path);
            self.recovery.offered = Some(path);
            self.ask_question(Question::Recover { recipe: Box::new(recipe), of: None, kept });
        }
    }

    /// Puts recovered work on top.
    pub(super) fn recover(&mut self, mut recipe: Recipe) {
        if let Some(path) = self.recovery.offered.take() {
            let from = path.parent().unwrap_or(Path::new("."));
            let mut document = Document::new(Recipe::new(recipe.name.clone()));
            if let Some(source) = &mut recipe.stock {
                source.path = store::relative_path(&store::resolve_source(source, from), &document.folder());
            }
            document.recover(recipe);
            self.take_document(document);
            // Safe under this run's own name before the old one goes.
            self.recovery.autosave_now(&mut self.state);
            store::discard_autosave(&path);
        } else {
            self.state.document.recover(recipe);
            self.recipe_changed();
        }
    }

    /// Leaves recovered work where it is kept: the next start offers it again.
    pub(super) fn recover_later(&mut self) {
        self.recovery.offered = None;
    }

    /// Forgets recovered work.
    pub(super) fn decline_recovery(&mut self) {
        match self.recovery.offered.take() {
            Some(path) => store::discard_autosave(&path),
            None => {
                if let Some(path) = self.state.document.path() {
                    store::discard_autosave(path);
                }
            }
        }
    }
}

/// `a/unsaved-7.seamwright.json` for `a/unsaved-7.seamwright.json.autosave`.
fn project_of_autosave(path: &Path) -> Option<PathBuf> {
    let name = path.file_name()?.to_str()?;
    let project = name.strip_suffix(".autosave")?;
    name.starts_with("unsaved-").then(|| path.with_file_name(project))
}

/// Whether the run that keeps its work here still runs; where that can't be told, it doesn't.
fn is_running(spare: &Path) -> bool {
    let name = spare.file_name().map(|n| n.to_string_lossy().into_owned()).unwrap_or_default();
    let id = name.trim_start_matches("unsaved-").trim_end_matches(store::EXTENSION);
    id.parse::<u32>().is_ok_and(|id| Path::new(&format!("/proc/{id}")).exists())
}
