//! Choosing files and folders, and what is said of files.

use std::fmt::Display;
use std::path::Path;

use super::numbers::count;

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
pub const NOTHING_TO_CHOOSE: &str = "Nothing in here to choose: no folders, and no files of this kind.";
pub const SAVE_HERE: &str = "save here";
pub const OPEN_IT: &str = "open it";
pub const CANCEL: &str = "cancel";
/// What a project is called before it has a name.
pub use seamwright_project::UNNAMED;

/// What a folder for the kit of a project is called.
pub fn kit_of(name: &str) -> String {
    format!("{name} kit")
}

/// What a project is called where `n - 1` others of its name lie.
pub fn another(name: &str, n: usize) -> String {
    format!("{name} {n}")
}

/// What went wrong with a file or a folder.
pub fn trouble(path: &Path, error: impl Display) -> String {
    without_machine_talk(&format!("{}: {error}", path.display()))
}

/// Files and folders that no dialog can name.
pub fn nameless(n: usize) -> String {
    let more = count(n, "more has a name", "more have names");
    format!("{more} that cannot be read: give a new name first to what you want to open")
}

/// A folder that was used before and is not there any more.
pub fn is_gone(folder: &Path) -> String {
    format!("The folder {} is not there any more.", folder.display())
}

/// A file that was typed.
pub fn is_not_there(file: &Path) -> String {
    format!("There is no file {}. Choose it in the list, or type its name anew.", file.display())
}

/// What went wrong, without the numbers that the system gives it and without the names of files that are only there while
/// something is written.
pub fn without_machine_talk(told: &str) -> String {
    let mut told = told.to_owned();
    while let Some((from, to)) = between(&told, " (os error ", ")") {
        told.replace_range(from..to, "");
    }
    while let Some((from, to)) = between(&told, " at path \"", "\"") {
        told.replace_range(from..to, "");
    }
    told
}

/// Where what begins and ends with these words lies.
fn between(text: &str, begin: &str, end: &str) -> Option<(usize, usize)> {
    let from = text.find(begin)?;
    let within = from + begin.len();
    let to = within + text[within..].find(end)? + end.len();
    Some((from, to))
}

/// A file that was named as the model.
pub fn cannot_be_read(path: &Path, error: impl Display) -> String {
    format!("{} cannot be read: {error}. Choose another file", path.display())
}

/// A file of another kind; `ending` is that of projects.
pub fn neither(name: &str, ending: &str) -> String {
    format!(
        "{name} is neither a project ({ending}) nor a model that can be read here (.stl, .obj, .ply, .3mf). Choose \
         another file, or export the model as one of these"
    )
}

/// Autosaving failed.
pub fn not_kept_safe(trouble: &str) -> String {
    format!("Unsaved work cannot be kept safe in the background: {trouble}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_of_the_system_and_names_of_passing_files_are_not_told() {
        let told =
            "cannot write /kit (No such file or directory (os error 2) at path \"/kit/.writing-Gen0KO.stl\"): choose";
        assert_eq!(without_machine_talk(told), "cannot write /kit (No such file or directory): choose");
        assert_eq!(without_machine_talk("no room on the disk"), "no room on the disk");
        assert_eq!(without_machine_talk("left open (os error 2"), "left open (os error 2");
    }
}
