//! Bores in the recipe: how they are added and changed, and how they follow the model.

use proptest::prelude::*;
use seamwright_geometry::{Point, Vector};
use seamwright_project::rods::{Clearance, ClearanceClass};
use seamwright_project::{
    Axis, BoreChange, BoreId, BoreShape, BoreTrouble, Edit, EditError, Fitting, NewBore, PartId, Placed, Recipe,
    RodChoice, Size, Stop, Unit,
};

use crate::recipes;
use crate::workshop::some_cases;

pub fn bore(line_mm: &[[f64; 3]], rod: RodChoice) -> Edit {
    let line_mm = line_mm.to_vec();
    Edit::AddBore(Box::new(NewBore { name: String::new(), part: PartId::MAIN, line_mm, placed: Placed::Typed, rod }))
}

pub fn listed(name: &str) -> RodChoice {
    RodChoice::Listed(name.into())
}

fn with_blade() -> Recipe {
    let line = vec![[1.0, 2.0, 3.0], [1.0, 2.0, 103.0]];
    let (name, placed) = ("blade".into(), Placed::Axis(Axis::Z));
    let new = NewBore { name, part: PartId::MAIN, line_mm: line, placed, rod: listed("M6") };
    Edit::AddBore(Box::new(new)).apply(&Recipe::new("glaive")).unwrap()
}

fn change(change: BoreChange) -> Edit {
    Edit::ChangeBore { bore: BoreId(1), change }
}

#[test]
fn a_bore_is_as_wide_as_its_rod_its_clearance_and_the_printer_ask_for() {
    let recipe = with_blade();
    let blade = &recipe.bores[0];
    assert_eq!((blade.rod.diameter_mm(), blade.hole().diameter_mm, blade.hole().source), (6.0, 6.6, "ISO 273"));
    assert!((blade.diameter_mm() - 6.8).abs() < 1e-12);
    let fine = change(BoreChange::Clearance(Clearance::Class(ClearanceClass::Fine))).apply(&recipe).unwrap();
    assert_eq!(fine.bores[0].hole().diameter_mm, 6.4);
    let exact = change(BoreChange::Clearance(Clearance::Typed(0.0))).apply(&fine).unwrap();
    let exact = change(BoreChange::Printer(0.0)).apply(&exact).unwrap();
    assert_eq!(exact.bores[0].diameter_mm(), 6.0);
}

#[test]
fn changes_of_a_bore_read_like_what_the_maker_did() {
    let recipe = with_blade();
    let title = |change| Edit::ChangeBore { bore: BoreId(1), change }.title(&recipe);
    assert_eq!(bore(&[], listed("M6")).title(&recipe), "add bore 2");
    assert_eq!(Edit::RemoveBore(BoreId(1)).title(&recipe), "remove blade");
    assert_eq!(Edit::RemoveBore(BoreId(7)).title(&recipe), "remove bore 7");
    for (change, words) in [
        (BoreChange::Name(" spine ".into()), "call blade spine"),
        (BoreChange::Point { at: 1, to_mm: [1.0, 2.0, 98.0] }, "move the last end of blade by 5.0 mm"),
        (BoreChange::Rod(listed("carbon tube 10x8 mm")), "make blade for carbon tube 10x8 mm"),
        (BoreChange::Rod(RodChoice::Typed(7.0)), "make blade for a rod of 7 mm"),
        (BoreChange::Clearance(Clearance::Typed(0.3)), "give blade a clearance of 0.3 mm"),
        (BoreChange::Clearance(Clearance::Class(ClearanceClass::Coarse)), "give blade a coarse clearance"),
        (BoreChange::Shape(BoreShape::Teardrop), "make blade a teardrop"),
        (BoreChange::Stop { end: 1, stop: Stop::Blind(4.0) }, "stop the last end of blade 4 mm below the surface"),
        (
            BoreChange::Fitting { end: 0, fitting: Fitting::NutPocket(1.0) },
            "add a nut pocket at the first end of blade",
        ),
        (BoreChange::MayCross(true), "let blade cross other bores"),
        (BoreChange::Enabled(false), "switch blade off"),
    ] {
        assert_eq!(title(change), words);
    }
}

