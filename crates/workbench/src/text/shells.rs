//! Line 3: shells, and room made in them for others.

use seamwright_geometry::{Point, Vector};

use super::common::faces;
use super::numbers::{count, sizes, whole};

pub const NONE_YET: &str = "A shell is one connected surface. They are listed once a model is read.";
pub const SHOW_HINT: &str = "Show it on the bench";
pub const OPEN: &str = "open";
pub const STILL_OPEN: &str = "still open after mending";
pub const OPEN_SINCE: &str = "open since it was mended";
pub const GONE: &str = "nothing of it is left after mending";
pub const CLOSED_BY_MENDING: &str = "closed by mending";
pub const INSIDE_OUT: &str = "inside out";
pub const DROPPED: &str = "dropped";
pub const KEPT: &str = "kept";
pub const SET_ASIDE: &str = "set aside";
pub const SET_ASIDE_HINT: &str = "A loose part of its own, with its own cuts";
pub const CAVITY_HINT: &str =
    "A cavity is the hollow inside another shell, and goes with it; what is chosen here holds for it alone";
pub const SOLID_HINT: &str = "What becomes of it. Its cavities, the hollows inside it, go with it";
pub const FATE_HINT: &str =
    "Kept: it is cut with the rest. Set aside: a loose part with cuts of its own. Dropped: left out";
pub const PART_NAME: &str = "set aside:";
pub const PUT_BACK: &str = "put back";
pub const PUT_BACK_HINT: &str = "Its shells belong to the rest again; its cuts are taken away";
pub const CHOOSE: &str = "choose";
pub const RELIEF_HINT: &str =
    "Printed apart, the two go back together: what the other takes up, and a gap around it, is taken away";
pub const CLEARANCE: &str = "clearance";
pub const CLEARANCE_HINT: &str = "The gap all round, mm. Sliding fits of printed parts want 0.2 to 0.4";

/// `shell 3 · visor`.
pub fn shell(number: u64, called: Option<&str>) -> String {
    let called = called.map_or_else(String::new, |name| format!(" · {name}"));
    format!("shell {number}{called}")
}

/// The wall of a hollow.
pub fn cavity_of(number: u64) -> String {
    format!("cavity of {number}")
}

/// Size, state, faces and place.
pub fn facts(sizes_mm: &Vector, state: &str, n_faces: usize, centre: &Point) -> String {
    let (size, n) = (sizes(sizes_mm), faces(n_faces));
    format!("{size} mm, {state}\n{n}, at {}, {}, {}", whole(centre.x), whole(centre.y), whole(centre.z))
}

/// What becomes of a shell, for screen readers.
pub fn is(number: u64, fate: &str) -> String {
    format!("shell {number} is {fate}")
}

/// What becomes of the shells that are not listed.
pub fn rest(kept: usize, dropped: usize) -> String {
    let ones = count(kept + dropped, "smaller one", "smaller ones");
    match (kept, dropped) {
        (_, 0) => format!("and {ones}, kept"),
        (0, _) => format!("and {ones}, dropped"),
        _ => format!("and {ones}: {kept} kept, {dropped} dropped"),
    }
}

/// The choice of what a shell makes room for.
pub fn makes_room(number: u64) -> String {
    format!("shell {number} makes room")
}

/// One of those.
pub fn for_shell(number: u64) -> String {
    format!("for shell {number}")
}

/// Both.
pub fn makes_room_for(number: u64, by: u64) -> String {
    format!("shell {number} makes room for shell {by}")
}
