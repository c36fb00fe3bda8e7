//! Line 5: cuts, their cards, and the ways to add one.

use super::common::pieces;
use crate::app::picks::PickedCut;
use seamwright_geometry::Vector;

use super::numbers::{angle, count, entry, mm, sizes};

pub const TOGETHER: &str = "unconnected bodies stay one piece";
pub const TOGETHER_HINT: &str = "Where a cut leaves several bodies on one side, they are one piece to print";
pub const CRUMBS_LEFT_OUT: &str = "crumbs are left out";
pub const CRUMBS_LEFT_OUT_HINT: &str =
    "Pieces so little that nobody means them are neither in the list nor in the kit; the other pieces stay as they are";
pub const ADD_BY: &str = "Add a cut by";
pub const BY_SURFACE: &str = "surface";
pub const BY_POINTS: &str = "points";
pub const BY_LINE: &str = "along a line";
pub const BY_LINE_HINT: &str =
    "Pick points on the model: the cut goes from point to point, and straight into the picture as you see it then";
pub const BY_NUMBER: &str = "number";
pub const BY_STEPPING: &str = "even lengths";
pub const CLICK: &str = "Click the model where the cut should go.";
pub const BY_BEST_PLANE: &str = "cut by the best plane";
pub const ALONG_LINE: &str = "cut along the line";
pub const ALONG_LINE_HINT: &str = "From point to point, and straight into the picture as you see it now";
pub const LAST_BACK: &str = "take the last back";
pub const ON_OFF: &str = "On: it cuts. Off: it stays here and does nothing";
pub const OFFSET: &str = "offset";
pub const EARLIER: &str = "earlier";
pub const LATER: &str = "later";
pub const THE_WHOLE: &str = "the whole part";
pub const CROSSES: &str = "crosses";
pub const CROSSES_ALL: &str = "all";
pub const CROSSES_NAMED: &str = "only some";
pub const CROSSES_NAMED_HINT: &str = "Choose which pieces it parts; it leaves all others whole";
pub const NOTHING: &str = "nothing";
pub const ALL_IT_CROSSES: &str = "all it crosses";
pub const OFF_THE_MODEL: &str = "It lies beside the model.";
pub const BRING_IT: &str = "bring it to the model";
pub const BRING_IT_HINT: &str = "Through the middle of the part, or where no other cut lies; undo takes it back";
pub const TILT_TOO_FAR: &str = "a tilt is less than 90° either way";

/// What Enter does while points are picked.
pub fn enter_makes(cut: PickedCut) -> String {
    let words = match cut {
        PickedCut::Line => ALONG_LINE,
        PickedCut::Plane => BY_BEST_PLANE,
    };
    format!("Enter: {words}")
}

/// How many points are picked, and what more would do.
pub fn points_picked(n: usize) -> String {
    match n {
        0 => "Click points along the line of the cut: three or more for a plane, two or more for a line.".into(),
        1 => "1 point picked; one more makes a line, two more a plane.".into(),
        2 => "2 points picked; one more makes a plane.".into(),
        _ => format!("{n} points picked. More make it surer; a click on a point takes it back."),
    }
}

/// How well a cut fits the points it was made from: to the hundredth above.
pub fn residual(residual_mm: f64, points: usize) -> String {
    let within = entry((residual_mm * 100.0).ceil() / 100.0);
    format!("within {within} mm of {}", count(points, "point", "points"))
}

/// The same while they are picked.
pub fn best_plane_goes(residual_mm: f64, points: usize) -> String {
    format!("The best plane goes {}.", residual(residual_mm, points))
}

/// How far each lies off it.
pub fn off_plane(off_mm: impl Iterator<Item = f64>) -> String {
    let each: Vec<String> = off_mm.map(mm).collect();
    format!("Off it, in order: {} mm", each.join(" · "))
}

/// `x 12.0 mm`: where a cut is, in short.
pub fn place(axis: &str, offset_mm: f64) -> String {
    format!("{axis} {} mm", mm(offset_mm))
}

