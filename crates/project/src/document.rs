//! An open project: its history, its file, and whether it holds unsaved work.

use std::path::{Path, PathBuf};

use crate::edit::{Edit, EditError};
use crate::history::History;
use crate::recipe::Recipe;
use crate::store::{self, StoreError};

/// An open project.
#[derive(Clone, Debug)]
pub struct Document {
    history: History,
    path: Option<PathBuf>,
    saved: Option<Recipe>,
    autosaved: Option<Recipe>,
}

impl Document {
    /// A new project without a file.
    pub fn new(recipe: Recipe) -> Document {
        Document { history: History::new("begin a new project", recipe), path: None, saved: None, autosaved: None }
    }

    /// Opens a project file.
    pub fn open(path: &Path) -> Result<Document, StoreError> {
        let recipe = store::open(path)?;
        Ok(Document {
            history: History::new("open the project", recipe.clone()),
            path: Some(path.into()),
            saved: Some(recipe),
            autosaved: None,
        })
    }

    /// Begins a project with what another one holds, and without its file: saving asks where. `change` is made to it
    /// before anything is remembered.
    pub fn copy_of(path: &Path, change: impl FnOnce(&mut Recipe)) -> Result<Document, StoreError> {
        let mut recipe = store::open(path)?;
        let mut document = Document::new(Recipe::new(recipe.name.clone()));
        see_from(&mut recipe, &folder_of(path), &document.folder());
        change(&mut recipe);
        document.history = History::new("begin with a copy", recipe);
        Ok(document)
    }

    /// Puts recovered work on top of what the file holds, as one step that undo takes back.
    pub fn recover(&mut self, recipe: Recipe) {
        self.history.push("recover unsaved work", recipe);
    }

    /// The current recipe.
    pub fn recipe(&self) -> &Recipe {
        self.history.recipe()
    }

    /// All steps.
    pub fn history(&self) -> &History {
        &self.history
    }

    /// Makes a change.
    pub fn apply(&mut self, edit: &Edit) -> Result<(), EditError> {
        self.history.apply(edit)
    }

    /// Goes back one step; `false` at the beginning.
    pub fn undo(&mut self) -> bool {
        self.history.undo()
    }

    /// Goes forward one step; `false` at the end.
    pub fn redo(&mut self) -> bool {
        self.history.redo()
    }

    /// Goes to any step.
    pub fn go_to(&mut self, step: usize) {
        self.history.go_to(step);
    }

    /// The project file, once there is one.
    pub fn path(&self) -> Option<&Path> {
        self.path.as_deref()
    }

    /// The folder that source paths are relative to: that of the project file, or the working folder.
    pub fn folder(&self) -> PathBuf {
        self.path.as_deref().map_or_else(|| PathBuf::from("."), folder_of)
    }

    /// Whether closing now would lose something.
    pub fn is_unsaved(&self) -> bool {
        match &self.saved {
            Some(saved) => saved != self.recipe(),
            // Nothing was saved: what it began with loses nothing.
            None => self.history.steps().first().is_some_and(|first| first.recipe != *self.recipe()),
        }
    }

    /// Saves to the project file, or to `path` from now on. Source paths are rewritten when the folder changes.
    pub fn save(&mut self, path: Option<&Path>) -> Result<(), StoreError> {
        let old_folder = self.folder();
        let target = match path.or(self.path.as_deref()) {
            Some(target) => target.to_path_buf(),
            None => {
                let error = std::io::Error::new(std::io::ErrorKind::InvalidInput, "the project has no file yet");
                return Err(StoreError::Write { path: PathBuf::new(), error });
            }
        };
        let new_folder = folder_of(&target);
        let seen_from_there = |recipe: &mut Recipe| see_from(recipe, &old_folder, &new_folder);
        let mut recipe = self.recipe().clone();
        seen_from_there(&mut recipe);
        store::save(&target, &recipe)?;
        // Every step: undo must find the source too.
        self.history.rewrite(seen_from_there);
        self.path = Some(target);
        self.saved = Some(recipe);
        self.autosaved = None;
        Ok(())
    }

    /// Keeps unsaved work safe: beside the project file, or at `spare` for work that has no file yet. Does nothing
    /// where nothing changed since the last time; forgets what it kept once that was taken back by undo.
    pub fn autosave(&mut self, spare: &Path) -> Result<(), StoreError> {
        let target = self.path.clone().unwrap_or_else(|| spare.into());
        if !self.is_unsaved() {
            if self.autosaved.take().is_some() {
                store::discard_autosave(&target);
            }
            return Ok(());
        }
        if self.autosaved.as_ref() == Some(self.recipe()) {
            return Ok(());
        }
        let mut recipe = self.recipe().clone();
        if self.path.is_none() {
            see_from(&mut recipe, &self.folder(), &folder_of(spare));
        }
        store::autosave(&target, &recipe)?;
        self.autosaved = Some(self.recipe().clone());
        Ok(())
    }
}

fn folder_of(path: &Path) -> PathBuf {
    match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder.into(),
        _ => PathBuf::from("."),
    }
}

/// Rewrites the paths of the sources, which were relative to `old_folder`, so that they are relative to `new_folder`.
fn see_from(recipe: &mut Recipe, old_folder: &Path, new_folder: &Path) {
    for source in recipe.stock.iter_mut().chain(&mut recipe.beside) {
        source.path = store::relative_path(&store::resolve_source(source, old_folder), new_folder);
    }
}
