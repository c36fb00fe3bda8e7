//! Nothing is made again that was made from the same.

use std::collections::BTreeSet;
use std::sync::Arc;
use std::time::Instant;

use seamwright_geometry::{Bed, Point, solids};
use seamwright_project::{Axis, Cache, CutPlane, Edit, Outcome};

use crate::workshop::{Workshop, block, by_id, id, ids};

/// A block with so many faces that making its pieces takes a while.
fn fine_slices() -> Workshop {
    let fine = solids::grid_box(Point::origin(), Point::new(100.0, 60.0, 40.0), [150, 90, 60]);
    let mut workshop = Workshop::with(&fine);
    for offset_mm in [20.3, 40.3, 60.3, 80.3] {
        workshop.square_cut(Axis::X, offset_mm);
    }
    workshop
}

/// The identities of pieces that are the very same object in both.
fn reused(before: &Outcome, after: &Outcome) -> Vec<String> {
    let before = by_id(before);
    let same = |piece: &&seamwright_project::Piece| {
        before.get(&piece.id).is_some_and(|old| {
            let same = Arc::ptr_eq(&old.solid, &piece.solid);
            assert_eq!(same, Arc::ptr_eq(&old.facts, &piece.facts));
            same
        })
    };
    by_id(after).into_values().filter(same).map(|piece| piece.id.to_string()).collect()
}

#[test]
fn the_same_recipe_again_takes_nearly_no_time_and_gives_the_same_objects() {
    let workshop = fine_slices();
    let begun = Instant::now();
    let first = workshop.made();
    let first_s = begun.elapsed().as_secs_f64();
    // Other tests run beside this one, so the best of a few counts.
    let again = (0..5).map(|_| {
        let begun = Instant::now();
        let again = workshop.made();
        assert_eq!(reused(&first, &again), ids(&first));
        assert!(Arc::ptr_eq(again.stock.as_ref().unwrap(), first.stock.as_ref().unwrap()));
        assert!(again.pieces.iter().zip(&first.pieces).all(|(a, b)| Arc::ptr_eq(&a.fit, &b.fit)));
        assert_eq!((again.seams, again.notes), (first.seams.clone(), first.notes.clone()));
        begun.elapsed().as_secs_f64()
    });
    let again_s = again.fold(f64::INFINITY, f64::min);
    println!("made in {first_s:.3} s, again in {again_s:.4} s");
    assert!(again_s < first_s / 5.0, "{again_s} s after {first_s} s");
}

#[test]
fn moving_one_cut_makes_only_the_pieces_that_it_touches() {
    let mut workshop = fine_slices();
    let first = workshop.made();
    assert_eq!(ids(&first), ["1b#0", "1a.2b#0", "2a.3b#0", "3a.4b#0", "4a#0"]);
    let last = workshop.recipe.cuts[3].id;
    workshop.edit(&Edit::SetCutPlane { cut: last, plane: CutPlane::square(Axis::X, 83.0) });
    let moved = workshop.made();
    assert_eq!(reused(&first, &moved), ["1b#0", "1a.2b#0", "2a.3b#0"]);
    workshop.edit(&Edit::SetCutPlane { cut: last, plane: CutPlane::square(Axis::X, 80.3) });
    assert_eq!(reused(&first, &workshop.made()), ids(&first), "undo finds all of it again");
}

#[test]
fn names_scopes_and_order_of_evaluations_remake_nothing() {
    let mut workshop = fine_slices();
    let first = workshop.made();
    let cut = workshop.recipe.cuts[0].id;
    workshop.edit(&Edit::RenameCut { cut, name: "brow".into() });
    workshop.edit(&Edit::SetName("helm".into()));
    assert_eq!(reused(&first, &workshop.made()), ids(&first));
}

#[test]
fn another_bed_asks_for_fits_only() {
    let mut workshop = fine_slices();
    let first = workshop.made();
    workshop.edit(&Edit::SetBed(Bed::rectangle(30.0, 30.0, 30.0)));
    let small = workshop.made();
    assert_eq!(reused(&first, &small), ids(&first));
    assert!(first.pieces.iter().all(|piece| piece.fit.verdict.fits()));
    assert!(small.pieces.iter().all(|piece| !piece.fit.verdict.fits()));
}

#[test]
fn a_cache_without_room_gives_the_same_pieces() {
    let mut workshop = Workshop::with(&block());
    for offset_mm in [20.0, 41.0, 63.0] {
        workshop.square_cut(Axis::X, offset_mm);
    }
    let roomy = workshop.made();
    workshop.cache = Cache::with_room(0);
    for _ in 0..2 {
        let tight = workshop.made();
        assert_eq!(ids(&tight), ids(&roomy));
        assert!(by_id(&tight).values().all(|piece| piece.solid.mesh == by_id(&roomy)[&piece.id].solid.mesh));
    }
}

#[test]
fn two_cuts_that_exchange_their_planes_do_not_get_each_others_caps() {
    let mut workshop = Workshop::with(&block());
    let (first, second) = (workshop.square_cut(Axis::X, 30.0), workshop.square_cut(Axis::X, 60.0));
    assert_eq!(ids(&workshop.made()), ["1b#0", "1a.2b#0", "2a#0"]);
    workshop.edit(&Edit::SetCutPlane { cut: first, plane: CutPlane::square(Axis::X, 60.0) });
    workshop.edit(&Edit::SetCutPlane { cut: second, plane: CutPlane::square(Axis::X, 30.0) });
    let outcome = workshop.made();
    assert_eq!(
        ids(&outcome).into_iter().collect::<BTreeSet<_>>(),
        ["1a#0", "1b.2a#0", "2b#0"].map(String::from).into()
    );
    assert_eq!(by_id(&outcome)[&id("2b#0")].facts.bounds.max.x, 30.0);
}
