//! Where cuts leave pieces that fit: told before the cut is made, held against the pieces that it really makes.

use seamwright_geometry::{Bed, LastPiece, Point, Progress, Side, StepOffError, Steps, solids};
use seamwright_project::{Axis, CutPlane, Edit, PartId, PieceId, Placing, Scope, StepAsked, step_off};

use crate::workshop::{Workshop, block};

fn placing(workshop: &Workshop) -> Placing {
    Placing::prepare(&workshop.recipe, None, workshop.folder(), &workshop.cache, &Progress::new()).unwrap()
}

fn bar() -> Workshop {
    let mut workshop = Workshop::with(&solids::cuboid(Point::new(5.0, 0.0, 0.0), Point::new(805.0, 40.0, 30.0)));
    workshop.edit(&Edit::SetBed(Bed::rectangle(220.0, 100.0, 100.0)));
    workshop
}

#[test]
fn stepped_off_cuts_are_one_edit_and_all_their_pieces_fit() {
    let mut workshop = bar();
    let like = CutPlane::square(Axis::X, 0.0);
    let last = LastPiece { least_mm: 0.0 };
    let step = |steps| placing(&workshop).step_off(&PieceId::default(), &like, false, steps, last, &Progress::new());
    // The diagonal of the bed is longer than its width: 241 mm less what the bar is wide.
    let planes = step(Steps::Equal).unwrap();
    assert_eq!(planes.len(), 3);
    assert!(planes.iter().zip([205.0, 405.0, 605.0]).all(|(plane, at)| (plane.offset_mm() - at).abs() < 0.1));
    assert!(matches!(step(Steps::Every { length_mm: 300.0 }), Err(StepOffError::TooLong { .. })));
    let edit = Edit::AddCuts { name: "step".into(), part: PartId::MAIN, planes: planes.clone(), scope: Scope::All };
    assert_eq!(edit.title(&workshop.recipe), "step off 3 cuts");
    workshop.edit(&edit);
    assert_eq!(
        workshop.recipe.cuts.iter().map(|cut| cut.name.as_str()).collect::<Vec<_>>(),
        ["step 1", "step 2", "step 3"]
    );
    let outcome = workshop.made();
    assert_eq!(outcome.pieces.len(), 4);
    assert!(outcome.pieces.iter().all(|piece| piece.fit.verdict.fits()));
    assert!(
        Edit::AddCuts { name: String::new(), part: PartId(9), planes, scope: Scope::All }
            .apply(&workshop.recipe)
            .is_err()
    );
}

#[test]
fn stepping_off_backwards_begins_at_the_other_end() {
    let workshop = bar();
    let like = CutPlane::square(Axis::X, 0.0);
    let every = Steps::Every { length_mm: 210.0 };
    let last = LastPiece { least_mm: 200.0 };
    let step = |backwards| {
        let planes = placing(&workshop).step_off(&PieceId::default(), &like, backwards, every, last, &Progress::new());
        planes.unwrap().iter().map(|plane| plane.offset_mm().round()).collect::<Vec<_>>()
    };
    assert_eq!(step(false), [215.0, 425.0, 605.0]);
    assert_eq!(step(true), [595.0, 385.0, 205.0]);
}

#[test]
fn the_place_nearby_leaves_two_pieces_that_fit() {
    let mut workshop = Workshop::with(&block());
    workshop.edit(&Edit::SetBed(Bed::rectangle(61.0, 61.0, 61.0)));
    let before = CutPlane::square(Axis::X, 5.0);
    let plane = before.plane().unwrap();
    let placing = placing(&workshop);
    assert!(!placing.at(&plane).worst().1.unwrap().fits());
    let stretch = placing.stretch(&plane).unwrap();
    let near = placing.nearby(&plane, &Point::from(before.through_mm), &Progress::new()).unwrap().unwrap();
    let [low, high] = stretch.both_mm().unwrap();
    assert!(near.plane.offset_mm() >= low && near.plane.offset_mm() <= high && near.tilted_deg == 0.0);
    workshop.cut(before.moved_to(&near.plane));
    let outcome = workshop.made();
    assert_eq!(outcome.pieces.len(), 2);
    assert!(outcome.pieces.iter().all(|piece| piece.fit.verdict.fits()));
    assert_eq!(placing.stretch(&CutPlane::square(Axis::X, 500.0).plane().unwrap()), None);
}

#[test]
fn a_piece_that_fits_any_of_the_beds_fits() {
    let mut workshop = bar();
    let named = |name: &str, bed| seamwright_project::NamedBed { name: name.into(), bed };
    let beds =
        vec![named("small", Bed::rectangle(220.0, 100.0, 100.0)), named(" long ", Bed::rectangle(900.0, 60.0, 60.0))];
    workshop.edit(&Edit::SetBeds(beds));
    assert_eq!((workshop.recipe.bed_name(0), workshop.recipe.bed_name(1)), ("small".into(), "long".into()));
    let outcome = workshop.made();
    let piece = &outcome.pieces[0];
    assert!(piece.fit.verdict.fits() && piece.bed == 1 && piece.fits.len() == 2 && !piece.fits[0].verdict.fits());
    assert!(Edit::SetBeds(Vec::new()).apply(&workshop.recipe).is_err());
}

