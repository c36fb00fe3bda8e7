//! What is told to do about pieces that do not fit is done, and then they fit.

use seamwright_geometry::{Bed, Point, Progress, Vector, solids};
use seamwright_project::{
    Axis, CutForm, CutId, CutPlane, CutProfile, Edit, Line, NamedBed, Nearest, NearestPlace, Note, PlacingError, Waves,
    advise, nearest_place,
};

use crate::workshop::{Workshop, block};

fn nearest(workshop: &Workshop, cut: CutId) -> Nearest {
    nearest_place(&workshop.recipe, cut, workshop.folder(), &workshop.cache, &Progress::new()).unwrap()
}

#[track_caller]
fn place(workshop: &Workshop, cut: CutId) -> NearestPlace {
    match nearest(workshop, cut) {
        Nearest::Place(place) => place,
        other => panic!("{other:?}"),
    }
}

fn advice(workshop: &Workshop) -> Vec<Note> {
    advise(&workshop.made(), workshop.folder(), &workshop.cache, &Progress::new()).unwrap()
}

#[track_caller]
fn all_fit(workshop: &Workshop) {
    for piece in workshop.made().pieces {
        assert!(piece.fit.verdict.fits(), "{}: {:?}", piece.mark, piece.fit);
    }
}

/// A block of 100 × 60 × 40 mm on a bed that takes 61 mm of its length.
fn too_long() -> Workshop {
    let mut workshop = Workshop::with(&block());
    workshop.edit(&Edit::SetBed(Bed::rectangle(61.0, 61.0, 40.0)));
    workshop
}

#[test]
fn a_cut_is_moved_as_little_as_makes_both_sides_fit() {
    for (offset, moved, words) in [
        (25.0, 14.0, "move cut 1 by 14.0 mm to the right, and both sides fit"),
        (70.55, -9.6, "move cut 1 by 9.6 mm to the left, and both sides fit"),
    ] {
        let mut workshop = too_long();
        let cut = workshop.square_cut(Axis::X, offset);
        let place = place(&workshop, cut);
        assert!((place.moved_mm - moved).abs() < 1e-6 && place.tilted_deg == 0.0, "{place:?}");
        assert_eq!(place.text, words);
        // A tenth of a millimetre less is not enough.
        let mut less = too_long();
        less.square_cut(Axis::X, offset + moved - 0.11 * moved.signum());
        assert!(less.made().pieces.iter().any(|piece| !piece.fit.verdict.fits()));
        workshop.edit(&place.edit());
        all_fit(&workshop);
        assert_eq!(nearest(&workshop, cut), Nearest::Here);
    }
}

#[test]
fn the_tilts_that_were_typed_stay_when_a_cut_is_only_moved() {
    let mut workshop = too_long();
    let cut = workshop.cut(CutPlane { tilt_deg: [3.3, -4.7], ..CutPlane::square(Axis::X, 20.0) });
    let place = place(&workshop, cut);
    assert_eq!((place.plane.tilt_deg, place.tilted_deg), ([3.3, -4.7], 0.0));
    workshop.edit(&place.edit());
    all_fit(&workshop);
}

#[test]
fn what_fits_where_it_is_and_what_fits_nowhere_is_told_so() {
    let mut workshop = too_long();
    let cut = workshop.square_cut(Axis::X, 50.0);
    assert_eq!(nearest(&workshop, cut), Nearest::Here);
    workshop.edit(&Edit::SetBed(Bed::rectangle(45.0, 61.0, 40.0)));
    assert_eq!(nearest(&workshop, cut), Nearest::Nowhere);
    let beside = workshop.square_cut(Axis::X, 500.0);
    assert_eq!(nearest(&workshop, beside), Nearest::PartsNothing);
    assert_eq!(nearest(&workshop, CutId(99)), Nearest::PartsNothing);
    workshop.edit(&Edit::SetCutEnabled { cut, enabled: false });
    assert_eq!(nearest(&workshop, cut), Nearest::PartsNothing);
}

#[test]
fn pieces_elsewhere_that_do_not_fit_are_no_matter_of_a_cut() {
    let mut workshop = Workshop::with(&solids::cuboid(Point::origin(), Point::new(400.0, 50.0, 40.0)));
    workshop.edit(&Edit::SetBed(Bed::rectangle(61.0, 61.0, 61.0)));
    let (first, second) = (workshop.square_cut(Axis::X, 70.0), workshop.square_cut(Axis::X, 110.0));
    // What is beyond the second cut is 290 mm long, wherever the first cut is.
    assert!((place(&workshop, first).moved_mm + 9.0).abs() < 0.5, "{:?}", place(&workshop, first));
    assert_eq!(nearest(&workshop, second), Nearest::Nowhere);
}

