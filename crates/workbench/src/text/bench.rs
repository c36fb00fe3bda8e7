//! What lies on the bench beside the model.

use super::numbers::{signed_tenths, tenths};
use crate::app::frame_times::Told;
use seamwright_geometry::Point;

pub const VIEW: &str = "Bench: 3D view";
pub const LET_GO: &str = "Let go to open it";
pub const COLOURS: &str = "colours";
pub const FOLD: &str = "fold";
pub const COLOURS_HINT: &str = "What the colours and hatches of the pieces say; folds away and back";
pub const EXPLODED: &str = "exploded";
pub const STOP: &str = "stop";
pub const OUT_OF_DATE: &str = "what you see is out of date";
pub const FIT_NOT_KNOWN: &str = "the fit of both sides is not known";
pub const WORK_IT_OUT: &str = "work it out";
pub const DISMISS: &str = "dismiss";
pub const DISMISS_HINT: &str = "Take this message away";
pub const DRAG_KEYS: &str = "Ctrl: whole steps · Escape: as it was";
pub const DRAG_KEYS_DETAILS: &str = "Shift: not drawn to details · Ctrl: whole steps · Escape: as it was";
pub const SHOWN_CUTS_KEYS: &str = "Where it would be cut; nothing is cut yet · Escape: without these lines";
pub const MISSED: &str = "That click hit nothing. Click on the model itself, or press Escape to leave it.";
pub const TOGETHER_TO_DRAG: &str = "The cut has handles while the pieces are together · E: put them together";
pub const HERE: &str = "here";
pub const HERE_BEHIND: &str = "here; what stands before it is seen through";
pub const POINTED_KEYS: &str = "Escape: without the ring";
pub const SEEN_THROUGH_KEYS: &str = "Escape: without the ring, and solid again";
pub const LESS_MOTION: &str = "Nothing glides any more";
pub const ALL_MOTION: &str = "The view glides again";

/// How long the last frames took.
pub fn frame_times(told: &Told) -> String {
    let ms = |time: std::time::Duration| format!("{:.1} ms", time.as_secs_f64() * 1e3);
    let often = told.per_second.map_or_else(String::new, |n| format!(" · {n:.0} a second"));
    format!("frame {} · longest {}{often}", ms(told.median), ms(told.longest))
}
pub const TYPING_KEYS: &str = "Enter: there · Tab: next number\nEscape, or a click elsewhere: as it was";
pub const MAGNIFIER_ON: &str = "The magnifier is on";
pub const MAGNIFIER_OFF: &str = "The magnifier is off";

pub const NO_CHANGE_YET: &str = "Nothing has changed since the project was opened: there is no before to look at";

pub const NOT_MADE: &str = "it could not make what the picture needs";

/// No picture is made any more, and the way out.
pub fn no_longer_drawn(why: &str) -> String {
    format!("Nothing is drawn here any more: {why}. The rest of the window goes on: save, and start the program again.")
}

/// No picture can be made, and the way out.
pub fn cannot_be_drawn(why: &str) -> String {
    format!(
        "Nothing can be drawn here: {why}. Job card, ledger and kit work without it. “On a weak machine” in the manual says \
         what to try."
    )
}

/// While the pieces are shown as they were before a step.
pub fn before(step: &str) -> String {
    format!("Before \"{step}\": so it was. Card and ledger tell how it is now.")
}

/// Until they can be shown.
pub fn working_out_before(step: &str) -> String {
    format!("working out how it was before \"{step}\"…")
}

/// Work was stopped, and so `what`.
pub fn stopped(what: &str) -> String {
    format!("Stopped: {what}.")
}

/// The magnifier's power.
pub fn magnified(times: f64) -> String {
    format!("× {times}")
}

/// Where a dragged cut is, and how far it came.
pub fn moved(offset_mm: f64, moved_mm: f64) -> String {
    format!("{} mm  ({})", tenths(offset_mm), signed_tenths(moved_mm))
}

/// How far a cut leans, and how far it was turned.
pub fn turned(now_deg: f64, turned_deg: f64) -> String {
    format!("{}°  ({}°)", tenths(now_deg), signed_tenths(turned_deg))
}

/// Where a dragged bore is, and how far it came.
pub fn bore_moved(place: Option<Point>, moved_mm: f64) -> String {
    let place = place.map_or_else(String::new, |p| [p.x, p.y, p.z].map(tenths).join(", "));
    format!("{place} mm  ({})", tenths(moved_mm))
}

/// The field for a number at a handle.
pub fn typed(name: &str) -> String {
    format!("typed {name}")
}
