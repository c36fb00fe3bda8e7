//! The start sheet, and what a glance at a file tells.

use std::path::Path;

use super::common::{cuts, faces, pieces};
use super::numbers::{bytes, sizes};

pub const BEGIN: &str = "Begin";
pub const CHOOSE_MODEL: &str = "choose a model…";
pub const OPEN_PROJECT: &str = "open a project…";
pub const FIRST_JOB: &str = "show me how: a first job";
pub const MANUAL: &str = "manual";
pub const DROP: &str = "Or drop a model (STL, OBJ, PLY, 3MF) or a project anywhere on this window.";
pub const LOOKING: &str = "looking what is there…";
pub const LATELY: &str = "Lately on the bench";
pub const NOTHING_YET: &str = "Nothing yet. What you open is listed here, on this machine and nowhere else.";
pub const DEMOS: &str = "Demos: The Saltgate Sentinel";
pub const NO_DEMOS: &str = "They were not found. They come in a folder named demo-projects: put it beside the program, and \
                            start the program again.";
pub const TAKE_OFF: &str = "take off the list";
pub const TAKE_OFF_HINT: &str = "The list forgets it, and where its kit was made; no file is touched";
pub const GONE: &str = "not there any more: ";
pub const DEMO_WITHOUT_MODEL: &str =
    "its model is missing: put the folder demo-projects, as it came, beside the program";
pub const DEMO_HINT: &str = "Opens as a copy without a file: the demo itself stays as it is";
pub const HELM: &str = "teaches: cuts along fins, brow and face, two of them tilted";
pub const CUIRASS: &str = "teaches: a large plate in nine pieces, some turned to fit the bed";
pub const GLAIVE: &str = "teaches: two metres in eight pieces, with a rod through all of them";
pub const WHAT_IT_DOES: &str = "What happens here";
/// What the program does, step by step.
pub const STEPS: [&str; 3] = [
    "Bring in a model and give it its real size.",
    "Cut it where seams are hidden best. Both sides tell at once whether they fit your bed.",
    "Leave with a kit: numbered pieces to print, and a list of where each belongs.",
];
pub const LOOKING_INTO: &str = "looking into it…";
pub const TOO_LARGE: &str = "too large to look into before it is opened";
pub const NO_MODEL_YET: &str = "no model yet";

/// `4 min ago · 1 234 faces, 204 × 191 × 94 mm`.
pub fn ago_and_known(ago: &str, known: &str) -> String {
    format!("{ago} · {known}")
}

/// The number of a step.
pub fn number(n: usize) -> String {
    n.to_string()
}

/// `204 × 191 × 94 mm, 5 pieces`, as far as they are known; an uncut model is no pieces.
pub fn known(sizes_mm: Option<[f64; 3]>, n_pieces: Option<u64>) -> String {
    let size = sizes_mm.map(|sizes_mm| format!("{} mm", sizes(&sizes_mm.into())));
    let n = n_pieces.filter(|n| *n > 1).map(|n| pieces(n as usize));
    size.into_iter().chain(n).collect::<Vec<_>>().join(", ")
}

/// Where a file lies, and how large it is.
pub fn told(path: &Path, n_faces: Option<u64>, n_bytes: u64) -> String {
    let n = n_faces.map_or_else(String::new, |n| format!("{}, ", faces(n as usize)));
    format!("{}\n{n}{}", path.display(), bytes(n_bytes))
}

/// What is said of a row for those who do not see it.
pub fn figures_and_more(figures: &str, more: &str) -> String {
    format!("{figures}, {more}")
}

/// What a project holds, before it is opened.
pub fn project(name: &str, model: &str, n_cuts: usize) -> String {
    format!("{name}: {model}, {}", cuts(n_cuts))
}

/// `80 000 faces, 241 × 297 × 358 mm`, as far as they are known.
pub fn figures(n_faces: Option<u64>, sizes_mm: Option<[f64; 3]>) -> String {
    let n = n_faces.map(|n| faces(n as usize));
    let size = sizes_mm.map(|sizes_mm| format!("{} mm", sizes(&sizes_mm.into())));
    n.into_iter().chain(size).collect::<Vec<_>>().join(", ")
}

/// The list of recent files could not be kept.
pub fn not_kept(error: impl std::fmt::Display) -> String {
    format!("The list of recent files is not kept: {error}")
}
