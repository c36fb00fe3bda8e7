//! Magnets at a cut.

use super::common::places;
use super::numbers::entry;

pub const TITLE: &str = "Magnets at a cut";
pub const AT_CUT: &str = "at cut";
pub const ACROSS: &str = "magnet across";
pub const ACROSS_HINT: &str = "Diameter of the magnets, mm";
pub const THICK: &str = "magnet thick";
pub const THICK_HINT: &str = "How thick each is, mm";
pub const HOW_MANY: &str = "how many places";
pub const SPREAD: &str = "spread evenly";
pub const SPREAD_HINT: &str = "Evenly along the middle of the seam";
pub const PICK: &str = "pick places";
pub const PICK_HINT: &str = "Click the model near the seam: each place is moved to where there is room";
pub const CLICK: &str = "Click the model near the seam, once for each two magnets; a click on a place takes it back.";

/// What is made, and what to look out for.
pub fn remark(play_mm: f64) -> String {
    format!(
        "Pockets for two at each place, one in either piece, {} mm deeper than a magnet. Check which way round they go \
         before you glue them in, and keep small magnets from children: swallowed magnets hurt badly.",
        entry(play_mm)
    )
}

/// `make 3 places`.
pub fn make(n: usize) -> String {
    format!("make {}", places(n))
}
