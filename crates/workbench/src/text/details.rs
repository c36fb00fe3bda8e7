//! Details of the model that a cut may be meant to follow, and the best place nearby.

use super::numbers::{angle, mm};

pub const LOOKING: &str = "looking for creases, flat faces, mirror planes and waists…";
pub const NEARBY: &str = "details nearby";
pub const GO_THERE_HINT: &str = "Lay the cut along it: one step, undo takes it back";
pub const BEST_PLACE: &str = "best place nearby";
pub const BEST_PLACE_HINT: &str = "The least move, or else the least tilt, with which both sides fit one of the \
                                   beds; a little more where both have a flat on it then";
pub const FITS_HERE: &str = "Both sides fit where it is.";
pub const FITS_NOWHERE: &str = "No move and no tilt of up to 30° leaves two sides that fit: cut once more.";
pub const PARTS_NOTHING: &str = "It parts nothing here.";
pub const LOOK_FIRST: &str = "Look at it there; nothing is changed yet";
pub const PUT_IT_THERE: &str = "put it there";
pub const FLAT_FACE: &str = "flat face";
pub const MIRROR_PLANE: &str = "mirror plane";
pub const NARROWEST: &str = "narrowest here";

/// The cut lies along this already.
pub fn here(what: &str) -> String {
    format!("here: {what}")
}

/// `flat face · 3.2 mm off, 4° turned`.
pub fn off(what: &str, off_mm: f64, turned_deg: Option<f64>) -> String {
    let turned = turned_deg.map_or_else(String::new, |deg| format!(", {}° turned", angle(deg)));
    format!("{what} · {} mm off{turned}", mm(off_mm))
}

/// `along a crease, within 0.3 mm`.
pub fn crease(within_mm: f64) -> String {
    format!("along a crease, within {within_mm:.1} mm")
}

/// A detail that the cut is tilted to follow.
pub fn tilted(what: &str, turned_deg: f64) -> String {
    format!("{what} · tilted {turned_deg:.1}°")
}

/// How far off it lies, where that is drawn.
pub fn mm_off(off_mm: f64) -> String {
    format!("{off_mm:.1} mm off")
}
