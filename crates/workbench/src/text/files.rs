//! Choosing files and folders, and what is said of files.

use std::fmt::Display;
use std::path::Path;

pub const OPEN: &str = "Open a project or a model";
pub const OPEN_STOCK: &str = "Choose the model";
pub const RELOCATE: &str = "Where is the model now?";
pub const ADD_SOURCE: &str = "Choose a further file of the same model";
pub const SAVE: &str = "Save the project";
pub const KIT_FOLDER: &str = "Choose a folder for the kit";
pub const SYSTEM_IS_OPEN: &str = "The system's file dialog is open. It may lie behind this window.";
pub const USE_OWN: &str = "use the built-in one instead";
pub const PROJECTS_AND_MODELS: &str = "projects and models";
pub const MODELS: &str = "models";
pub const PROJECTS: &str = "projects";
pub const FOLDER: &str = "folder";
pub const UP: &str = "up";
pub const UP_HINT: &str = "The folder that this one is in";
pub const HOME: &str = "home";
pub const HOME_HINT: &str = "Your own folder";
pub const FILE: &str = "file";
pub const HIDDEN_TOO: &str = "hidden ones too";
pub const USE_FOLDER: &str = "use this folder";
pub const USE_FOLDER_HINT: &str = "The folder whose content is listed";
pub const NEW_FOLDER: &str = "new folder";
pub const MAKE_FOLDER: &str = "make it and use it";
pub const MAKE_FOLDER_HINT: &str = "Makes this folder in the one above, and writes the kit into it";
pub const USE_NAMED: &str = "use it";
pub const NO_FOLDERS: &str = "No folders in here.";
pub const SAVE_HERE: &str = "save here";
pub const OPEN_IT: &str = "open it";
pub const CANCEL: &str = "cancel";
/// What a project is called before it has a name.
pub use seamwright_project::UNNAMED;

/// What a folder for the kit of a project is called.
pub fn kit_of(name: &str) -> String {
    format!("{name} kit")
}

/// What went wrong with a file or a folder.
pub fn trouble(path: &Path, error: impl Display) -> String {
    format!("{}: {error}", path.display())
}

/// A file that was named as the model.
pub fn cannot_be_read(path: &Path, error: impl Display) -> String {
    format!("{} cannot be read: {error}. Choose another file", path.display())
}

/// A file of another kind; `ending` is that of projects.
pub fn neither(name: &str, ending: &str) -> String {
    format!("{name} is neither a project ({ending}) nor a model that can be read here (.stl, .obj, .ply, .3mf)")
}

/// Autosaving failed.
pub fn not_kept_safe(trouble: &str) -> String {
    format!("Unsaved work cannot be kept safe in the background: {trouble}")
}
