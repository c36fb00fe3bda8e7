//! Cuts limited to named pieces.

use seamwright_project::{Axis, CutId, CutPlane, Edit, Outcome, Scope, Weight};

use crate::workshop::{Workshop, block, ids, only};

fn halved() -> Workshop {
    let mut workshop = Workshop::with(&block());
    workshop.square_cut(Axis::X, 50.0);
    workshop
}

fn along_z(offset_mm: f64) -> CutPlane {
    CutPlane::square(Axis::Z, offset_mm)
}

/// Notes about a cut, as (weight, text).
fn notes(outcome: &Outcome, cut: CutId) -> Vec<(Weight, &str)> {
    outcome.notes.iter().filter(|note| note.cut == Some(cut)).map(|note| (note.weight, note.text.as_str())).collect()
}

#[test]
fn a_limited_cut_cuts_only_the_piece_that_it_names() {
    let mut workshop = halved();
    workshop.cut_only(along_z(20.0), only(&["1a#0"]));
    let outcome = workshop.made();
    assert_eq!(ids(&outcome), ["1b#0", "1a.2b#0", "1a.2a#0"]);
    assert!(outcome.notes.is_empty());
}

#[test]
fn a_limited_cut_cuts_what_was_cut_from_its_piece_by_then() {
    let mut workshop = halved();
    workshop.square_cut(Axis::Y, 30.0);
    workshop.cut_only(along_z(20.0), only(&["1a#0"]));
    assert_eq!(ids(&workshop.made()), ["1b.2b#0", "1b.2a#0", "1a.2b.3b#0", "1a.2b.3a#0", "1a.2a.3b#0", "1a.2a.3a#0"]);
    // The whole was there before the first cut.
    workshop.edit(&Edit::SetCutScope { cut: CutId(3), scope: only(&["#0"]) });
    assert_eq!(workshop.made().pieces.len(), 8);
}

#[test]
fn a_limited_cut_keeps_to_its_piece_when_other_cuts_are_added_after_it() {
    let mut workshop = halved();
    workshop.cut_only(along_z(20.0), only(&["1b#0"]));
    workshop.square_cut(Axis::Y, 30.0);
    assert_eq!(ids(&workshop.made()), ["1b.2b.3b#0", "1b.2b.3a#0", "1b.2a.3b#0", "1b.2a.3a#0", "1a.3b#0", "1a.3a#0"]);
}

#[test]
fn a_name_that_no_piece_has_is_noted_and_cuts_nothing() {
    let mut workshop = halved();
    let cut = workshop.cut_only(along_z(20.0), only(&["9b#0", "1b#5"]));
    let outcome = workshop.made();
    assert_eq!(ids(&outcome), ["1b#0", "1a#0"]);
    let notes = notes(&outcome, cut);
    assert!(notes.contains(&(Weight::Warning, "cut 2 names 2 pieces that no longer exist where its turn comes")));
}

#[test]
fn a_cut_made_before_the_one_that_made_its_piece_finds_nothing() {
    let mut workshop = halved();
    let cut = workshop.cut_only(along_z(20.0), only(&["1a#0"]));
    workshop.edit(&Edit::MoveCut { cut, to: 0 });
    let outcome = workshop.made();
    assert_eq!(ids(&outcome), ["1b#0", "1a#0"]);
    assert_eq!(notes(&outcome, cut)[0].0, Weight::Warning);
}

#[test]
fn a_cut_limited_to_nothing_cuts_nothing() {
    let mut workshop = halved();
    let cut = workshop.cut_only(along_z(20.0), Scope::Pieces([].into()));
    let outcome = workshop.made();
    assert_eq!(outcome.pieces.len(), 2);
    assert_eq!(notes(&outcome, cut).len(), 1);
}
