//! The lines of the job card: their names, and what each says in a few words.

use super::common::pieces;
use super::numbers::factor as digits;

/// The names of the lines, in their order.
pub const NAMES: [&str; 8] = ["Stock", "Size", "Shells", "Bores", "Cuts", "Joints", "Lays", "Kit"];

pub const NO_JOINTS_YET: &str = "Dowels, tongues and magnets are not in this version yet. Caps are flat.";
pub const NOT_FOUND: &str = "not found";
pub const FAILED: &str = "failed";
pub const NOT_IN_THIS_VERSION: &str = "not in this version";
pub const NO_MODEL: &str = "choose a model";
pub const AS_MADE: &str = "as made";
pub const NONE: &str = "none";
pub const IT_FITS: &str = "it fits";
pub const TOO_BIG: &str = "too big";
pub const CHANGED_SINCE: &str = "changed since";
pub const WAITS: &str = "waits";
pub const WAITS_FOR_MODEL: &str = "waits for 1";

/// A line as screen readers read it: `5 Cuts: 5 · 6 pieces`.
pub fn line(number: usize, name: &str, said: &str) -> String {
    format!("{number} {name}: {said}")
}

/// `× 1.04`.
pub fn enlarged(factor: f64) -> String {
    format!("× {}", digits(factor))
}

/// `in inches`.
pub fn in_unit(unit: &str) -> String {
    format!("in {unit}")
}

/// `in inches, × 1.04`.
pub fn in_unit_enlarged(unit: &str, factor: f64) -> String {
    format!("in {unit}, × {}", digits(factor))
}

/// What becomes of the shells, in short. Once a mend has united some, the file has more than there are.
pub fn shells(all: usize, dropped: usize, aside: usize, united: bool) -> String {
    if united {
        return format!("{} in the file, united", shells(all, dropped, aside, false));
    }
    match (dropped, aside) {
        (0, 0) => format!("{all}, kept"),
        (_, 0) => format!("{} of {all} kept", all - dropped),
        (0, _) => format!("{all}, {aside} set aside"),
        _ => format!("{} of {all} kept, {aside} set aside", all - dropped),
    }
}

/// Bores that could not be made.
pub fn not_bored(failed: usize, all: usize) -> String {
    format!("{failed} of {all} not bored")
}

/// `6 pieces, earlier`: of a kit that an earlier run wrote.
pub fn written_before(n: usize) -> String {
    format!("{}, earlier", pieces(n))
}

/// `6 pieces written`.
pub fn written(n: usize) -> String {
    format!("{} written", pieces(n))
}
