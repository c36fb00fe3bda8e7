//! Stepping off, which is called even lengths here: the fewest parallel cuts for a long piece.

use super::common::cuts;
use super::numbers::{count, mm};

pub const MAKE_THEM: &str = "make them";
pub const MAKE_HINT: &str = "All of them as one step: undo takes them back at once";
pub const SELECT_ANOTHER: &str = "Select another piece, and that one is cut.";
pub const FROM_THE: &str = "from the";
pub const TO_FIT: &str = "to fit";
pub const EQUAL: &str = "equal parts";
pub const EQUAL_HINT: &str = "As few as fit, all of one length";
pub const AS_LONG: &str = "as long as fits";
pub const AS_LONG_HINT: &str = "Each as long as fits, from the end where it begins";
pub const FIXED: &str = "fixed length";
pub const FIXED_HINT: &str = "All of one length, from the end where it begins; the last is what is left";
pub const LEAST: &str = "last at least";
pub const LEAST_HINT: &str = "Where the last part would be shorter, the one before gives it what is missing";
pub const LOOKING: &str = "looking for the fewest cuts…";
pub const FITS_WHOLE: &str = "It fits whole: no cut is needed.";
/// The two ends of each axis.
pub const ENDS: [[&str; 2]; 3] = [["left", "right"], ["front", "back"], ["foot", "top"]];

/// What is stepped off.
pub fn title(mark: &str) -> String {
    format!("Cut {mark} into even lengths")
}

/// `make 3 cuts`.
pub fn make(n: usize) -> String {
    format!("make {}", cuts(n))
}

/// The name of the button for an axis.
pub fn along(axis: &str) -> String {
    format!("lengths along {axis}")
}

/// The name of the button for an end.
pub fn begin_at(end: &str) -> String {
    format!("begin at the {end}")
}

/// `4 parts of 250.0 mm`, `4 parts: 300.0, 300.0, 300.0, 100.0 mm`.
pub fn parts(lengths_mm: &[f64]) -> String {
    let said: Vec<String> = lengths_mm.iter().map(|length| mm(*length)).collect();
    let parts = count(said.len(), "part", "parts");
    match said.iter().all(|length| *length == said[0]) {
        true => format!("{parts} of {} mm", said[0]),
        false => format!("{parts}: {} mm", said.join(", ")),
    }
}
