//! The list of steps.

pub const TITLE: &str = "History";
pub const MAKE_AGAIN: &str = "Make everything up to here again";
pub const GO_BACK: &str = "Go back to here";

/// A step with its number.
pub fn step(number: usize, title: &str) -> String {
    format!("{number}  {title}")
}

/// A step in full, and what a click does.
pub fn step_hint(title: &str, click: &str) -> String {
    format!("{title}\n{click}")
}

/// How the pieces are compared with before.
pub fn hold(keys: &str) -> String {
    format!("Hold {keys} to see the pieces as they were before the last change.")
}