/// `12°/0°`: both tilts, in short.
pub fn tilts(tilt_deg: [f64; 2]) -> String {
    format!("{}°/{}°", angle(tilt_deg[0]), angle(tilt_deg[1]))
}

/// What it crosses: all, or pieces by name.
pub fn crosses(what: &str) -> String {
    format!("crosses {what}")
}

/// A piece that it names and does not come to where it is now.
pub fn does_not_reach(what: &str) -> String {
    format!("{what} – the cut does not come to it here")
}

/// One of several bodies that lie apart from the start.
pub fn body(sizes_mm: &Vector) -> String {
    format!("the body of {} mm", sizes(sizes_mm))
}

/// What a cut crosses when it is limited: `only A1 and A2`, `all but A7`, `the whole part`. `marks` are those of what it
/// crosses, `others` those of all else.
pub fn only(marks: &[&str], others: &[&str]) -> String {
    match (marks.len(), others.len()) {
        (0, _) => NOTHING.into(),
        (_, 0) => THE_WHOLE.into(),
        (crossed, left) if left <= 2 && left < crossed => format!("all but {}", listed(others)),
        _ => format!("only {}", listed(marks)),
    }
}

/// One of the pieces that a cut may cross, by what it is made into now.
pub fn made_into(marks: &[&str], others: &[&str]) -> String {
    match (marks.len(), others.len()) {
        (_, 0) => THE_WHOLE.into(),
        (crossed, left) if left <= 2 && left < crossed => format!("all but {}", listed(others)),
        _ => listed(marks),
    }
}

/// So many marks are said one by one.
const MOST_LISTED: usize = 4;

/// `A1, A2 and A3`, `A1, A2, A3 and 5 more`.
fn listed(marks: &[&str]) -> String {
    match marks {
        [] => String::new(),
        [one] => (*one).into(),
        [first @ .., last] if marks.len() <= MOST_LISTED => format!("{} and {last}", first.join(", ")),
        _ => format!("{} and {} more", marks[..MOST_LISTED - 1].join(", "), marks.len() + 1 - MOST_LISTED),
    }
}

/// A piece that was not made: what lies on these sides of cuts.
pub fn lies(sides: &[String]) -> String {
    format!("what lies {}", sides.join(" and "))
}

/// `tilt about y`.
pub fn tilt_about(axis: &str) -> String {
    format!("tilt about {axis}")
}

/// `offset along z`.
pub fn offset_along(axis: &str) -> String {
    format!("offset along {axis}")
}

/// The part of the model that it is for.
pub fn cuts_part(part: &str) -> String {
    format!("cuts {part}")
}

/// What a click on an axis does.
pub fn make_square(axis: &str) -> String {
    format!("Make it square to {axis}, without tilt")
}

/// A cut that is not there any more.
pub fn gone(number: u32) -> String {
    format!("cut {number}")
}

/// `above brow`: one side of a cut.
pub fn side_of(side: &str, cut: &str) -> String {
    format!("{side} {cut}")
}

/// `5 · 6 pieces`: how many cuts, and what they make.
pub fn cuts_and_pieces(cuts: &str, n: usize) -> String {
    format!("{cuts} · {}", pieces(n))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_cut_crosses_is_said_from_its_shorter_side() {
        let marks = ["A1", "A2", "A3", "A4", "A5", "A6", "A7"];
        assert_eq!(only(&marks, &[]), "the whole part");
        assert_eq!(only(&marks[..6], &marks[6..]), "all but A7");
        assert_eq!(only(&marks[..2], &marks[2..]), "only A1 and A2");
        assert_eq!(only(&marks[..5], &["B1", "B2", "B3"]), "only A1, A2, A3 and 2 more");
        assert_eq!(made_into(&marks[..4], &marks[4..]), "A1, A2, A3 and A4");
        assert_eq!(only(&[], &marks), "nothing");
    }
}
