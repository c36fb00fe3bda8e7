//! Ways and moves in the maker's words.

use seamwright_geometry::Vector;

use crate::cut_plane::Axis;

/// Where a direction points, by the axis that it runs along most: "upwards", "to the left".
pub(super) fn towards(direction: &Vector) -> &'static str {
    let axis = Axis::nearest(direction);
    match (axis, direction[axis.index()] < 0.0) {
        (Axis::X, false) => "to the right",
        (Axis::X, true) => "to the left",
        (Axis::Y, false) => "to the back",
        (Axis::Y, true) => "to the front",
        (Axis::Z, false) => "upwards",
        (Axis::Z, true) => "downwards",
    }
}

/// How both sides would lie on the bed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Flat {
    /// As they stand, or on a flat.
    Both,
    /// The same; so far away they would fit too, though one of them tilted freely only, mm. 0 for where it is.
    Farther { least_mm: f64 },
    /// One of them fits tilted freely only.
    NotBoth,
}

/// What to do with a cut: "move brow by 6.5 mm upwards, and both sides fit". `moved` is the way it moves, mm.
pub(super) fn moved(name: &str, moved: &Vector, tilted_deg: f64, flat: Flat) -> String {
    let mm = moved.norm();
    let way = towards(moved);
    let by = length(mm);
    let done = match (tilted_deg > 0.0, mm > 0.0) {
        (false, _) => format!("move {name} by {by} mm {way}"),
        (true, false) => format!("tilt {name} by {tilted_deg:.1}°"),
        (true, true) => format!("tilt {name} by {tilted_deg:.1}° and move it by {by} mm {way}"),
    };
    match flat {
        Flat::Both => format!("{done}, and both sides fit"),
        Flat::Farther { least_mm: 0.0 } => {
            format!("{done}, and both sides fit with a flat on the bed; where it is, one fits only tilted freely")
        }
        Flat::Farther { least_mm } => {
            let least = length(least_mm);
            format!("{done}, and both sides fit with a flat on the bed; after {least} mm one fits only tilted freely")
        }
        Flat::NotBoth => format!("{done}, and both sides fit, one of them only tilted freely"),
    }
}

/// A length in mm, as it is told and typed.
fn length(mm: f64) -> String {
    if mm < 0.1 { format!("{mm:.2}") } else { format!("{mm:.1}") }
}

/// What to do with a piece that more cuts make fit: "cut it once more across its height (Z), and both halves fit". `cuts`
/// are those square to each axis, `parts` what they leave.
pub(super) fn cut_across(cuts: [usize; 3], cut_before: bool, parts: usize) -> String {
    const SIDES: [&str; 3] = ["its width (X)", "its depth (Y)", "its height (Z)"];
    let times = |n: usize| match n {
        1 => "once".to_owned(),
        2 => "twice".to_owned(),
        n => format!("{n} times"),
    };
    let more = if cut_before { " more" } else { "" };
    let across: Vec<String> = SIDES
        .iter()
        .zip(cuts)
        .filter(|(_, n)| *n > 0)
        .enumerate()
        .map(|(k, (side, n))| format!("{}{} across {side}", times(n), if k == 0 { more } else { "" }))
        .collect();
    let across = match across.as_slice() {
        [most @ .., last] if !most.is_empty() => format!("{} and {last}", most.join(", ")),
        all => all.concat(),
    };
    let fit = if parts == 2 { "both halves fit".to_owned() } else { format!("all {parts} parts fit") };
    format!("cut it {across}, and {fit}")
}

/// What to do with a piece that no cuts that were tried make fit.
pub(super) fn cut_by_hand(cut_before: bool) -> String {
    let tried = if cut_before { "no move of its cuts and no even parts" } else { "no even parts" };
    format!("{tried} square to the axes that were tried all fit: cut it by hand, or use a larger bed")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cuts_are_told_as_one_says_them() {
        assert_eq!(cut_across([0, 0, 1], false, 2), "cut it once across its height (Z), and both halves fit");
        assert_eq!(cut_across([2, 0, 0], true, 3), "cut it twice more across its width (X), and all 3 parts fit");
        assert_eq!(
            cut_across([1, 3, 1], false, 14),
            "cut it once across its width (X), 3 times across its depth (Y) and once across its height (Z), and all 14 \
             parts fit"
        );
    }

    #[test]
    fn moves_are_told_as_one_says_them() {
        let brow = |x: f64, y: f64, z: f64, tilted_deg| moved("brow", &Vector::new(x, y, z), tilted_deg, Flat::Both);
        assert_eq!(brow(0.0, 0.0, 6.5, 0.0), "move brow by 6.5 mm upwards, and both sides fit");
        assert_eq!(brow(-12.04, 1.0, 0.0, 0.0), "move brow by 12.1 mm to the left, and both sides fit");
        assert_eq!(brow(0.0, -0.04, 0.0, 0.0), "move brow by 0.04 mm to the front, and both sides fit");
        assert_eq!(brow(0.0, 0.0, 0.0, 3.25), "tilt brow by 3.2°, and both sides fit");
        assert_eq!(brow(0.0, 4.0, 0.0, 2.0), "tilt brow by 2.0° and move it by 4.0 mm to the back, and both sides fit");
    }

    #[test]
    fn what_only_fits_tilted_freely_is_said() {
        let up = |flat| moved("brow", &Vector::new(0.0, 0.0, 9.0), 0.0, flat);
        assert_eq!(
            up(Flat::Farther { least_mm: 3.25 }),
            "move brow by 9.0 mm upwards, and both sides fit with a flat on the bed; after 3.2 mm one fits only tilted \
             freely"
        );
        assert!(up(Flat::Farther { least_mm: 0.0 }).ends_with("; where it is, one fits only tilted freely"));
        assert_eq!(
            up(Flat::NotBoth),
            "move brow by 9.0 mm upwards, and both sides fit, one of them only tilted freely"
        );
    }
}
