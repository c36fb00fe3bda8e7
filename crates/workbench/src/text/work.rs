//! Work that goes on beside the window, and how it ended.

pub const WORKING_OUT: &str = "working it out";
pub const PREPARING: &str = "preparing to place it";
pub const READING: &str = "reading the file";
pub const WRITING_KIT: &str = "writing the kit";
pub const LOOKING_CLOSELY: &str = "looking closely";
pub const MEASURING_INSIDE: &str = "measuring the inside";
pub const LOOKING_FOR_PLACE: &str = "looking for a place";
pub const CENTRING: &str = "centring the bore";
pub const LOOKING_FOR_MIDDLE: &str = "looking for the middle";
pub const NO_MIDDLE: &str = "this model has no middle to follow: lay the bore along an axis";
pub const LOOKING_FOR_MAGNETS: &str = "looking for places for magnets";
pub const MEASURING: &str = "measuring";
pub const BROKE: &str = "The work broke down on a fault of this program. Your project is untouched: save it, then undo the \
                         last change and try another way";

/// One of those above was stopped.
pub fn was_stopped(what: &str) -> String {
    format!("{what} was stopped")
}
