//! When the program breaks down on a fault of its own: what the maker is told, and the report.

use std::path::Path;

/// The beginning of a report.
pub const HEAD: &str = "Seamwright broke down on a fault of its own. This report stays on this machine unless you send it to someone.\n\
     It holds no model; of files only their names.\n\n";
pub const VERSION: &str = "version";
pub const SYSTEM: &str = "system";
pub const PROCESSOR: &str = "processor";
pub const AT_WORK: &str = "at work";
pub const NAMELESS: &str = "a thread without a name";
pub const WHAT: &str = "what";
pub const NO_WORDS: &str = "no words";
pub const WHERE: &str = "where";
pub const NOT_KNOWN: &str = "not known\n";

/// The recipe, and the way to the place in the program.
pub fn recipe_and_way(recipe: &str, way: &str) -> String {
    format!("\nThe recipe, without the files that it names:\n{recipe}\nThe way there:\n{way}\n")
}

/// What is said of a report.
pub fn lies_in(report: &Path) -> String {
    format!(
        "A report of what broke lies in {}. It holds the version, the place in the program and your recipe with the names \
         of files, and no model. It was sent nowhere: send it to whoever looks after the program, if you like",
        report.display()
    )
}

/// The same at the next start.
pub fn last_time(said: &str) -> String {
    format!("The program broke down the last time. {said}")
}
