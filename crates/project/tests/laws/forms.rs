//! Cuts that are not all of a plane: profiles, cuts that end, cuts with a gap.

use proptest::prelude::*;
use seamwright_project::{
    Axis, CutForm, CutId, CutPlane, CutProfile, Edge, Edit, Line, Outcome, Size, Unit, Waves, Weight,
};

use crate::seams;
use crate::workshop::{Workshop, assert_near, block, ids, ring, shell, slanted, some_cases};

const TEETH: Waves = Waves { pitch_mm: 20.0, height_mm: 8.0, count: 3 };

fn lines() -> Vec<Line> {
    vec![
        Line::Step { rise_mm: 7.0 },
        Line::Zigzag(TEETH),
        Line::Wave(TEETH),
        Line::Dovetail { waves: TEETH, flank_deg: 9.5 },
        Line::Drawn { points_mm: vec![[-30.0, 0.0], [-10.0, 12.0], [5.0, -3.0], [40.0, 2.0]], smooth: false },
        Line::Drawn { points_mm: vec![[-30.0, 0.0], [-10.0, 12.0], [5.0, -3.0], [40.0, 2.0]], smooth: true },
    ]
}

fn profile(line: Line) -> CutForm {
    CutForm::Profile(CutProfile { line, turn_deg: 0.0 })
}

fn cut_along(workshop: &mut Workshop, plane: CutPlane, form: CutForm) -> CutId {
    let cut = workshop.cut(plane);
    workshop.edit(&Edit::SetCutForm { cut, form });
    cut
}

fn volume_mm3(outcome: &Outcome) -> f64 {
    outcome.pieces.iter().map(|piece| piece.facts.volume_mm3).sum()
}

/// Closed pieces that make up the whole and meet along the cuts.
fn check(outcome: &Outcome) {
    for piece in &outcome.pieces {
        assert!(piece.facts.closed, "{}", piece.id);
    }
    assert_near(volume_mm3(outcome), outcome.whole().unwrap().mesh.volume_mm3(), 1e-9);
    seams::check(outcome);
}

#[test]
fn every_line_parts_a_solid_into_closed_pieces_that_meet_again() {
    for mesh in [block(), shell(), ring()] {
        for line in lines() {
            let mut workshop = Workshop::with(&mesh);
            cut_along(&mut workshop, slanted([3.0, 2.0, 19.0], [0.2, 0.1, 1.0]), profile(line.clone()));
            let outcome = workshop.made();
            assert!(outcome.pieces.len() >= 2, "{line:?}");
            check(&outcome);
        }
    }
}

#[test]
fn a_step_goes_where_its_numbers_say() {
    let mut workshop = Workshop::with(&block());
    // Square to Z, u is X: below x = 50 the cut lies at 20 − 3 mm, above at 20 + 3 mm.
    let plane = CutPlane { axis: Axis::Z, through_mm: [50.0, 30.0, 20.0], tilt_deg: [0.0; 2] };
    cut_along(&mut workshop, plane, profile(Line::Step { rise_mm: 6.0 }));
    let outcome = workshop.made();
    let volumes: Vec<f64> = outcome.pieces.iter().map(|piece| piece.facts.volume_mm3).collect();
    assert_near(volumes[0] + volumes[1], 240_000.0, 1e-12);
    assert_near(volumes[0], 60.0 * (50.0 * 17.0 + 50.0 * 23.0), 1e-12);
    let seam: f64 = outcome.seams.iter().map(|seam| seam.area_mm2).sum();
    assert_near(seam, 60.0 * (100.0 + 6.0), 1e-12);
}

#[test]
fn a_kerf_is_taken_out_of_the_middle_and_the_sides_still_meet() {
    let mut workshop = Workshop::with(&block());
    let cut = workshop.square_cut(Axis::X, 40.0);
    workshop.edit(&Edit::SetCutKerf { cut, kerf_mm: 3.0 });
    let outcome = workshop.made();
    assert_near(volume_mm3(&outcome), 97.0 * 60.0 * 40.0, 1e-12);
    assert_near(outcome.pieces[0].facts.bounds.max.x, 38.5, 1e-12);
    assert_near(outcome.pieces[1].facts.bounds.min.x, 41.5, 1e-12);
    seams::check(&outcome);
    assert_eq!(ids(&outcome), ["1b#0", "1a#0"]);
}