#[test]
fn a_cut_along_a_profile_is_moved_by_what_its_pieces_really_are() {
    let mut workshop = too_long();
    let cut = workshop.square_cut(Axis::X, 30.0);
    let line = Line::Zigzag(Waves { pitch_mm: 20.0, height_mm: 8.0, count: 2 });
    workshop.edit(&Edit::SetCutForm { cut, form: CutForm::Profile(CutProfile { line, turn_deg: 0.0 }) });
    let place = place(&workshop, cut);
    assert!(place.moved_mm > 8.9 && place.moved_mm < 17.1, "{place:?}");
    workshop.edit(&place.edit());
    all_fit(&workshop);
}

#[test]
fn a_cut_that_no_move_helps_is_tilted() {
    // A leaning bar: level cuts leave ends that lean out; cuts nearly square to it can lie on the cut.
    let lean = seamwright_geometry::Motion::rotation(Vector::y() * 0.3);
    let bar = solids::cuboid(Point::new(-20.0, -20.0, -100.0), Point::new(20.0, 20.0, 100.0)).transformed(&lean);
    let mut workshop = Workshop::with(&bar);
    workshop.edit(&Edit::SetBed(Bed::rectangle(48.0, 41.0, 104.0)));
    let cut = workshop.square_cut(Axis::Z, 0.0);
    assert!(workshop.made().pieces.iter().all(|piece| !piece.fit.verdict.fits()));
    let place = place(&workshop, cut);
    assert!(place.tilted_deg > 1.0 && place.tilted_deg < 20.0, "{place:?}");
    assert!(place.text.starts_with("tilt cut 1 by"), "{}", place.text);
    workshop.edit(&place.edit());
    all_fit(&workshop);
}

/// A rod of 20 × 20 mm on a bed of 110 mm each way: 135 mm of it lie from corner to corner of the bed, a little more than
/// 150 mm fit from corner to corner of the room.
fn rod_cut_at(offset_mm: f64, length_mm: f64) -> (Workshop, CutId) {
    let mut workshop = Workshop::with(&solids::cuboid(Point::origin(), Point::new(20.0, 20.0, length_mm)));
    workshop.edit(&Edit::SetBed(Bed::rectangle(110.0, 110.0, 110.0)));
    let cut = workshop.square_cut(Axis::Z, offset_mm);
    (workshop, cut)
}

/// Whether some piece fits tilted freely only.
fn tilts_freely(workshop: &Workshop) -> bool {
    let freely = |reason: &seamwright_geometry::Reason| matches!(reason, seamwright_geometry::Reason::TiltsFreely);
    workshop.made().pieces.iter().any(|piece| freely(&piece.fit.reason))
}

#[test]
fn a_little_farther_where_both_sides_have_a_flat_on_the_bed_is_the_better_place() {
    let (mut workshop, cut) = rod_cut_at(186.0, 190.0);
    let place = place(&workshop, cut);
    let words = "and both sides fit with a flat on the bed; after ";
    assert!(place.text.contains(words) && place.text.ends_with(" mm one fits only tilted freely"), "{}", place.text);
    workshop.edit(&place.edit());
    all_fit(&workshop);
    assert!(!tilts_freely(&workshop));
    assert_eq!(nearest(&workshop, cut), Nearest::Here);
}

#[test]
fn where_a_side_fits_but_only_tilted_freely_a_flat_nearby_is_offered() {
    let (mut workshop, cut) = rod_cut_at(145.0, 190.0);
    all_fit(&workshop);
    assert!(tilts_freely(&workshop));
    let place = place(&workshop, cut);
    assert!(place.text.ends_with("; where it is, one fits only tilted freely"), "{}", place.text);
    workshop.edit(&place.edit());
    all_fit(&workshop);
    assert!(!tilts_freely(&workshop));
}

#[test]
fn a_flat_that_is_far_or_nowhere_is_not_gone_to() {
    // One of two parts of 290 mm is always longer than what lies on the bed.
    let (workshop, cut) = rod_cut_at(145.0, 290.0);
    assert!(tilts_freely(&workshop));
    assert_eq!(nearest(&workshop, cut), Nearest::Here);
    let (mut workshop, cut) = rod_cut_at(40.0, 290.0);
    let place = place(&workshop, cut);
    assert!(place.text.ends_with("both sides fit, one of them only tilted freely"), "{}", place.text);
    workshop.edit(&place.edit());
    all_fit(&workshop);
}

