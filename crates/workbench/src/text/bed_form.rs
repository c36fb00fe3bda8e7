//! The form of one bed.

use super::numbers::entry;

pub const NAME: &str = "bed name";
pub const SHAPE: &str = "bed shape";
/// Rectangle, circle, and any other.
pub const SHAPES: [&str; 3] = ["rectangle", "round", "any outline"];
pub const WIDTH: &str = "bed width";
pub const DEPTH: &str = "bed depth";
pub const DIAMETER: &str = "bed diameter";
pub const CORNERS: &str = "bed corners";
pub const CORNERS_HINT: &str =
    "x, y of each corner in mm, from the lower left of the bed; corners are parted by semicolons";
pub const MARGIN: &str = "margin";
pub const MARGIN_HINT: &str = "Kept free at the edge of the bed, mm";
pub const AROUND: &str = "around a piece";
pub const AROUND_HINT: &str =
    "Width of a brim, a skirt or what a raft is wider: kept free to the edge and to keep-out zones, mm";
pub const RAFT: &str = "raft";
pub const RAFT_HINT: &str = "Height of a raft, mm";
pub const HELD_BY: &str = "held by, in";
pub const NOTHING: &str = "nothing";
pub const SKIRT: &str = "skirt";
pub const BRIM: &str = "brim";
pub const HELD_HINT: &str = "Widths that are often begun with (common practice, no source); type your own above";
pub const FROM_HEIGHT_HINT: &str = "It begins at this height; 0 for all of it";
pub const ADD_KEEP_OUT: &str = "add a keep-out";
pub const ADD_KEEP_OUT_HINT: &str = "A part of the bed that stays free: a clip, a purge area, a lamp overhead";

/// How large a piece may be.
pub fn room(sides_mm: [f64; 3]) -> String {
    let [x, y, z] = sides_mm.map(entry);
    format!("Room for a piece: {x} × {y} × {z} mm.")
}

/// The name of the button for one way to hold a piece.
pub fn held_by(way: &str) -> String {
    format!("held by {way}")
}

/// The outline of a zone.
pub fn keep_out(number: usize) -> String {
    format!("keep-out {number}")
}

/// Where a zone begins.
pub fn from_height(number: usize) -> String {
    format!("{number} from height")
}

/// The name of the button *take away* of a zone.
pub fn take_keep_out_away(number: usize) -> String {
    format!("take keep-out {number} away")
}

/// What was typed as a corner and is none.
pub fn no_corner(typed: &str) -> String {
    format!("\"{typed}\" is no corner: x, y with a comma between")
}