#[test]
fn a_wave_with_a_kerf_still_has_a_seam() {
    let mut workshop = Workshop::with(&block());
    let plane = CutPlane { axis: Axis::Z, through_mm: [50.0, 30.0, 20.0], tilt_deg: [0.0; 2] };
    let cut = cut_along(&mut workshop, plane, profile(Line::Wave(TEETH)));
    let whole: f64 = workshop.made().seams.iter().map(|seam| seam.area_mm2).sum();
    workshop.edit(&Edit::SetCutKerf { cut, kerf_mm: 0.4 });
    let outcome = workshop.made();
    assert_eq!(outcome.pieces.len(), 2);
    let with_kerf: f64 = outcome.seams.iter().map(|seam| seam.area_mm2).sum();
    // The two curves lie 0.4 mm apart, so what they share is a little less or more than the curve between them.
    assert_near(with_kerf, whole, 0.05);
    assert!(volume_mm3(&outcome) < 240_000.0 - 0.39 * whole && volume_mm3(&outcome) > 240_000.0 - 0.41 * whole);
}

#[test]
fn a_cut_that_ends_opens_a_ring_and_a_second_one_parts_it() {
    let mut workshop = Workshop::with(&ring());
    // Square to Y, u is Z and w is X: turned by 90°, u points along X.
    let plane = CutPlane::square(Axis::Y, 0.0);
    let ending = |turn_deg| CutForm::Ending(Edge { offset_mm: 0.0, turn_deg });
    cut_along(&mut workshop, plane, ending(90.0));
    let opened = workshop.made();
    assert_eq!(ids(&opened), ["1b.1a#0"]);
    check(&opened);
    assert_eq!(opened.pieces[0].facts.caps.len(), 2);
    assert_eq!((opened.seams[0].below.clone(), opened.seams[0].above.clone()), {
        let id = opened.pieces[0].id.clone();
        (id.clone(), id)
    });
    assert!(opened.notes.iter().all(|note| note.cut.is_none()), "{:?}", opened.notes);
    cut_along(&mut workshop, plane, ending(-90.0));
    let parted = workshop.made();
    assert_eq!(ids(&parted), ["1b.2b#0", "1a.2a#0"]);
    check(&parted);
}

#[test]
fn a_cut_that_ends_in_the_material_parts_nothing_there_and_says_so() {
    let mut workshop = Workshop::with(&ring());
    let cut = cut_along(
        &mut workshop,
        CutPlane::square(Axis::Y, 0.0),
        CutForm::Ending(Edge { offset_mm: 60.0, turn_deg: 90.0 }),
    );
    let outcome = workshop.made();
    assert_eq!(ids(&outcome), ["#0"]);
    let note = outcome.notes.iter().find(|note| note.text.contains("ends inside")).unwrap();
    assert_eq!((note.cut, note.weight), (Some(cut), Weight::Warning));
    assert!((note.place.unwrap().x - 60.0).abs() < 16.0);
}

#[test]
fn a_form_grows_with_the_model_and_a_kerf_does_not() {
    let mut workshop = Workshop::with(&block());
    let plane = CutPlane { axis: Axis::Z, through_mm: [50.0, 30.0, 20.0], tilt_deg: [0.0; 2] };
    let cut = cut_along(&mut workshop, plane, profile(Line::Dovetail { waves: TEETH, flank_deg: 9.5 }));
    let before = workshop.made();
    workshop.edit(&Edit::SetSize(Size { unit: Unit::Millimetre, factor: 2.0 }));
    let after = workshop.made();
    for (small, large) in before.pieces.iter().zip(&after.pieces) {
        assert_near(small.facts.volume_mm3 * 8.0, large.facts.volume_mm3, 1e-9);
    }
    workshop.edit(&Edit::SetCutKerf { cut, kerf_mm: 0.5 });
    workshop.edit(&Edit::SetSize(Size { unit: Unit::Millimetre, factor: 3.0 }));
    assert_eq!(workshop.recipe.cut(cut).unwrap().kerf_mm, 0.5);
}

proptest! {
    #![proptest_config(some_cases())]

    #[test]
    fn the_order_of_cuts_changes_nothing(
        line in prop::sample::select(lines()), turn_deg in -180.0..180.0f64, tilt in prop::array::uniform2(-0.4..0.4f64),
        other in prop::sample::select(lines()),
    ) {
        let first = (slanted([48.0, 29.0, 21.0], [tilt[0], tilt[1], 1.0]), CutForm::Profile(CutProfile { line, turn_deg }));
        let second = (slanted([52.0, 31.0, 19.0], [1.0, tilt[0], tilt[1]]), profile(other));
        let mut workshop = Workshop::with(&block());
        for (plane, form) in [first, second] {
            cut_along(&mut workshop, plane, form);
        }
        let outcome = workshop.made();
        check(&outcome);
        workshop.edit(&Edit::MoveCut { cut: CutId(2), to: 0 });
        let turned = workshop.made();
        prop_assert_eq!(ids(&outcome), ids(&turned));
        for (a, b) in outcome.pieces.iter().zip(&turned.pieces) {
            prop_assert_eq!(&a.id, &b.id);
            let (a, b) = (a.facts.volume_mm3, b.facts.volume_mm3);
            prop_assert!((a - b).abs() <= 1e-6 * a.max(1.0), "{} and {}", a, b);
        }
    }
}
