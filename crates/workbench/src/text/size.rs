//! Line 2: unit, size, and how the model stands.

use super::numbers::mm;

pub const WHOLE: &str = "All of it, edge to edge. Type what one of them should be, and the whole is scaled:";
/// Along x, y and z.
pub const SIDES: [&str; 3] = ["width", "depth", "height"];
pub const SIDE_HINT: &str = "Type what it should measure; all of it is enlarged alike";
pub const TO_FIT_WEARER: &str = "to fit a wearer";
pub const CUTS_STAY: &str = "Cuts and measures stay at their place on the model when it is resized or turned.";
pub const MODELLED_IN: &str = "modelled in";
pub const ENLARGED_BY: &str = "enlarged by";
pub const BY_TWO_POINTS: &str = "by two points";
pub const STAND_ON_FACE: &str = "stand on a face";
pub const CLICK_FACE: &str = "Click the face that it is to stand on.";
pub const CLICK_POINTS: &str = "Click two points whose distance you know on the real thing.";
pub const ONE_MORE: &str = "One point picked; one more.";
pub const TRUE_DISTANCE: &str = "true distance";
pub const TRUE_DISTANCE_HINT: &str = "What the two points measure on the real thing, mm";
pub const MIRRORED: &str = "mirrored along";
pub const MIRRORED_HINT: &str = "Left becomes right along this axis";
pub const QUARTER_TURN: &str = "turn 90° about";
pub const QUARTER_TURN_HINT: &str = "A quarter turn: + goes to the left, as seen against the arrow of the axis, − goes back. The model then stands on the bench";
pub const STAND_AS_MADE: &str = "stand as made";

pub const MICRONS: &str = "microns";
pub const MILLIMETRES: &str = "millimetres";
pub const CENTIMETRES: &str = "centimetres";
pub const INCHES: &str = "inches";
pub const FEET: &str = "feet";
pub const METRES: &str = "metres";

/// An axis and the way about it: `+X`.
pub fn way(axis: &str, back: bool) -> String {
    format!("{}{axis}", if back { "−" } else { "+" })
}

/// A quarter turn, for screen readers.
pub fn quarter_turn(axis: &str, back: bool) -> String {
    format!("turn {}90° about {axis}", if back { "−" } else { "" })
}

/// Sized by a dimension.
pub fn by_dimension(length_mm: f64, axis: &str) -> String {
    format!("so that it measures {} mm along {axis}", mm(length_mm))
}

/// Sized by two points.
pub fn by_distance(length_mm: f64) -> String {
    format!("so that two points lie {} mm apart", mm(length_mm))
}

/// Sized for a wearer.
pub fn by_wearer(measure: &str, wearer_mm: f64, gap_mm: f64) -> String {
    format!("for a wearer with a {measure} of {} mm, and {} mm of padding", mm(wearer_mm), mm(gap_mm))
}

/// The unit that a file states is not the one that is set.
pub fn file_says(unit: &str) -> String {
    format!("The file says that it is in {unit}")
}
