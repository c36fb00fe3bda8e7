//! The rows of a bore's card: rod, clearance, shape, place, ends.

use std::fmt::Display;

pub const ROD: &str = "rod";
pub const DIAMETER: &str = "diameter";
pub const DIAMETER_HINT: &str = "Diameter of the rod, mm, measured across it";
pub const MAGNET_DIAMETER_HINT: &str = "Diameter of the magnets, mm";
pub const THICKNESS: &str = "thickness";
pub const THICKNESS_HINT: &str = "How thick each magnet is, mm";
pub const CLEARANCE: &str = "clearance";
pub const TYPED: &str = "typed";
pub const TYPED_HINT: &str = "As much on the diameter as you say";
pub const PLAY: &str = "play";
pub const PLAY_HINT: &str = "What the channel is wider than the rod, mm on the diameter";
pub const PRINTER_TAKES: &str = "prints narrower by";
pub const ANOTHER_ROD: &str = "another rod";
pub const ANOTHER_ROD_HINT: &str = "Type its diameter";
pub const MAGNETS: &str = "round magnets";
pub const MAGNETS_HINT: &str = "One on either side of a seam";
pub const SHAPE: &str = "shape";
pub const ROUND_HINT: &str = "For a channel that is printed standing";
pub const TEARDROP_HINT: &str = "With a pointed roof: prints lying, without support";
pub const FLAT_ROOF_HINT: &str = "With a roof cut off flat: prints lying, with a short bridge";
pub const SQUARE_HINT: &str = "Keeps a square rod from turning";
pub const HEXAGON_HINT: &str = "Keeps a hexagonal rod from turning";
pub const SLIT_HINT: &str = "Open along its side, so that the rod is laid in";
pub const AS_IT_IS: &str = "as it is";
pub const TURNED_TO: &str = "turned to";
pub const ROOF: &str = "roof";
pub const ROOF_UP: &str = "up in every piece";
pub const ROOF_UP_HINT: &str = "In each piece to where up is as that piece lies on the bed, also when that changes later. \
                                The rod goes through all the same: only the roofs differ";
pub const FROM: &str = "from";
pub const TO: &str = "to";
pub const ALONG_MIDDLE: &str = "lay it along the middle, in straight runs:";
pub const RUNS_HINT: &str = "A run is one straight rod. A curved blade wants several, one after the other; each bend is a place where two rods meet";
pub const SEAM_PLACE_HINT: &str = "The place is moved square to the cut onto it";
/// The first and the last end.
pub const ENDS: [&str; 2] = ["first end", "last end"];
pub const GLUE: &str = "room for glue";
pub const GLUE_HINT: &str = "What stays free for glue at every blind end, mm; the rod is sawn shorter by it";
pub const OPEN: &str = "open";
pub const OPEN_HINT: &str = "open: it goes on straight ahead, through all that is there, and comes out of the surface";
pub const BLIND: &str = "blind";
pub const BLIND_HINT: &str = "blind: it goes on straight ahead and stops below the surface that it would come out of";
pub const AT_POINT: &str = "at its point";
pub const AT_POINT_HINT: &str = "at its point: it stops where its handle is on the bench";
pub const STOPS_AT_POINT: &str = "It stops where its handle is. Choose open to have it go on and come out.";
pub const ENDS_HINT: &str = "An open end whose handle is moved into the material stops at its point from then on";
pub const LET_IN_HINT: &str =
    "What else is cut out where the bore comes out: room for the head of a screw or for a nut";
pub const BELOW_HINT: &str = "How far below the surface it stops, mm";
pub const NO_FITTING: &str = "nothing";
pub const COUNTERSINK: &str = "countersink";
pub const COUNTERSINK_HINT: &str = "A cone of 90° for the head of a screw";
pub const NUT_POCKET: &str = "nut pocket";
pub const NUT_POCKET_HINT: &str = "Six-sided: the nut cannot turn in it";
pub const NUT_AND_WASHER: &str = "nut and washer";
pub const NUT_AND_WASHER_HINT: &str = "Round, for a nut on its washer";
pub const WIDE_HINT: &str = "How wide it is at the surface, mm";
pub const NUT_BELOW_HINT: &str = "How far below the surface the nut lies, mm";

/// A listed rod: its diameter, and where that is from.
pub fn listed(diameter_mm: f64, origin: impl Display) -> String {
    format!("{diameter_mm} mm; {origin}")
}

/// `+z`.
pub fn way(sign: f64, axis: &str) -> String {
    format!("{}{axis}", if sign > 0.0 { "+" } else { "−" })
}

/// Turned to where up is as a piece lies.
pub fn up_as_lies(mark: &str) -> String {
    format!("up as {mark} lies")
}

/// A point between the first and the last.
pub fn bend(at: usize) -> String {
    format!("bend {at}")
}

/// A coordinate of a point: `from x`.
pub fn coordinate(point: &str, axis: &str) -> String {
    format!("{point} {axis}")
}

/// A coordinate of the place of magnets.
pub fn at(axis: &str) -> String {
    format!("at {axis}")
}

/// `1 run`, `2 runs`: straight stretches of a rod.
pub fn runs(n: usize) -> String {
    if n == 1 { "1 run".to_owned() } else { format!("{n} runs") }
}

/// How far below the surface a blind end stops.
pub fn below(end: &str) -> String {
    format!("{end} below")
}

/// What is let in at an end.
pub fn let_in(end: &str) -> String {
    format!("let in at {end}")
}

/// How wide a countersink is.
pub fn countersink(end: &str) -> String {
    format!("{end} countersink")
}

/// How far below the surface a nut lies.
pub fn nut_below(end: &str) -> String {
    format!("{end} nut below")
}
