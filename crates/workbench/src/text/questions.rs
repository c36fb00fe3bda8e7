//! Questions that must be answered before anything else.

use std::path::Path;

use super::common::cuts;
use super::numbers::count;

pub const REPLACE_FILE: &str = "Replace this file?";
pub const REPLACE_IT: &str = "replace it";
pub const KEEP_IT: &str = "keep it";
pub const REPLACE_DEMO: &str = "Replace the demo?";
pub const REPLACE_KIT: &str = "Write over an earlier kit?";
pub const REPLACE_FILES: &str = "replace those files";
pub const KEEP_THEM: &str = "keep them";
pub const KIT_AMONG_OTHERS: &str = "Write the kit among other files?";
pub const AMONG_THEM: &str = "among them";
pub const ELSEWHERE: &str = "elsewhere";
pub const SAVE_FIRST: &str = "Save first?";
pub const SAVE: &str = "save first";
pub const GO_ON: &str = "go on without saving";
pub const CLOSE: &str = "close without saving";
pub const STAY: &str = "stay";
pub const RECOVER: &str = "Recover unsaved work?";
pub const RECOVER_IT: &str = "recover it";
pub const LATER: &str = "later";
pub const FORGET_IT: &str = "forget it";
pub const NEW_PROJECT: &str = "a new project";
pub const PART_OF_MODEL: &str = "part of this model";
pub const MODEL_OF_PROJECT: &str = "the model of this project";
pub const SAME_ON_IT: &str = "the same on this model";
pub const NOTHING: &str = "nothing";

/// A file would be written over.
pub fn is_there(path: &Path) -> String {
    format!("{} is there already.", path.display())
}

/// What lies in a folder, by the name of the first and how much more there is.
pub fn other_files(first: &str, others: usize) -> String {
    if others == 0 { first.to_owned() } else { format!("{first} and {others} more") }
}

/// A kit would lie among files of other kinds.
pub fn among_others(folder: &Path, what: &str) -> String {
    format!(
        "{} holds other files already: {what}. Pieces are easier to find in a folder of their own.",
        folder.display()
    )
}

/// The answer that makes a folder of its own within that one.
pub fn new_folder(name: &str) -> String {
    format!("into a new folder in it, {name}")
}

/// A demo would be written over.
pub fn is_demo(path: &Path) -> String {
    format!("{} came with the program: whoever opens that demo later would find your changes in it.", path.display())
}

/// Changes would be lost.
pub fn unsaved(name: &str) -> String {
    format!("There are changes of {name} that are not saved.")
}

/// `2 bores and 5 cuts`: how many mends, bores and cuts there are, as far as there are any.
fn holds([n_mends, n_bores, n_cuts]: [usize; 3]) -> String {
    let told = [(n_mends, count(n_mends, "mend", "mends")), (n_bores, count(n_bores, "bore", "bores"))];
    let mut told: Vec<String> = told.into_iter().filter(|(n, _)| *n > 0).map(|(_, told)| told).collect();
    if n_cuts > 0 || told.is_empty() {
        told.push(cuts(n_cuts));
    }
    match told.as_slice() {
        [first @ .., last] if !first.is_empty() => format!("{} and {last}", first.join(", ")),
        told => told.concat(),
    }
}

/// Another model was chosen, and there is one already with work on it.
pub fn has_model_and(name: &str, of: [usize; 3]) -> String {
    format!("{name} has a model already, with {}. On another model they lie where they lay on this one.", holds(of))
}

/// Work of an earlier run with so many mends, bores and cuts, and when it was kept; `has_file` where it was saved once.
pub fn recover(name: &str, of: [usize; 3], kept: Option<&str>, has_file: bool) -> String {
    let kept = kept.map_or_else(String::new, |kept| format!(", kept {kept}"));
    let what = format!("{name}, with {}{kept}", holds(of));
    if has_file {
        format!("An earlier run ended before its last changes were saved: {what}. Undo takes the recovery back.")
    } else {
        format!("An earlier run ended before its work was saved anywhere: {what}.")
    }
}

/// A model was dropped on the window.
pub fn what_is(file: &str) -> String {
    format!("What is {file} to be?")
}

/// And there is one already.
pub fn has_model(name: &str) -> String {
    format!("{name} has a model already.")
}