#[test]
fn the_exact_verdicts_of_a_cut_at_rest_are_those_of_the_pieces_that_it_makes() {
    let mut workshop = Workshop::with(&block());
    workshop.edit(&Edit::SetBed(Bed::rectangle(64.0, 55.0, 62.0)));
    for (offset, tilt_deg) in [(38.0, [0.0; 2]), (50.0, [10.0, 0.0]), (62.0, [0.0, -25.0])] {
        let cut = CutPlane { tilt_deg, ..CutPlane::square(Axis::X, offset) };
        let sides = placing(&workshop).exact(&cut.plane().unwrap(), &Progress::new()).unwrap();
        let mut made = Workshop::with(&block());
        made.recipe.bed = workshop.recipe.bed.clone();
        made.cut(cut);
        let outcome = made.made();
        assert_eq!((sides.len(), outcome.pieces.len()), (2, 2));
        for side in sides {
            let piece = outcome.pieces.iter().find(|piece| piece.id.path[0].1 == side.side).unwrap();
            assert_eq!(side.verdict, piece.fit.verdict);
            let off_mm = (side.slack_mm - piece.fit.slack_mm).abs();
            assert!(off_mm <= side.error_mm + 1e-6, "{side:?} {:?}", piece.fit);
            assert!(side.error_mm < 0.05, "less than a tenth of a millimetre is rounded by");
        }
    }
    let cancelled = Progress::new();
    cancelled.cancel();
    let plane = CutPlane::square(Axis::X, 50.0).plane().unwrap();
    assert!(placing(&workshop).exact(&plane, &cancelled).is_err());
}

/// Two prongs on a foot: 150 mm wide together, 30 mm each.
fn fork() -> Workshop {
    let cuboid = |low: [f64; 3], high: [f64; 3]| solids::cuboid(Point::from(low), Point::from(high));
    let foot = cuboid([0.0, 0.0, 0.0], [150.0, 30.0, 20.0]);
    let prongs = [0.0, 120.0].map(|x| cuboid([x, 0.0, 10.0], [x + 30.0, 30.0, 120.0]));
    let mut workshop = Workshop::with(&solids::joined(&[&foot, &prongs[0], &prongs[1]]));
    workshop.edit(&Edit::SetBed(Bed::rectangle(160.0, 60.0, 60.0)));
    workshop
}

#[test]
fn a_side_that_falls_apart_is_told_by_its_bodies_once_the_hand_rests() {
    let workshop = fork();
    let plane = CutPlane::square(Axis::Z, 30.0).plane().unwrap();
    let sides = placing(&workshop).exact(&plane, &Progress::new()).unwrap();
    let above = sides.iter().find(|side| side.side == Side::Above).unwrap();
    // As one lump they would be 150 mm wide and 90 mm high; a prong lies down.
    assert!(above.verdict.fits(), "{above:?}");
    let mut made = fork();
    made.square_cut(Axis::Z, 30.0);
    let pieces = made.made().pieces;
    let above: Vec<_> = pieces.iter().filter(|piece| piece.id.path.iter().any(|(_, on)| *on == Side::Above)).collect();
    assert!(above.len() == 2 && above.iter().all(|piece| piece.fit.verdict.fits()));
}

#[test]
fn where_both_sides_fit_only_tilted_the_exact_stretch_tells_where() {
    // A half is longer than the bed, and lies in it from corner to corner.
    let mut workshop = Workshop::with(&solids::cuboid(Point::origin(), Point::new(20.0, 20.0, 300.0)));
    workshop.edit(&Edit::SetBed(Bed::rectangle(110.0, 110.0, 110.0)));
    let (placing, plane) = (placing(&workshop), CutPlane::square(Axis::Z, 150.0).plane().unwrap());
    assert_eq!(placing.stretch(&plane).unwrap().both_mm(), None);
    let [low, high] = placing.exact_stretch(&plane, &Progress::new()).unwrap().unwrap().both_mm().unwrap();
    assert!(low <= 150.0 && high >= 150.0, "{low} to {high}");
    for offset in [low, high] {
        let sides = placing.exact(&CutPlane::square(Axis::Z, offset).plane().unwrap(), &Progress::new()).unwrap();
        assert!(sides.iter().all(|side| side.verdict.fits()), "{offset}: {sides:?}");
    }
    let stopped = Progress::new();
    stopped.cancel();
    assert!(placing.exact_stretch(&plane, &stopped).is_err());
}

#[test]
fn parts_that_are_stepped_off_fit_when_they_are_made_and_stand_where_that_takes_few_more() {
    let mut workshop = Workshop::with(&solids::cuboid(Point::origin(), Point::new(20.0, 20.0, 300.0)));
    workshop.edit(&Edit::SetBed(Bed::rectangle(110.0, 110.0, 110.0)));
    for steps in [Steps::Equal, Steps::AsLongAsFits] {
        let asked =
            StepAsked { piece: PieceId::default(), bed: 0, axis: Axis::Z, backwards: false, steps, least_mm: 0.0 };
        let (recipe, cache) = (&workshop.recipe, &workshop.cache);
        let stepped = step_off(recipe, &asked, workshop.folder(), cache, &Progress::new()).unwrap();
        // Halves would fit tilted freely only.
        assert!(steps != Steps::Equal || stepped.planes.len() == 2, "{stepped:?}");
        let mut made = Workshop::with(&solids::cuboid(Point::origin(), Point::new(20.0, 20.0, 300.0)));
        made.edit(&Edit::SetBed(Bed::rectangle(110.0, 110.0, 110.0)));
        made.edit(&stepped.edit);
        assert!(made.made().pieces.iter().all(|piece| piece.fit.verdict.fits()), "{steps:?}");
    }
}
