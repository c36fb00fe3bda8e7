//! Opening: projects, models, what was dropped on the window, and the stock of a project.

use std::path::{Path, PathBuf};

use seamwright_project::{Document, Edit, Recipe, as_file_name, store};

use super::action::Action;
use super::engine::MeasureFor;
use super::files::{Choice, Purpose, is_model, is_project, with_project_ending};
use super::state::{Line, Next, Question, State};
use super::{App, modified};
use crate::text;

impl App {
    /// Asks for a file or folder.
    pub(super) fn choose(&mut self, purpose: Purpose) {
        let document = &self.state.document;
        // A folder that was used before is proposed as it is; where it is gone, the dialog says so.
        let used = self.state.kit_folder.as_ref().filter(|_| purpose == Purpose::KitFolder);
        let start = used.cloned().unwrap_or_else(|| self.home_folder());
        let start = if used.is_none() && self.is_of_demos(&start) { self.own_folder() } else { start };
        let start = start.canonicalize().unwrap_or(start);
        let own = document.path().filter(|path| !self.is_demo(path));
        let name = match own.and_then(Path::file_name) {
            _ if used.is_some() => String::new(),
            _ if purpose == Purpose::KitFolder => text::files::kit_of(&as_file_name(&document.recipe().name)),
            Some(name) => name.to_string_lossy().into_owned(),
            None => free_name(&start, &as_file_name(&document.recipe().name)),
        };
        self.chooser.ask(purpose, start, &name, self.wake.clone());
    }

    /// The folder of the project, or that of its model while it has no file.
    fn home_folder(&self) -> PathBuf {
        let folder = self.state.document.folder();
        match (self.state.document.path(), &self.state.recipe().stock) {
            (None, Some(source)) => store::resolve_source(source, &folder).parent().map_or(folder, Path::to_path_buf),
            _ => folder,
        }
    }

    /// Goes on with what was chosen.
    pub(super) fn chosen(&mut self, choice: Choice) {
        let Choice { purpose, path, replacement_agreed } = choice;
        let name = path.to_string_lossy().into_owned();
        match purpose {
            // Unsaved work was asked about before the choice.
            Purpose::Open if is_model(&name) => self.new_from(path),
            Purpose::Open if may_be_project(&name) => self.open_now(path),
            Purpose::Open => self.not_opened(text::files::neither(&name, store::EXTENSION)),
            Purpose::OpenStock if self.has_work_on_model() => self.ask_question(Question::OtherModel(path)),
            Purpose::OpenStock => self.measure(path, MeasureFor::NewStock),
            Purpose::RelocateStock => self.measure(path, MeasureFor::Relocation),
            Purpose::RelocateSource(at) => self.measure(path, MeasureFor::RelocationBeside(at)),
            Purpose::AddSource => self.measure(path, MeasureFor::Beside),
            Purpose::KitFolder => self.write_kit(path, false),
            Purpose::SaveAs => {
                let with_ending = with_project_ending(path.clone());
                let same_as_now = self.state.document.path() == Some(with_ending.as_path());
                let agreed = (replacement_agreed && with_ending == path) || same_as_now;
                // Demos are taken again and again: none is written over without being asked about by its name.
                if self.is_demo(&with_ending) {
                    self.ask_question(Question::ReplaceDemo(with_ending));
                } else if with_ending.exists() && !agreed {
                    self.ask_question(Question::ReplaceFile(with_ending));
                } else {
                    self.save_to(Some(with_ending));
                }
            }
        }
    }

    /// Whether another model would be cut, bored or mended as the one that stands here is.
    fn has_work_on_model(&self) -> bool {
        let recipe = self.state.recipe();
        let is_there = self.state.outcome.as_ref().is_some_and(|outcome| outcome.stock.is_some());
        is_there && !(recipe.cuts.is_empty() && recipe.bores.is_empty() && recipe.mends.is_empty())
    }

    /// A file that was dropped on the window, or named when the program was started.
    pub(super) fn open_any(&mut self, path: PathBuf) {
        let name = path.to_string_lossy().into_owned();
        self.state.unopened = None;
        if is_model(&name) {
            let pristine = self.state.recipe().stock.is_none();
            if pristine && self.state.document.path().is_none() {
                self.new_from(path);
            } else if pristine {
                self.measure(path, MeasureFor::NewStock);
            } else {
                self.ask_question(Question::Dropped(path));
            }
        } else if may_be_project(&name) {
            self.leaving(Next::Open(path));
        } else {
            self.not_opened(text::files::neither(&name, store::EXTENSION));
        }
    }

    /// Says that a file could not be opened: where one begins, or among the notes, until another one is opened.
    pub(super) fn not_opened(&mut self, why: impl ToString) {
        self.state.unopened = Some(text::files::without_machine_talk(&why.to_string()));
    }

    /// Goes on to `next`, after asking where unsaved work would be lost.
    pub(super) fn leaving(&mut self, next: Next) {
        if self.state.document.is_unsaved() {
            self.ask_question(Question::Unsaved(next));
        } else {
            self.go_on(next);
        }
    }

