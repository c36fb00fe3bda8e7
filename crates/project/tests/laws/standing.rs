//! A model whose foot looks sideways is told, with the quarter turn that stands it up.

use crate::workshop::Workshop;
use seamwright_geometry::{Mesh, Point, solids};
use seamwright_project::{Axis, Edit, Note, Outcome, Weight};

/// A pyramid of 200 × 180 × 150 mm whose base looks to the back.
fn fallen() -> Mesh {
    let base = [[0.0, 0.0], [200.0, 0.0], [200.0, 180.0], [0.0, 180.0]].map(|[x, z]| Point::new(x, 150.0, z));
    let vertices = base.into_iter().chain([Point::new(100.0, 0.0, 90.0)]).collect();
    Mesh { vertices, triangles: vec![[0, 2, 1], [0, 3, 2], [0, 1, 4], [1, 2, 4], [2, 3, 4], [3, 0, 4]] }
}

fn told(outcome: &Outcome) -> Option<&Note> {
    outcome.notes.iter().find(|note| note.text.contains("would fall over"))
}

#[test]
fn a_model_that_lies_is_stood_on_its_foot_by_the_edit_of_its_note() {
    assert!(fallen().volume_mm3() > 0.0, "outside is outside");
    let mut workshop = Workshop::with(&fallen());
    let outcome = workshop.made();
    let note = told(&outcome).expect("it rests on an edge");
    assert_eq!(note.weight, Weight::Remark, "a quiet word");
    assert!(note.text.ends_with("Turned by −90° about X it stands on a flat foot of 200 × 180 mm"), "{}", note.text);
    let edit = note.edit.clone().expect("it is done with one click");
    workshop.edit(&edit);
    let outcome = workshop.made();
    let size = outcome.bounds().unwrap().size();
    assert!((size.z - 150.0).abs() < 1e-9 && told(&outcome).is_none(), "{size} {:?}", outcome.notes);
    workshop.edit(&Edit::SetStance(Default::default()));
    workshop.square_cut(Axis::X, 100.0);
    assert!(told(&workshop.made()).is_none(), "whoever cuts it has looked at it");
}

#[test]
fn what_stands_or_would_stand_nowhere_is_left_alone() {
    let mut upright = fallen();
    for p in &mut upright.vertices {
        *p = Point::new(p.x, p.z, 150.0 - p.y);
    }
    assert!(upright.volume_mm3() > 0.0);
    let block = solids::cuboid(Point::origin(), Point::new(200.0, 60.0, 40.0));
    let ball = solids::sphere(Point::origin(), 60.0, 24);
    for mesh in [upright, block, ball] {
        assert!(told(&Workshop::with(&mesh).made()).is_none());
    }
}

#[test]
fn a_piece_that_is_printed_standing_tall_on_next_to_nothing_is_told() {
    let told = |outcome: &Outcome| {
        outcome.notes.iter().find(|note| note.text.contains("it may break loose")).map(|note| note.text.clone())
    };
    let of = |wide_mm: f64| {
        let blade = solids::cuboid(Point::origin(), Point::new(30.0, wide_mm, 400.0));
        let mut workshop = Workshop::with(&blade);
        workshop.square_cut(Axis::Z, 220.0);
        workshop.made()
    };
    let thin = of(6.0);
    let text = thin.notes.iter().map(|note| note.text.as_str()).find(|text| text.contains("standing tall"));
    let text = text.expect("both halves stand on 6 mm");
    assert!(text.contains("220 mm tall on a foot of 30 × 6.0 mm"), "{text}");
    let stout = of(60.0);
    assert!(told(&stout).is_none() && !stout.notes.iter().any(|note| note.text.contains("standing tall")));
}
