//! Line 8: what leaves the program.

use std::path::Path;

use super::common::pieces;
use super::numbers::count;

pub const LEAVE_CRUMBS_OUT: &str = "leave crumbs out";
pub const WRITE: &str = "write the kit";
pub const CHANGED: &str = "The recipe has changed since: write it again.";
pub const NOT_READY: &str = "The pieces are still being worked out; write the kit when they are ready";
pub const NO_PIECES: &str = "There are no pieces to write yet: choose a model first (line 1)";

/// What a kit holds, with the name of its list.
pub fn what(list: &str) -> String {
    format!("Every piece as STL, lying on the bed, and {list} with marks, sizes, fit and the way back.")
}

/// Pieces that the bed does not take.
pub fn too_big(n: usize) -> String {
    format!("{} not fit the bed yet; the kit will say so too", count(n, "piece does", "pieces do"))
}

/// So many marks are told one by one.
const MOST_TOLD: usize = 8;

/// So many of `names` that a line holds them.
fn few<S: AsRef<str>>(names: &[S]) -> String {
    let told: Vec<&str> = names.iter().take(MOST_TOLD).map(AsRef::as_ref).collect();
    let more = names.len().saturating_sub(MOST_TOLD);
    if more > 0 { format!("{} and {more} more", told.join(", ")) } else { told.join(", ") }
}

/// Crumbs that were asked to be left out, by their marks.
pub fn left_out(marks: &[String]) -> String {
    format!("{} left out, as was asked: {}.", count(marks.len(), "crumb is", "crumbs are"), few(marks))
}

/// Pieces of which no file is written, by their marks.
pub fn vanishing(marks: &[String]) -> String {
    let are = count(marks.len(), "piece is so thin that it vanishes", "pieces are so thin that they vanish");
    format!("{are} in print: the kit holds no file of {}.", few(marks))
}

/// Pieces so small that nobody meant them, by their marks.
pub fn crumbs(marks: &[&str]) -> String {
    let told = few(marks);
    let are = count(marks.len(), "piece is a crumb that the kit will hold", "pieces are crumbs that the kit will hold");
    format!("{are} too: {told}. Leave them out, or move the cut that leaves them.")
}

/// Files of an earlier kit that are none of this one.
pub fn left_from_before(files: &[String]) -> String {
    let told = few(files);
    let are = count(
        files.len(),
        "file of an earlier kit lies there too and belongs to no piece of this one",
        "files of an earlier kit lie there too and belong to no piece of this one",
    );
    format!("{are}: {told}. Take them out of that folder, so that nobody prints them.")
}

/// Pieces that are marked otherwise than in the kit that lay there before: the old mark, the new one.
pub fn marks_changed<'a>(changed: impl Iterator<Item = (&'a str, &'a str)>) -> String {
    let changed: Vec<String> = changed.map(|(was, now)| format!("{was} is {now} now")).collect();
    let told = few(&changed);
    format!("Marked otherwise than in the kit before: {told}. What was printed then bears the old mark.")
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

/// Once it is written; `too_big` of its pieces do not fit the bed, `left` files of an earlier kit lie there too, and as many
/// pieces as `remarked` are marked otherwise than in it.
pub fn written_to(n: usize, folder: &Path, too_big: usize, left: usize, remarked: usize) -> String {
    let yet = match too_big {
        0 => String::new(),
        n => format!("; {} not fit the bed yet", count(n, "piece does", "pieces do")),
    };
    let too = match left {
        0 => String::new(),
        1 => "; 1 file of an earlier kit lies there too, see line 8".into(),
        left => format!("; {left} files of an earlier kit lie there too, see line 8"),
    };
    let marks = match remarked {
        0 => "",
        _ => "; some marks are others than in the kit before, see line 8",
    };
    format!("{} written to {}{yet}{too}{marks}", pieces(n), folder.display())
}
