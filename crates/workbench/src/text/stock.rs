//! Line 1: the model file.

use super::common::faces;
use super::numbers::{bytes, count};

pub const NONE_YET: &str = "A model as STL, OBJ, PLY or 3MF. Drop it on the window, or choose it here.";
pub const CHOOSE: &str = "choose a model";
pub const CHOOSE_ANOTHER: &str = "choose another model";
pub const POINT_AT: &str = "point at its new place";
pub const LOOK_AGAIN: &str = "look again";
pub const LOOK_AGAIN_HINT: &str = "After you have put the file back in its place";
pub const TAKE_AWAY_HINT: &str = "It is no longer part of this model. Shells are chosen anew";
pub const ADD_FILE: &str = "add a file of the same model";
pub const ADD_FILE_HINT: &str = "A file that was modelled in the same place and unit: it stays where it is";
pub const CLOSED: &str = "closed: every edge joins two faces";
pub const CLOSED_AFTER_MENDING: &str = "closed after mending: every edge joins two faces";
pub const KEPT_IS_CLOSED: &str = "what is kept is closed: every edge joins two faces";

/// What a file was that is gone.
pub fn it_was(path: &str, n_bytes: u64) -> String {
    format!("It was {path}, {}.", bytes(n_bytes))
}

/// A further file of the model.
pub fn with_file(file: &str) -> String {
    format!("with {file}")
}

/// `1 234 faces, 3 shells`.
pub fn faces_and_shells(n_faces: usize, n_shells: usize) -> String {
    format!("{}, {}", faces(n_faces), count(n_shells, "shell", "shells"))
}

/// Faces without area.
pub fn without_area(n: usize) -> String {
    count(n, "face without area", "faces without area")
}

/// Faces that are there twice.
pub fn doubled(n: usize) -> String {
    count(n, "doubled face", "doubled faces")
}

/// Faces that were left out.
pub fn set_aside(n: usize) -> String {
    count(n, "face with numbers that are none, set aside", "faces with numbers that are none, set aside")
}

/// How long reading took.
pub fn read_in(file: &str, seconds: f64) -> String {
    format!("{file}: read in {seconds:.1} s")
}

/// Why it is not closed: edges of one face, of more than two, and between faces turned against each other.
pub fn not_closed(open: usize, over_used: usize, misturned: usize) -> String {
    let parts = [
        (open, "open edge", "open edges"),
        (over_used, "edge with more than two faces", "edges with more than two faces"),
        (misturned, "edge between faces turned against each other", "edges between faces turned against each other"),
    ];
    let said: Vec<String> =
        parts.into_iter().filter(|(n, ..)| *n > 0).map(|(n, one, many)| count(n, one, many)).collect();
    if said.is_empty() { "closed".to_owned() } else { said.join(", ") }
}

/// Nothing was mended yet.
pub fn pieces_stay_open(why: &str) -> String {
    format!("Not closed: {why}. Pieces may stay open there")
}

/// What the file had, where the mends have closed it.
pub fn in_file(why: &str) -> String {
    format!("in the file: {why}")
}

/// So many numbers of shells are told one by one.
const MOST_SHELLS: usize = 6;

/// Which of several shells are open, by their numbers from 0: `: shell 2 of 3 is open`. Nothing where all are.
pub fn which_open(open: &[u32], all: usize) -> String {
    let names: Vec<String> = open.iter().map(|shell| (u64::from(*shell) + 1).to_string()).collect();
    match names.as_slice() {
        names if names.len() == all => String::new(),
        [] => String::new(),
        [one] => format!(": shell {one} of {all} is open"),
        [first @ .., last] if names.len() <= MOST_SHELLS => {
            format!(": shells {} and {last} of {all} are open", first.join(", "))
        }
        names => format!(": {} of {all} shells are open", names.len()),
    }
}

/// The mends have not closed all of it; `which` says what is open of several shells.
pub fn still_open(which: &str, in_file: &str) -> String {
    format!("Still not closed after mending{which} (in the file: {in_file}). Pieces may stay open there")
}
