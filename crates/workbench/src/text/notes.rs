//! The strip of notes.

use super::numbers::count;

pub const TITLE: &str = "Notes";
pub const LOOK_FIRST: &str = "Look at it first; nothing is changed yet";
pub const DO_IT: &str = "do it";
pub const DO_IT_HINT: &str = "One step: undo takes it back";
pub const OPEN_ANOTHER: &str = "open another file";
pub const SEE_LINE: &str = "see the line of the job card";
pub const NONE: &str = "Nothing to note.";
pub const MORE: &str = "more notes";
pub const MORE_HINT: &str = "Gives them more room, until you take it back";
pub const FEWER: &str = "fewer notes";
pub const FEWER_HINT: &str = "Gives the room back to the bench";
pub const STOP_LOOKING: &str = "stop looking for what to do";
pub const LOOKING: &str = "looking for what to do about what does not fit…";
pub const WHAT_CAN_BE_DONE: &str = "what can be done?";
pub const WHAT_CAN_BE_DONE_HINT: &str = "Looks for the least moves of cuts with which all pieces fit";

/// Notes that are not listed.
pub fn more(n: usize) -> String {
    count(n, "more", "more")
}
