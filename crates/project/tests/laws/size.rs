//! Size: the unit of the file and what the model is enlarged by.

use proptest::prelude::*;
use seamwright_geometry::{Bed, Point};
use seamwright_project::{Axis, CutForm, Edit, PartId, Recipe, Scope, Size, SizedBy, Stage, Unit};

use crate::recipes;
use crate::workshop::{Workshop, assert_near, block, by_id};

proptest! {
    #[test]
    fn a_new_size_keeps_a_cut_on_the_same_detail(
        plane in recipes::plane(), size in recipes::size(), detail in prop::array::uniform3(-100.0..100.0f64),
    ) {
        let add = Edit::AddCut { name: String::new(), part: PartId::MAIN, plane, form: CutForm::Flat, scope: Scope::All };
        let before = add.apply(&Recipe::new("part")).unwrap();
        let after = Edit::SetSize(size).apply(&before).unwrap();
        let distance = |recipe: &Recipe| {
            let detail_mm = Point::from(detail) * recipe.size.scale();
            recipe.cuts[0].plane.plane().unwrap().distance_mm(&detail_mm) / recipe.size.scale()
        };
        let far = plane.through_mm.iter().fold(100.0, |far: f64, x| far.max(x.abs()));
        prop_assert!((distance(&after) - distance(&before)).abs() <= 1e-13 * far);
        prop_assert_eq!(after.cuts[0].plane.tilt_deg.map(f64::to_bits), plane.tilt_deg.map(f64::to_bits));
    }
}

#[test]
fn a_model_in_inches_is_cut_in_millimetres() {
    let mut workshop = Workshop::with(&block());
    workshop.edit(&Edit::SetSize(Size { unit: Unit::Inch, factor: 2.0 }));
    let whole = workshop.made();
    assert_near(whole.whole().unwrap().mesh.volume_mm3(), 240_000.0 * 50.8_f64.powi(3), 1e-12);
    workshop.square_cut(Axis::X, 25.0 * 50.8);
    let outcome = workshop.made();
    let below = by_id(&outcome)[&"1b#0".parse().unwrap()].facts.clone();
    assert_near(below.volume_mm3, 60_000.0 * 50.8_f64.powi(3), 1e-12);
    assert_near(below.bounds.max.x, 1270.0, 1e-14);
}

#[test]
fn the_same_cut_parts_the_same_share_at_every_size() {
    let mut workshop = Workshop::with(&block());
    workshop.square_cut(Axis::Y, 25.0);
    for unit in Unit::ALL {
        workshop.edit(&Edit::SetSize(Size { unit, factor: 0.3 }));
        let outcome = workshop.made();
        let volumes: Vec<f64> = by_id(&outcome).values().map(|piece| piece.facts.volume_mm3).collect();
        assert_near(volumes[0] / (volumes[0] + volumes[1]), 25.0 / 60.0, 1e-12);
    }
}

#[test]
fn a_size_beyond_all_sense_names_the_unit_and_the_factor() {
    let mut workshop = Workshop::with(&block());
    for factor in [1e9, 1e-9] {
        workshop.edit(&Edit::SetSize(Size { unit: Unit::Metre, factor }));
        let outcome = workshop.outcome();
        let failure = outcome.failure.expect("no model is that large or that small");
        assert_eq!(failure.stage, Stage::Size);
        assert!(failure.text.contains("meter") && failure.text.contains("another unit"), "{}", failure.text);
        assert!(outcome.stock.is_some() && outcome.pieces.is_empty());
    }
}

#[test]
fn a_model_of_a_third_of_a_millimetre_is_noted_with_the_unit_that_mends_it() {
    let mut small = block();
    small.vertices.iter_mut().for_each(|p| *p *= 0.00317);
    let mut workshop = Workshop::with(&small);
    let outcome = workshop.made();
    let note = outcome.notes.iter().find(|note| note.text.contains("only 0.32 mm long")).expect("it is noted");
    assert!(note.text.contains("Perhaps it was modelled in metres: then it is 317 mm long"), "{}", note.text);
    let other = outcome.notes.iter().find(|note| note.text.starts_with("Or it was modelled in feet: then it is 97 mm"));
    assert!(other.is_some_and(|note| note.edit.is_some()), "{:?}", outcome.notes);
    let edit = note.edit.clone().expect("it is done with one click");
    workshop.edit(&edit);
    let outcome = workshop.made();
    assert_near(outcome.bounds().unwrap().size().x, 317.0, 1e-5);
    assert!(outcome.notes.iter().all(|note| !note.text.contains("modelled in")), "{:?}", outcome.notes);
}

#[test]
fn whoever_said_how_large_it_is_knows_better_than_a_guess() {
    let mut workshop = Workshop::with(&block());
    let by = SizedBy::Dimension { axis: Axis::X, mm: 8.0 };
    workshop.edit(&Edit::SetSizeBy { factor: 0.08, by });
    assert!(workshop.made().notes.iter().all(|note| !note.text.contains("modelled in")));
}

#[test]
fn what_is_too_big_says_first_by_how_much_as_it_stands() {
    let mut workshop = Workshop::with(&block());
    workshop.edit(&Edit::SetSize(Size { unit: Unit::Millimetre, factor: 4.0 }));
    workshop.edit(&Edit::SetBed(Bed::rectangle(300.0, 300.0, 300.0)));
    let note = workshop.made().notes[0].text.clone();
    assert!(
        note.starts_with("A1 is too big: 100.0 mm too wide as it stands, and even in its best pose it sticks out by "),
        "{note}"
    );
}
