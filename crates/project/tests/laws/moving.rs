//! One cut moves: the others' pieces keep their identities.

use seamwright_project::{Axis, CutPlane, Edit};

use crate::workshop::{Workshop, block, by_id, id, ids};

fn sliced() -> Workshop {
    let mut workshop = Workshop::with(&block());
    for offset_mm in [25.0, 50.0, 75.0] {
        workshop.square_cut(Axis::X, offset_mm);
    }
    workshop
}

#[test]
fn moving_and_tilting_a_cut_keeps_all_identities() {
    let mut workshop = sliced();
    let before = workshop.made();
    let cut = workshop.recipe.cuts[1].id;
    for plane in [
        CutPlane::square(Axis::X, 53.0),
        CutPlane { axis: Axis::X, through_mm: [50.0, 30.0, 20.0], tilt_deg: [9.0, -12.0] },
    ] {
        workshop.edit(&Edit::SetCutPlane { cut, plane });
        let after = workshop.made();
        assert_eq!(ids(&after), ids(&before));
        for end in ["1b#0", "3a#0"] {
            assert_eq!(by_id(&after)[&id(end)].facts.bounds, by_id(&before)[&id(end)].facts.bounds);
        }
    }
}

#[test]
fn removing_a_cut_renames_only_the_pieces_that_it_bounded() {
    let mut workshop = sliced();
    assert_eq!(ids(&workshop.made()), ["1b#0", "1a.2b#0", "2a.3b#0", "3a#0"]);
    let cut = workshop.recipe.cuts[1].id;
    workshop.edit(&Edit::RemoveCut(cut));
    assert_eq!(ids(&workshop.made()), ["1b#0", "1a.3b#0", "3a#0"]);
    workshop.square_cut(Axis::X, 60.0);
    assert_eq!(ids(&workshop.made()), ["1b#0", "1a.4b#0", "3b.4a#0", "3a#0"]);
}

#[test]
fn a_cut_switched_off_does_nothing() {
    let mut workshop = sliced();
    let before = ids(&workshop.made());
    let cut = workshop.recipe.cuts[1].id;
    workshop.edit(&Edit::SetCutEnabled { cut, enabled: false });
    let without = workshop.made();
    assert_eq!(ids(&without), ["1b#0", "1a.3b#0", "3a#0"]);
    assert!(without.notes.is_empty(), "{:?}", without.notes);
    workshop.edit(&Edit::SetCutEnabled { cut, enabled: true });
    assert_eq!(ids(&workshop.made()), before);
}

#[test]
fn a_cut_that_crosses_nothing_is_noted_and_changes_nothing() {
    let mut workshop = Workshop::with(&block());
    workshop.square_cut(Axis::X, 25.0);
    let before = workshop.made();
    let beside = workshop.square_cut(Axis::Y, 60.0);
    let after = workshop.made();
    assert_eq!(ids(&after), ids(&before));
    for (id, piece) in by_id(&after) {
        assert!(std::sync::Arc::ptr_eq(&piece.solid, &by_id(&before)[&id].solid));
        assert_eq!(piece.lineage, by_id(&before)[&id].lineage);
    }
    let [note] = after.notes.as_slice() else { panic!("{:?}", after.notes) };
    assert_eq!(note.cut, Some(beside));
    assert!(note.text.contains("cut 2 crosses nothing"), "{}", note.text);
}

#[test]
fn a_cut_at_an_absurd_distance_crosses_nothing() {
    let mut workshop = Workshop::with(&block());
    for offset_mm in [1e300, -1e300, f64::MAX, 1e18] {
        workshop.cut(CutPlane { axis: Axis::Y, through_mm: [0.0, offset_mm, 0.0], tilt_deg: [20.0, 0.0] });
    }
    let outcome = workshop.made();
    assert_eq!((ids(&outcome), outcome.notes.len()), (vec!["#0".to_owned()], 4));
}
