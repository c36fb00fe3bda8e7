//! The form of one bed.

use super::numbers::length;

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
pub const MARGIN_HINT: &str =
    "Kept free along the edge of the bed, mm: where it is uneven, or the nozzle does not reach";
pub const AROUND: &str = "around a piece";
pub const AROUND_HINT: &str =
    "What a brim, a skirt or a raft takes beside the piece, mm; the choices below fill it in with usual widths";
pub const RAFT: &str = "raft";
pub const RAFT_HINT: &str = "How high the raft under a piece is, mm; 0 for none. A raft is a slab of a few coarse layers, broken off afterwards";
pub const PRINTED_IN: &str = "print material";
pub const PRINTED_IN_HINT: &str = "What you print in: brims are wider for materials that shrink more";
pub const HELD_BY: &str = "keep room around a piece for";
pub const NOTHING: &str = "nothing";
pub const NOTHING_HINT: &str = "The piece holds on the bed by itself.";
pub const SKIRT: &str = "a skirt";
pub const BRIM: &str = "a brim";
pub const A_RAFT: &str = "a raft";
pub const FROM_HEIGHT_HINT: &str = "It begins at this height; 0 for all of it";
pub const ADD_KEEP_OUT: &str = "add a keep-out";
pub const ADD_KEEP_OUT_HINT: &str = "A part of the bed that stays free: a clip, a purge area, a lamp overhead";

/// How large a piece may be.
pub fn room(sides_mm: [f64; 3]) -> String {
    let [x, y, z] = sides_mm.map(length);
    format!("Room for a piece: {x} × {y} × {z} mm.")
}

/// A material as makers write it: the short names of plastics stand in capitals.
pub fn material(name: &str) -> String {
    name.to_uppercase()
}

/// The name of the button for one way to hold a piece.
pub fn room_for(way: &str) -> String {
    format!("keep room for {way}")
}

/// What a way to hold a piece on the bed takes, in numbers.
pub fn takes(means: &str, material_name: &str, around_mm: f64, raft_mm: f64) -> String {
    let high = if raft_mm > 0.0 { format!(", {} mm beneath", length(raft_mm)) } else { String::new() };
    format!(
        "{means}\nIn {}: {} mm around the piece{high}. Often begun with (common practice, no source); type your own above",
        material(material_name),
        length(around_mm)
    )
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
