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

/// So many marks are told one by one.
const MOST_TOLD: usize = 8;

/// Pieces so small that nobody meant them, by their marks.
pub fn crumbs(marks: &[&str]) -> String {
    let told = marks[..marks.len().min(MOST_TOLD)].join(", ");
    let more = marks.len().saturating_sub(MOST_TOLD);
    let told = if more > 0 { format!("{told} and {more} more") } else { told };
    let are = count(marks.len(), "piece is a crumb that the kit will hold", "pieces are crumbs that the kit will hold");
    format!("{are} too: {told}. Move the cut that leaves them, and they are gone.")
}

/// Files of an earlier kit that are none of this one.
pub fn left_from_before(files: &[String]) -> String {
    let told = files[..files.len().min(MOST_TOLD)].join(", ");
    let more = files.len().saturating_sub(MOST_TOLD);
    let told = if more > 0 { format!("{told} and {more} more") } else { told };
    let are = count(
        files.len(),
        "file of an earlier kit lies there too and belongs to no piece of this one",
        "files of an earlier kit lie there too and belong to no piece of this one",
    );
    format!("{are}: {told}. Take them out of that folder, so that nobody prints them.")
}

/// Where a kit lies that an earlier run wrote.
pub fn lies_from_before(n: usize, folder: &Path, ago: &str) -> String {
    format!(
        "{} in {}, written {ago}. Whether they are as the pieces are now is not known.",
        pieces(n),
        folder.display()
    )
}

/// Where the kit lies.
pub fn lies_in(n: usize, folder: &Path) -> String {
    format!("{} in {}", pieces(n), folder.display())
}

/// Once it is written; `left` files of an earlier kit lie there too.
pub fn written_to(n: usize, folder: &Path, left: usize) -> String {
    let too = match left {
        0 => String::new(),
        1 => "; 1 file of an earlier kit lies there too, see line 8".into(),
        left => format!("; {left} files of an earlier kit lie there too, see line 8"),
    };
    format!("{} written to {}{too}", pieces(n), folder.display())
}
