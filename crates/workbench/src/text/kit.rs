//! Line 8: what leaves the program.

use std::path::Path;

use super::common::pieces;
use super::numbers::count;

pub const WHAT: &str =
    "Every piece as STL, lying on the bed, and manifest.json with marks, sizes, fit and the way back.";
pub const WRITE: &str = "write the kit";
pub const CHANGED: &str = "The recipe has changed since: write it again.";
pub const NOT_READY: &str = "The pieces are still being worked out; write the kit when they are ready";
pub const NO_PIECES: &str = "There are no pieces to write yet: choose a model first (line 1)";

/// Pieces that the bed does not take.
pub fn too_big(n: usize) -> String {
    format!("{} not fit the bed yet; the kit will say so too", count(n, "piece does", "pieces do"))
}

/// Where the kit lies.
pub fn lies_in(n: usize, folder: &Path) -> String {
    format!("{} in {}", pieces(n), folder.display())
}

/// Once it is written.
pub fn written_to(n: usize, folder: &Path) -> String {
    format!("{} written to {}", pieces(n), folder.display())
}