#[test]
fn numbers_that_make_no_channel_are_refused_with_the_reason() {
    let recipe = with_blade();
    let refused = |edit: Edit| match edit.apply(&recipe).unwrap_err() {
        EditError::Bore(trouble) => trouble,
        other => panic!("{other}"),
    };
    assert_eq!(refused(bore(&[[0.0; 3]], listed("M6"))), BoreTrouble::Points(1));
    assert_eq!(refused(bore(&[[0.0; 3], [0.0; 3]], listed("M6"))), BoreTrouble::Place(1));
    assert_eq!(refused(bore(&[[0.0; 3], [0.0, 0.0, f64::NAN]], listed("M6"))), BoreTrouble::Place(1));
    assert_eq!(refused(change(BoreChange::Rod(listed("M9")))), BoreTrouble::NoSuchRod("M9".into()));
    assert_eq!(refused(change(BoreChange::Rod(RodChoice::Typed(0.0)))), BoreTrouble::Diameter(0.0));
    assert_eq!(refused(change(BoreChange::Up([0.0; 3]))), BoreTrouble::Direction("the shape"));
    assert_eq!(refused(change(BoreChange::Point { at: 2, to_mm: [0.0; 3] })), BoreTrouble::NoSuchPoint(2, 2));
    let narrow = change(BoreChange::Fitting { end: 0, fitting: Fitting::Countersink(5.0) });
    assert!(matches!(refused(narrow), BoreTrouble::NarrowCountersink(..)));
    assert_eq!(Edit::RemoveBore(BoreId(3)).apply(&recipe), Err(EditError::NoSuchBore(BoreId(3))));
    assert_eq!(change(BoreChange::Name(" ".into())).apply(&recipe), Err(EditError::EmptyName));
}

#[test]
fn another_rod_leaves_away_what_does_not_go_with_it() {
    let recipe = with_blade();
    let nut = change(BoreChange::Fitting { end: 0, fitting: Fitting::NutPocket(1.0) }).apply(&recipe).unwrap();
    let wood = change(BoreChange::Rod(listed("dowel 8 mm"))).apply(&nut).unwrap();
    assert_eq!(wood.bores[0].ends[0].fitting, Fitting::None);
    let blind = change(BoreChange::Stop { end: 0, stop: Stop::Blind(3.0) }).apply(&nut).unwrap();
    assert_eq!(blind.bores[0].ends[0].fitting, Fitting::None);
}

#[test]
fn identities_of_bores_are_never_used_twice() {
    let recipe = Edit::RemoveBore(BoreId(1)).apply(&with_blade()).unwrap();
    let again = bore(&[[0.0; 3], [1.0; 3]], listed("M6")).apply(&recipe).unwrap();
    assert_eq!((again.bores[0].id, again.bores[0].name.as_str()), (BoreId(2), "bore 1"));
    let last = Recipe { next_bore: BoreId(BoreId::LAST.0 + 1), ..again };
    assert_eq!(bore(&[[0.0; 3], [1.0; 3]], listed("M6")).apply(&last), Err(EditError::NoBoreIdLeft));
}

#[test]
fn a_bore_grows_with_the_model_and_its_rod_does_not() {
    let blind = change(BoreChange::Stop { end: 1, stop: Stop::Blind(4.0) }).apply(&with_blade()).unwrap();
    let larger = Edit::SetSize(Size { unit: Unit::Millimetre, factor: 2.0 }).apply(&blind).unwrap();
    let (before, after) = (&blind.bores[0], &larger.bores[0]);
    assert_eq!(after.line_mm, [[2.0, 4.0, 6.0], [2.0, 4.0, 206.0]]);
    assert_eq!((after.diameter_mm(), after.ends), (before.diameter_mm(), before.ends));
}

proptest! {
    #![proptest_config(some_cases())]

    #[test]
    fn a_bore_stays_at_its_place_on_the_model(before in recipes::stance(), after in recipes::stance()) {
        let recipe = Edit::SetStance(before).apply(&with_blade()).unwrap();
        let recipe = change(BoreChange::Up([0.3, 0.1, 0.9])).apply(&recipe).unwrap();
        let line = vec![[1.0, 2.0, 3.0], [-40.0, 8.0, 60.0]];
        let laid = change(BoreChange::Line { line_mm: line, placed: Placed::Typed }).apply(&recipe).unwrap();
        let turned = Edit::SetStance(after).apply(&laid).unwrap();
        let (was, is) = (&laid.bores[0], &turned.bores[0]);
        // Back through the turn that it is in now, and into the one before.
        let back = Edit::SetStance(before).apply(&turned).unwrap();
        for (a, b) in was.line_mm.iter().zip(&back.bores[0].line_mm) {
            prop_assert!((Point::from(*a) - Point::from(*b)).norm() < 1e-9);
        }
        prop_assert!((Vector::from(was.up) - Vector::from(back.bores[0].up)).norm() < 1e-9);
        prop_assert!((was.line_length_mm() - is.line_length_mm()).abs() < 1e-9);
        // The shape is turned with the model: up keeps its angle to the line.
        let along = |b: &seamwright_project::Bore| Point::from(b.line_mm[1]) - Point::from(b.line_mm[0]);
        prop_assert!((along(was).dot(&Vector::from(was.up)) - along(is).dot(&Vector::from(is.up))).abs() < 1e-9);
    }
}