#[test]
fn any_of_several_beds_will_do() {
    let mut workshop = too_long();
    let bed = |name: &str, bed| NamedBed { name: name.into(), bed };
    workshop.edit(&Edit::SetBeds(vec![
        bed("small", Bed::rectangle(61.0, 61.0, 40.0)),
        bed("long", Bed::rectangle(90.0, 61.0, 40.0)),
    ]));
    let cut = workshop.square_cut(Axis::X, 5.0);
    let place = place(&workshop, cut);
    assert!((place.moved_mm - 5.0).abs() < 0.11, "{place:?}");
}

#[test]
fn every_piece_that_does_not_fit_comes_with_what_to_do() {
    let mut workshop = too_long();
    let cut = workshop.square_cut(Axis::X, 25.0);
    let notes = advice(&workshop);
    let [note] = &notes[..] else { panic!("{notes:?}") };
    assert_eq!(note.text, "A2: move cut 1 by 14.0 mm to the right, and both sides fit");
    assert_eq!((note.cut, note.piece.is_some()), (Some(cut), true));
    workshop.edit(note.edit.as_ref().unwrap());
    all_fit(&workshop);
    assert!(advice(&workshop).is_empty());
}

#[test]
fn a_piece_that_no_move_helps_is_cut_once_more() {
    let mut workshop = Workshop::with(&solids::cuboid(Point::origin(), Point::new(400.0, 50.0, 40.0)));
    workshop.edit(&Edit::SetBed(Bed::rectangle(110.0, 61.0, 61.0)));
    workshop.square_cut(Axis::X, 100.0);
    let notes = advice(&workshop);
    let [note] = &notes[..] else { panic!("{notes:?}") };
    assert_eq!(note.text, "A2: cut it twice more across its width (X), and all 3 parts fit");
    workshop.edit(note.edit.as_ref().unwrap());
    assert_eq!(workshop.made().pieces.len(), 4);
    all_fit(&workshop);
}

#[test]
fn a_piece_that_is_too_big_two_ways_is_cut_across_two_axes() {
    let mut workshop = Workshop::with(&solids::cuboid(Point::origin(), Point::new(180.0, 190.0, 40.0)));
    workshop.edit(&Edit::SetBed(Bed::rectangle(101.0, 101.0, 61.0)));
    let notes = advice(&workshop);
    let [note] = &notes[..] else { panic!("{notes:?}") };
    let words = "A1: cut it once across its width (X) and once across its depth (Y), and all 4 parts fit";
    assert_eq!(note.text, words);
    workshop.edit(note.edit.as_ref().unwrap());
    assert_eq!(workshop.made().pieces.len(), 4);
    all_fit(&workshop);
}

#[test]
fn parts_that_stand_are_preferred_to_a_few_less_that_only_fit_tilted_freely() {
    // Each half is longer than the bed is wide or high, and lies from corner to corner of its room.
    let mut workshop = Workshop::with(&solids::cuboid(Point::origin(), Point::new(20.0, 20.0, 300.0)));
    workshop.edit(&Edit::SetBed(Bed::rectangle(110.0, 110.0, 110.0)));
    let notes = advice(&workshop);
    assert_eq!(notes[0].text, "A1: cut it twice across its height (Z), and all 3 parts fit");
    workshop.edit(notes[0].edit.as_ref().unwrap());
    all_fit(&workshop);
}

#[test]
fn many_hopeless_ways_into_fewer_parts_do_not_hide_one_that_is_sure() {
    // Slabs and rods of it are all too long for the bed, and there are more of them than are tried; eighths lie in it.
    let mut workshop = Workshop::with(&solids::cuboid(Point::origin(), Point::new(230.0, 230.0, 269.0)));
    workshop.edit(&Edit::SetBed(Bed::rectangle(180.0, 180.0, 180.0)));
    let notes = advice(&workshop);
    assert!(notes[0].text.ends_with("and all 8 parts fit"), "{notes:?}");
    workshop.edit(notes[0].edit.as_ref().unwrap());
    assert_eq!(workshop.made().pieces.len(), 8);
    all_fit(&workshop);
}

#[test]
fn a_piece_for_which_no_even_cuts_do_says_so() {
    let mut ball = Workshop::with(&solids::sphere(Point::origin(), 50.0, 8));
    ball.edit(&Edit::SetBed(Bed::rectangle(9.0, 9.0, 9.0)));
    let notes = advice(&ball);
    assert!(notes[0].edit.is_none() && notes[0].text.contains("larger bed"), "{notes:?}");
}

#[test]
fn advice_can_be_stopped() {
    let mut workshop = too_long();
    let cut = workshop.square_cut(Axis::X, 25.0);
    let stopped = Progress::new();
    stopped.cancel();
    let answer = nearest_place(&workshop.recipe, cut, workshop.folder(), &workshop.cache, &stopped);
    assert_eq!(answer, Err(PlacingError::Cancelled));
}
