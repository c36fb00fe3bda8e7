//! Words that stand in many places.

use std::fmt::Display;

use super::numbers::{count, mm};

pub const SHOW: &str = "show";
pub const SHOW_ME: &str = "show me";
pub const LEAVE_IT: &str = "leave it";
pub const LAY_DOWN: &str = "lay down";
pub const TAKE_AWAY: &str = "take away";
pub const REMOVE: &str = "remove";
pub const FORGET: &str = "forget";
pub const GO_THERE: &str = "go there";
pub const LAY_IT_DOWN: &str = "Lay it down";
pub const TAKE_IN_HAND: &str = "Take it in hand: handles on the bench, numbers here";
pub const LOOK_AT_PLACE: &str = "Look at the place";
pub const INTO_THE_PICTURE: &str = "Bring it into the picture";
pub const OFF: &str = "off";
pub const DONE_OR_NOT: &str = "On: it is done. Off: it is not";
pub const SQUARE_TO: &str = "square to";
pub const NAME: &str = "name";
pub const LENGTH: &str = "length";
pub const HEIGHT: &str = "height";
pub const ABOVE: &str = "above";
pub const BELOW: &str = "below";
/// Not known yet.
pub const ELLIPSIS: &str = "…";
/// Nothing to tell.
pub const DASH: &str = "–";

/// `204.0 mm`.
pub fn in_mm(length_mm: f64) -> String {
    format!("{} mm", mm(length_mm))
}

/// How a button is told apart from others of the same words: `show: hole at the rim`.
pub fn told_apart(words: &str, of: impl Display) -> String {
    format!("{words}: {of}")
}

/// `brow is on`: what a switch is about.
pub fn is_on(name: &str) -> String {
    format!("{name} is on")
}

/// `1 piece`, `3 pieces`.
pub fn pieces(n: usize) -> String {
    count(n, "piece", "pieces")
}

/// `1 cut`, `3 cuts`.
pub fn cuts(n: usize) -> String {
    count(n, "cut", "cuts")
}

/// `1 face`, `3 faces`, of a mesh.
pub fn faces(n: usize) -> String {
    count(n, "face", "faces")
}

/// `1 place`, `3 places`.
pub fn places(n: usize) -> String {
    count(n, "place", "places")
}

/// `3 of 4 fit`.
pub fn some_fit(fit: usize, all: usize) -> String {
    format!("{fit} of {all} fit")
}

/// `all 4 fit`.
pub fn all_fit(all: usize) -> String {
    format!("all {all} fit")
}

/// `3 of 4 on`.
pub fn some_on(on: usize, all: usize) -> String {
    format!("{on} of {all} on")
}

/// What is beyond the end of a list that is shown only in part.
pub fn and_more(n: usize) -> String {
    format!("and {n} more")
}
