//! What a close look at the model found, and what is mended.

use super::numbers::count;

pub const LOOK: &str = "look closely";
pub const LOOK_HINT: &str =
    "Looks for holes, crossings, thin walls, shells inside out, debris; takes a moment on a large model";
pub const NOTHING_WRONG: &str = "Looked at closely: nothing is wrong with it.";
pub const SHOW_HINT: &str = "Go to the worst place";
pub const TAKE_AWAY_HINT: &str = "Leaves this step out of the list; the model itself stays. Undo brings the step back";
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

/// What parting surfaces that share an edge leads to.
pub fn comes_apart(bodies: usize) -> String {
    let more = count(bodies, "surface hangs", "surfaces hang");
    format!(
        "{more} on the rest along an edge only. Parted by mending, each is a piece of its own; a note then says how to keep \
         them in one, or to leave crumbs out."
    )
}

/// Room in one shell for another; both as the list of shells has them.
pub fn relieve(shell: &str, by: &str) -> String {
    format!("cut {by} out of {shell}")
}

/// What that means.
pub fn relieve_hint(shell: &str, by: &str) -> String {
    format!(
        "Material of {shell} is taken away: all that {by} takes up, and a gap around it. {by} stays as it is. Printed \
         apart, the two go back together. The gap is set in the line of the shells"
    )
}

/// What a mend would do, in short.
pub fn mend(first: &str) -> String {
    format!("mend: {first}")
}

/// What was found and is still so.
pub const FOUND_BEFORE: &str = "As found before the last mends:";
pub const LOOK_ONCE_MORE: &str = "look again";
pub const LOOK_ONCE_MORE_HINT: &str = "Looks closely at the model as it is now; takes a moment on a large one";
/// A finding whose mend was done.
pub const MENDED_SINCE: &str = "mended since";

/// Steps that found nothing to do.
pub fn nothing_to_do(n_steps: usize) -> String {
    match n_steps {
        1 => "1 mend had nothing to do".to_owned(),
        n => format!("{n} mends had nothing to do"),
    }
}
