//! Bodies of one name keep their numbers.

use seamwright_geometry::{Mesh, Point, solids};
use seamwright_project::{Axis, CutPlane, Edit, Outcome};

use crate::workshop::{Workshop, by_id, id, ids, ring};

fn middle_of(outcome: &Outcome, text: &str) -> [f64; 3] {
    by_id(outcome)[&id(text)].facts.bounds.centre().coords.map(f64::round).into()
}

/// Two blocks, the second above and behind the first.
fn pair() -> Mesh {
    let block = |y: f64, z: f64| solids::cuboid(Point::new(0.0, y, z), Point::new(10.0, y + 10.0, z + 10.0));
    solids::joined(&[&block(0.0, 0.0), &block(30.0, 20.0)])
}

#[test]
fn a_cut_between_two_bodies_renames_neither() {
    let mut workshop = Workshop::with(&pair());
    let before = workshop.made();
    for plane in [
        CutPlane { axis: Axis::Z, through_mm: [0.0, 20.0, 15.0], tilt_deg: [180.0, 0.0] },
        CutPlane::square(Axis::Y, 20.0),
    ] {
        workshop.cut(plane);
        let after = workshop.made();
        assert_eq!(ids(&after), ["#0", "#1"]);
        for text in ["#0", "#1"] {
            assert_eq!(middle_of(&after, text), middle_of(&before, text));
        }
    }
}

/// The two sides of a ring are alike, and only rounding tells which is lower: it must not choose their names.
#[test]
fn the_two_sides_of_a_symmetric_model_keep_their_numbers_while_a_cut_moves() {
    let mut workshop = Workshop::with(&ring());
    let low = workshop.square_cut(Axis::Y, -40.0);
    workshop.square_cut(Axis::Y, 40.0);
    for step in 0..40 {
        let [way, turn] = [0.37, 0.83].map(|each| each * f64::from(step));
        let plane = CutPlane { axis: Axis::Y, through_mm: [0.0, way - 40.0, 0.0], tilt_deg: [0.0, turn - 15.0] };
        workshop.edit(&Edit::SetCutPlane { cut: low, plane });
        let outcome = workshop.made();
        assert_eq!(ids(&outcome), ["1b#0", "1a.2b#0", "1a.2b#1", "2a#0"]);
        let [left, right] = ["1a.2b#0", "1a.2b#1"].map(|text| middle_of(&outcome, text)[0]);
        assert!(left < 0.0 && right > 0.0, "step {step}");
    }
}
