//! What a close look at the model found, and what is mended.

pub const LOOK: &str = "look closely";
pub const LOOK_HINT: &str =
    "Looks for holes, crossings, thin walls, shells inside out, debris; takes a moment on a large model";
pub const NOTHING_WRONG: &str = "Looked at closely: nothing is wrong with it.";
pub const SHOW_HINT: &str = "Go to the worst place";
pub const MEND: &str = "mend";
pub const MEND_SAFE: &str = "mend all that is safe";

/// Steps in their order.
pub fn steps(names: &[&str]) -> String {
    names.join(", then ")
}

/// What a mend does, where it changes nothing that is seen.
pub fn leaves_form(steps: &str) -> String {
    format!("{steps}. It leaves the visible form as it is")
}

/// What a mend does, where it might.
pub fn may_alter(steps: &str) -> String {
    format!("{steps}. It may alter the form: look at the place afterwards")
}

/// What all safe mends do.
pub fn none_alters(steps: &str) -> String {
    format!("{steps}: none of them alters the visible form")
}

/// Room in one shell for another.
pub fn relieve(shell: u64, by: u64) -> String {
    format!("relieve {shell} by {by}")
}

/// What that means.
pub fn relieve_hint(shell: u64, by: u64) -> String {
    format!(
        "Shell {shell} makes room for shell {by}, with a gap all round: printed apart they go back together. The gap is \
         set in the line of the shells"
    )
}
