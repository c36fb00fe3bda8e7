//! What must be answered before anything else, and what goes on then.

use std::path::PathBuf;
use std::time::SystemTime;

use seamwright_project::Recipe;

/// A question that must be answered before anything else.
#[derive(Clone, Debug, PartialEq)]
pub enum Question {
    /// Unsaved work would be lost by what was asked for.
    Unsaved(Next),
    /// Unsaved work of an earlier run was found.
    Recover {
        /// The work.
        recipe: Box<Recipe>,
        /// The project file that it belongs to; `None` for work that had no file yet.
        of: Option<PathBuf>,
        /// When it was kept.
        kept: Option<SystemTime>,
    },
    /// A model was dropped on a project that has one.
    Dropped(PathBuf),
    /// Another model was chosen for a project that has cuts, bores or mends.
    OtherModel(PathBuf),
    /// Saving would replace a file.
    ReplaceFile(PathBuf),
    /// Saving would replace a demo that came with the program.
    ReplaceDemo(PathBuf),
    /// A kit is there already.
    ReplaceKit {
        /// The folder.
        folder: PathBuf,
        /// What is in the way.
        why: String,
    },
    /// A kit would lie among files of other kinds.
    KitAmongOthers {
        /// The folder.
        folder: PathBuf,
        /// A new one within it.
        within: PathBuf,
        /// What lies there, in words.
        what: String,
    },
}

/// What goes on once unsaved work is safe.
#[derive(Clone, Debug, PartialEq)]
pub enum Next {
    /// An empty project.
    New,
    /// A new project with this model.
    NewFrom(PathBuf),
    /// This project.
    Open(PathBuf),
    /// A copy of this demo.
    Demo(PathBuf),
    /// The first job.
    FirstJob,
    /// The choice of what to open.
    AskWhatToOpen,
    /// Nothing: the window closes.
    Close,
}
