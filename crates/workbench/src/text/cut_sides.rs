//! What a cut's card says of its two sides and of its outline.

use super::numbers::{count, mm, sizes};
use seamwright_geometry::Vector;

pub const STOPPED: &str = "Stopped: both sides are not worked out.";
pub const WORKING_OUT: &str = "working out both sides…";
pub const WHEN_LET_GO: &str = "Which pieces this makes, and whether they fit, shows when you let go.";
pub const CROSSES_NOTHING: &str = "It crosses nothing here.";
pub const PERHAPS_TILTED: &str = "perhaps tilted";
pub const PERHAPS_TILTED_HINT: &str =
    "It fits neither upright, turned nor on its cut here. Other tilts are tried as soon as the hand rests.";
pub const EXACT: &str = "exact";
pub const EXACT_HINT: &str = "The hand rests: both sides were looked at point by point, in any pose";
pub const QUICK: &str = "quick, as it moves";
pub const QUICK_HINT: &str = "Upright, turned and lying on the cut, to a few hundredths of a millimetre. The exact answer \
                              comes as soon as the hand rests";
pub const THINNEST_HINT: &str = "Look at the place where the material of the cut is thinnest";
pub const FIT_NOWHERE: &str = "both sides fit nowhere along this line: tilt it, or cut once more";
pub const FIT_ONLY_TILTED: &str =
    "along this line both sides fit tilted at best: where, is looked for when the hand rests";

/// What the band along the arrow of a cut means, by the numbers at its ends.
pub fn band([from, to]: [String; 2]) -> String {
    format!(
        "Anywhere on this band, from {from} to {to} mm, the cut leaves two sides that fit the bed. The numbers at its ends are \
         offsets, as they are typed on the card"
    )
}

/// `above A2+A3: fits turned`.
pub fn side(which: &str, fit: &str) -> String {
    format!("{which}: {fit}")
}

/// `fits turned +3.2 mm`, with `≈` before a number that is not the exact one yet.
pub fn with_slack(fit: &str, slack_mm: f64, exact: bool) -> String {
    format!("{fit} {}", slack(slack_mm, exact))
}

/// `+3.2 mm`, with `≈` before it where it is not the exact number yet.
pub fn slack(slack_mm: f64, exact: bool) -> String {
    let about = if exact { "" } else { "≈ " };
    let sign = if slack_mm < 0.0 { '−' } else { '+' };
    format!("{about}{sign}{:.1} mm", slack_mm.abs())
}

/// Sizes of a side in the pose of its verdict, and the bed where there are several.
pub fn size(sizes_mm: &Vector, bed: Option<&str>) -> String {
    let on = bed.map_or_else(String::new, |bed| format!(", {bed}"));
    format!("{} mm{on}", sizes(sizes_mm))
}

/// What the outline is like.
pub fn outline(facts: &str) -> String {
    format!("outline {facts}")
}

/// The thinnest wall of the section.
pub fn thinnest_wall(wall_mm: f64) -> String {
    format!("thinnest wall {} mm", mm(wall_mm))
}

/// How many bodies come of each side.
pub fn bodies([below, above]: [usize; 2]) -> String {
    let [below, above] = [below, above].map(|n| count(n, "body", "bodies"));
    format!("{below} below, {above} above")
}

/// Pieces that are not listed.
pub fn with_more_room(n: usize) -> String {
    format!("and {n} with more room")
}
