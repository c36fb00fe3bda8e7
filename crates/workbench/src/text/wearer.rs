//! Sizing a model for a wearer.

use super::numbers::mm;

pub const ON_WEARER: &str = "on the wearer";
pub const ON_WEARER_HINT: &str = "Measured on the wearer, mm";
pub const PADDING: &str = "padding";
pub const PADDING_HINT: &str = "Thickness of the padding all round, mm";
pub const MEASURE: &str = "measure";
pub const OF_100: &str = "of 100 people the 5th, the 50th and the 95th, mm:";
pub const MEN: &str = "men";
pub const WOMEN: &str = "women";
pub const WHOLE_IS: &str = "The whole is";
pub const INSIDE_IS: &str = "Inside there it is";
pub const MAKE_FIT: &str = "make it fit";
pub const MAKE_FIT_HINT: &str = "Enlarges the whole model alike";
pub const CLOSED_BELOW: &str = "Material closes the way in from below: as one piece it cannot be put on";
pub const AT_HEIGHT: &str = "at a height of";
pub const AT_HEIGHT_HINT: &str = "Where the measure is taken, mm above the lowest point";
pub const NO_INSIDE: &str = "There is no clear inside at this height: it is solid there, or open all round.";
pub const MEASURE_INSIDE: &str = "measure the inside";

/// Where the numbers are from.
pub fn source(source: &str) -> String {
    format!("Source: {source}.")
}

/// `head girth of men, mm`.
pub fn of_whom(measure: &str, who: &str) -> String {
    format!("{measure} of {who}, mm")
}

/// What it is now, and what it should be; `what` is one of the beginnings above.
pub fn now_and_wanted(what: &str, now_mm: f64, wanted_mm: f64) -> String {
    format!("{what} {} mm; wanted are {} mm.", mm(now_mm), mm(wanted_mm))
}

/// What a head has to pass.
pub fn narrowest(girth_mm: f64, breadth_mm: f64, up_mm: f64) -> String {
    let (girth, breadth, up) = (mm(girth_mm), mm(breadth_mm), mm(up_mm));
    format!("narrowest on the way in: girth {girth}, breadth {breadth} mm, {up} mm up")
}

/// How large it is inside.
pub fn clear_inside(girth_mm: f64, breadth_mm: f64, length_mm: f64) -> String {
    format!("clear inside: girth {}, breadth {}, length {} mm", mm(girth_mm), mm(breadth_mm), mm(length_mm))
}
