//! Line 7: the beds of the project, and how the selected piece fits them.

use std::fmt::Display;

use super::numbers::{count, length, mm, signed_mm};

pub const CUTS_ARE_FOR_FIRST: &str = "Cuts are placed for this bed. A piece may be printed on any that takes it.";
pub const MAKE_FIRST: &str = "place cuts for this bed";
pub const MAKE_FIRST_HINT: &str = "It becomes the first: the stretch along a cut and its verdicts speak of it";
pub const ADD: &str = "add a bed";
pub const ADD_HINT: &str = "A further printer: a piece that fits any of the beds can be printed";
pub const TAKE_AWAY: &str = "take this bed away";
pub const KEEP: &str = "keep in my list";
pub const KEEP_HINT: &str = "Kept on this machine, for every project; one of the same name is replaced";
pub const KEPT_ALREADY: &str = "It is in your list as it is here";
pub const NO_SETTINGS: &str = "This machine names no folder for settings";
pub const NAME_FIRST: &str = "Give it a name first that begins with a letter";
pub const USE: &str = "use";
pub const USE_HINT: &str = "In place of the bed that is shown above";
pub const ADD_OWN: &str = "add";
pub const ADD_OWN_HINT: &str = "As a further bed of this project";
pub const FORGET_HINT: &str = "Takes it off the list; projects keep theirs";
pub const UNNAMED: &str = "the bed";
pub const SELECT_A_PIECE: &str = "Select a piece: the plan shows how it will lie.";
pub const LYING_HINT: &str = "Its outline as seen from above, as the kit will have it; sizes and fit are told below";
pub const LAYS: &str = "In the kit every piece lies on its largest cap where it fits so, else in a pose in which it fits, \
                        else as it stands. Choosing a lay by hand is not in this version yet.";

/// `round 180 × 200`.
pub fn round(across_mm: f64, height_mm: f64) -> String {
    format!("round {} × {}", length(across_mm), length(height_mm))
}

/// `220 × 220 × 250`.
pub fn rectangle(sides_mm: [f64; 3]) -> String {
    let [x, y, z] = sides_mm.map(length);
    format!("{x} × {y} × {z}")
}

/// `outline 220 × 220 × 250`.
pub fn outline(sides_mm: [f64; 3]) -> String {
    format!("outline {}", rectangle(sides_mm))
}

/// `my beds: 2`.
pub fn my_beds(n: usize) -> String {
    format!("my beds: {n}")
}

/// A bed in short, and how many pieces fit it.
pub fn size_and_fit(size: &str, fit: &str) -> String {
    format!("{size} · {fit}")
}

/// The name of the button *use*.
pub fn use_here(bed: &str) -> String {
    format!("use {bed} here")
}

/// A bed by its name in full, and what a click does.
pub fn look_at(bed: &str) -> String {
    format!("{bed}\nLook at this bed: on the bench too")
}

/// The name of the button *add*.
pub fn add_own(bed: &str) -> String {
    format!("add {bed}")
}

/// The name of the button *forget*.
pub fn forget(bed: &str) -> String {
    format!("forget {bed}")
}

/// What the plan of a bed shows, for those who do not see it.
pub fn plan(bed: &str, size: &str, keep_outs: usize, mark: Option<&str>) -> String {
    let zones = count(keep_outs, "keep-out zone", "keep-out zones");
    let piece = mark.map_or_else(String::new, |mark| format!(", with {mark} on it"));
    format!("Plan of {bed}: {size} mm, {zones}{piece}")
}

/// A keep-out zone that begins higher up: `2 from 40`.
pub fn zone_from(number: usize, from_mm: f64) -> String {
    format!("{number} from {}", length(from_mm))
}

/// `A2 on the large one: fits turned, 3.2 mm to spare`; without a bed where there is one only.
pub fn piece_on_bed(mark: &str, bed: Option<&str>, fit: &str) -> String {
    let on = bed.map_or_else(String::new, |bed| format!(" on {bed}"));
    format!("{mark}{on}: {fit}")
}

/// A piece that is laid on a cap; `cut` made it.
pub fn lies_on_cap(mark: &str, cut: &str) -> String {
    format!("{mark} lies on its cap of {cut}")
}

/// A piece that is laid as it fits.
pub fn lies_as_it_fits(mark: &str, fit: impl Display) -> String {
    format!("{mark} lies so: {fit}")
}

/// A piece of which nothing better is known.
pub fn lies_as_it_stands(mark: &str) -> String {
    format!("{mark} lies as it stands")
}

/// `too big by 12.0 mm at best`.
pub fn too_big_by(word: &str, excess_mm: f64) -> String {
    format!("{word} by {} mm at best", mm(excess_mm))
}

/// `undecided, −1.2 mm`.
pub fn undecided(word: &str, slack_mm: f64) -> String {
    format!("{word}, {} mm", signed_mm(slack_mm))
}

/// `fits turned, 3.2 mm to spare`.
pub fn to_spare(word: &str, slack_mm: f64) -> String {
    format!("{word}, {} mm to spare", mm(slack_mm))
}

/// Once it is kept in the maker's own list.
pub fn kept(name: &str) -> String {
    format!("{name} is in your list of beds")
}

/// Once it is forgotten.
pub fn forgotten(name: &str) -> String {
    format!("{name} is taken off your list of beds")
}
