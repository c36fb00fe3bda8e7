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

/// What to do with a cut: "move brow by 6.5 mm upwards, and both sides fit". `moved` is the way it moves, mm.
pub(super) fn moved(name: &str, moved: &Vector, tilted_deg: f64) -> String {
    let mm = moved.norm();
    let by = if mm < 0.1 { format!("{mm:.2}") } else { format!("{mm:.1}") };
    let way = towards(moved);
    match (tilted_deg > 0.0, mm > 0.0) {
        (false, _) => format!("move {name} by {by} mm {way}, and both sides fit"),
        (true, false) => format!("tilt {name} by {tilted_deg:.1}°, and both sides fit"),
        (true, true) => format!("tilt {name} by {tilted_deg:.1}° and move it by {by} mm {way}, and both sides fit"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn moves_are_told_as_one_says_them() {
        let brow = |x: f64, y: f64, z: f64, tilted_deg| moved("brow", &Vector::new(x, y, z), tilted_deg);
        assert_eq!(brow(0.0, 0.0, 6.5, 0.0), "move brow by 6.5 mm upwards, and both sides fit");
        assert_eq!(brow(-12.04, 1.0, 0.0, 0.0), "move brow by 12.1 mm to the left, and both sides fit");
        assert_eq!(brow(0.0, -0.04, 0.0, 0.0), "move brow by 0.04 mm to the front, and both sides fit");
        assert_eq!(brow(0.0, 0.0, 0.0, 3.25), "tilt brow by 3.2°, and both sides fit");
        assert_eq!(brow(0.0, 4.0, 0.0, 2.0), "tilt brow by 2.0° and move it by 4.0 mm to the back, and both sides fit");
    }
}
