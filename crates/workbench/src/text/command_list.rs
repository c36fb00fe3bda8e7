//! The list of commands that is searched.

pub const HINT: &str = "what do you want to do?";
pub const FIND: &str = "find a command";
pub const NOTHING: &str = "Nothing here is called that.";

/// A command that would do nothing now, as screen readers read it.
pub fn not_now(command: &str, why: &str) -> String {
    format!("{command}: not now, {why}")
}