    /// Goes on to `next`; unsaved work is safe or given up.
    pub(super) fn go_on(&mut self, next: Next) {
        match next {
            Next::New => self.new_now(),
            Next::NewFrom(path) => self.new_from(path),
            Next::Open(path) => self.open_now(path),
            Next::Demo(path) => self.open_demo(&path),
            Next::FirstJob => self.begin_first_job(),
            Next::AskWhatToOpen => self.choose(Purpose::Open),
            Next::Close => self.queue.push(Action::CloseNow),
        }
    }

    /// Opens a project.
    pub(super) fn open_now(&mut self, path: PathBuf) {
        match Document::open(&path) {
            Ok(document) => {
                self.take_document(document);
                self.state.saved_at = modified(&path);
                self.look_for_kit(&path);
                self.note_recent(&path);
                if let Some(recipe) = store::recoverable(&path) {
                    self.ask_question(Question::Recover {
                        kept: store::autosaved_at(&path),
                        recipe: Box::new(recipe),
                        of: Some(path),
                    });
                }
            }
            Err(error) => self.not_opened(error),
        }
    }

    /// Begins an empty project.
    pub(super) fn new_now(&mut self) {
        self.take_document(Document::new(Recipe::new(text::files::UNNAMED)));
    }

    /// Begins a project with a model. A project that is open stays until it is sure that the model can be read.
    pub(super) fn new_from(&mut self, path: PathBuf) {
        if self.state.recipe().stock.is_none() {
            return self.begin_with(path);
        }
        self.state.unopened = None;
        self.engine.try_to_read(path, self.state.recipe().clone(), self.project);
    }

    /// The model for a new project can be read; `left` is what was to be left for it.
    pub(super) fn readable(&mut self, path: PathBuf, left: &Recipe) {
        if self.state.recipe() == left {
            self.begin_with(path);
        } else {
            // Work that was done meanwhile was not asked about.
            self.leaving(Next::NewFrom(path));
        }
    }

    /// Begins a project with a model, named after its file.
    fn begin_with(&mut self, path: PathBuf) {
        let name = path.file_stem().map(|n| n.to_string_lossy().into_owned()).unwrap_or_default();
        self.take_document(Document::new(Recipe::new(if name.is_empty() {
            text::files::UNNAMED.into()
        } else {
            name
        })));
        // It is remembered once it could be read.
        self.recent_path = Some(std::path::absolute(&path).unwrap_or_else(|_| path.clone()));
        self.measure(path, MeasureFor::NewStock);
    }

    /// Measures a file in the background; it becomes the stock after that.
    pub(super) fn measure(&mut self, path: PathBuf, purpose: MeasureFor) {
        self.state.unopened = None;
        // On an empty bench nothing is lost, and what is wrong with the file stands where another one is chosen.
        let is_read_first = self.state.recipe().stock.is_some();
        self.engine.measure(path, self.state.document.folder(), purpose, self.project, is_read_first);
    }

    /// A file was measured: it becomes the stock.
    pub(super) fn stock_measured(&mut self, edit: Edit) {
        // The same file, back in its place, is no edit but must be looked at again.
        self.engine.forget();
        self.state.start.open = false;
        self.apply_edit(edit);
    }

    /// Shows another project; the one before is left.
    pub(super) fn take_document(&mut self, document: Document) {
        self.recovery.leave(&self.state);
        self.project += 1;
        let open_line = match document.recipe().stock {
            Some(_) => Line::Cuts,
            None => Line::Stock,
        };
        let (mut messages, order) = (std::mem::take(&mut self.state.messages), self.state.order);
        messages.leave_project();
        self.engine.forget();
        self.live.clear();
        self.earlier.clear();
        (self.last_look, self.recent_path) = (None, None);
        let mut start = std::mem::take(&mut self.state.start);
        start.open = false;
        let beds = super::beds::BedDesk { shown: 0, ..std::mem::take(&mut self.state.beds) };
        let manual = self.state.manual;
        self.state = State { messages, order, beds, start, manual, open_line: Some(open_line), ..State::new(document) };
    }
}

/// What a project called `name` can be saved as in `folder` without being in the way of another.
fn free_name(folder: &Path, name: &str) -> String {
    let numbered = (2..MOST_TRIED).map(|n| text::files::another(name, n));
    let names = std::iter::once(name.to_owned()).chain(numbered).map(|name| format!("{name}{}", store::EXTENSION));
    let mut free = names.filter(|name| folder.join(name).symlink_metadata().is_err());
    // Where all are taken, it is asked about.
    free.next().unwrap_or_else(|| format!("{name}{}", store::EXTENSION))
}

/// So many names are tried at most (our own choice, no source).
const MOST_TRIED: usize = 1000;

/// Whether a file is named as a project is, or as one that was renamed.
fn may_be_project(name: &str) -> bool {
    is_project(name) || name.to_lowercase().ends_with(".json")
}
