//! The small list of what can be done with what is under the pointer.

use super::commands::Words;
use super::numbers::count;

pub const LIST: &str = "What can be done here";
pub const BENCH: &str = "the bench";
pub const TAKE: Words =
    ("take in hand", "With its handles on the bench, and its card open: name, place, tilt, and what it cuts");
pub const LAY_DOWN: Words = ("lay down", "Its handles and its card are put away; it stays where it is");
pub const BY_NUMBER: Words = ("move by number", "Type at its handle where it goes; Tab goes on to its tilts");
pub const TILT: Words = ("tilt by number", "Type at its handle how far it leans; Tab goes on to the other tilt");
pub const SWITCH_ON: Words = ("switch on", "It cuts again");
pub const SWITCH_OFF: Words = ("switch off", "It stays on the card and does nothing");
pub const MORE_HINT: &str = "What can be done with this cut";

/// What the list is about: one piece by its mark, or so many.
pub fn pieces(mark: &str, selected: usize) -> String {
    if selected > 1 { count(selected, "piece", "pieces") } else { format!("piece {mark}") }
}

/// A cut by its name.
pub fn cut(name: &str) -> String {
    format!("cut: {name}")
}

/// A line that leads to the list of a cut.
pub fn more(name: &str) -> String {
    format!("cut: {name} …")
}
