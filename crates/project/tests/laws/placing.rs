//! Placing a cut: what is shown while it moves is what the real cut makes.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;

use proptest::prelude::*;
use seamwright_geometry::{Bed, Bounds, Mesh, Progress, SectionLoop, Side, Verdict, section};
use seamwright_project::{
    Axis, CutId, CutPlane, Edit, NamedBed, Outcome, PieceId, PlacedSide, Placement, Placing, PlacingError, Recipe,
    Scope, Stage,
};

use crate::workshop::{Workshop, assert_near, block, only, ring, shell, slanted, some_cases};

/// As large a difference as between a true half and the few points that stand for it in every frame.
const LIVE_MM: f64 = 0.01;

fn placing(workshop: &Workshop, moving: Option<CutId>) -> Placing {
    Placing::prepare(&workshop.recipe, moving, workshop.folder(), &workshop.cache, &Progress::new()).unwrap()
}

/// Boxes of what `cut` really made of each piece, both sides.
fn really_made(outcome: &Outcome, cut: CutId) -> BTreeMap<(PieceId, Side), Bounds> {
    let mut boxes: BTreeMap<(PieceId, Side), Bounds> = BTreeMap::new();
    for piece in &outcome.pieces {
        // A body on one side may have been parted from its cap by an other cut: its parent still tells that it was cut.
        let Some((_, side)) = piece.id.path.iter().find(|(id, _)| *id == cut) else { continue };
        let key = (piece.lineage.last().unwrap().clone(), *side);
        let bounds = piece.facts.bounds;
        boxes.entry(key).and_modify(|all| *all = all.union(&bounds)).or_insert(bounds);
    }
    boxes
}

/// Adds the cut for real and compares.
#[track_caller]
fn check(mut workshop: Workshop, plane: CutPlane) -> Placement {
    let (placing, at) = (placing(&workshop, None), plane.plane().unwrap());
    let shown = placing.at(&at);
    let crossed = placing.pieces().iter().filter(|piece| shown.sides.iter().any(|side| side.piece == piece.id));
    let outline: Vec<SectionLoop> = crossed.flat_map(|piece| section(&piece.solid, &at).loops).collect();
    assert_eq!(shown.outline, outline);
    let cut = workshop.cut(plane);
    let outcome = workshop.made();
    let made = really_made(&outcome, cut);
    let key = |side: &PlacedSide| (side.piece.clone(), side.side);
    assert_eq!(shown.sides.iter().map(key).collect::<BTreeSet<_>>(), made.keys().cloned().collect());
    for side in &shown.sides {
        let size = made[&key(side)].size();
        let off = (0..3).map(|k| (size[k] - side.sizes_mm[k]).abs()).fold(0.0, f64::max);
        assert!(off <= LIVE_MM, "{side:?} is {size:?}");
    }
    let caps = |piece: &seamwright_project::Piece| {
        piece.facts.caps.iter().filter(|cap| cap.cut == cut).map(|cap| cap.area_mm2).sum::<f64>()
    };
    assert_near(2.0 * shown.area_mm2, outcome.pieces.iter().map(caps).sum(), 1e-9);
    shown
}

fn with_cut(mesh: &Mesh) -> Workshop {
    let mut workshop = Workshop::with(mesh);
    workshop.cut(slanted([8.0, 0.0, 10.0], [0.3, 1.0, 0.2]));
    workshop
}

#[test]
fn a_square_cut_through_a_block_is_shown_as_it_will_be() {
    let shown = check(Workshop::with(&block()), CutPlane::square(Axis::X, 30.0));
    assert_eq!(
        shown.sides.iter().map(|side| side.sizes_mm).collect::<Vec<_>>(),
        [[30.0, 60.0, 40.0], [70.0, 60.0, 40.0]]
    );
    assert_near(shown.area_mm2, 2400.0, 1e-12);
    assert_eq!(shown.outline.len(), 1);
    assert_near(shown.outline[0].length_mm, 200.0, 1e-12);
}

proptest! {
    #![proptest_config(some_cases())]

    /// Planes through vertices, edges and faces of the block included.
    #[test]
    fn any_cut_is_shown_as_it_will_be(
        shape in 0..3_usize, axis in prop::sample::select(Axis::ALL.to_vec()),
        through_mm in prop::array::uniform3(prop_oneof![-40.0..60.0f64, (-4..7).prop_map(|n| 10.0 * f64::from(n))]),
        tilt_deg in prop::array::uniform2(prop_oneof![-50.0..50.0f64, (-2..3).prop_map(|n| 45.0 * f64::from(n))]),
    ) {
        let (mesh, plane) = ([block, shell, ring][shape](), CutPlane { axis, through_mm, tilt_deg });
        // Two tilts of 90° leave no plane.
        prop_assume!(plane.plane().is_ok());
        check(with_cut(&mesh), plane);
    }
}

#[test]
fn a_plane_beside_the_model_shows_nothing() {
    let shown = check(with_cut(&block()), CutPlane::square(Axis::X, 100.0));
    assert!(shown.sides.is_empty() && shown.outline.is_empty());
    assert_eq!(shown.worst(), (None, None));
}

#[test]
fn sides_are_told_by_whether_they_fit() {
    let mut workshop = Workshop::with(&block());
    workshop.edit(&Edit::SetBed(Bed::rectangle(61.0, 61.0, 61.0)));
    let placing = placing(&workshop, None);
    let at = |offset_mm: f64| placing.at(&CutPlane::square(Axis::X, offset_mm).plane().unwrap()).worst();
    assert_eq!(at(50.0), (Some(Verdict::AsItStands), Some(Verdict::AsItStands)));
    let (narrow, wide) = at(5.0);
    assert_eq!(narrow, Some(Verdict::AsItStands));
    assert!(!wide.unwrap().fits());
}

#[test]
fn each_side_is_told_of_the_first_of_several_beds_that_it_fits() {
    let mut workshop = Workshop::with(&block());
    let bed = |name: &str, size: f64| NamedBed { name: name.into(), bed: Bed::rectangle(size, size, size) };
    workshop.edit(&Edit::SetBeds(vec![bed("small", 61.0), bed("tall", 200.0)]));
    let placing = placing(&workshop, None);
    let plane = CutPlane::square(Axis::X, 5.0).plane().unwrap();
    let told = |sides: &[PlacedSide]| -> Vec<(Side, usize, bool)> {
        sides.iter().map(|side| (side.side, side.bed, side.verdict.fits())).collect()
    };
    let live = told(&placing.at(&plane).sides);
    assert_eq!(live, [(Side::Below, 0, true), (Side::Above, 1, true)]);
    assert_eq!(told(&placing.exact(&plane, &Progress::new()).unwrap()), live);
    // On the tall one all of it fits, wherever the cut is.
    let stretch = placing.stretch(&plane).unwrap();
    assert!(stretch.above_fits_from_mm <= 5.0 && stretch.below_fits_to_mm >= 95.0, "{stretch:?}");
}

#[test]
fn what_is_proven_too_big_is_the_worst() {
    let side = |verdict| PlacedSide {
        piece: PieceId::default(),
        part: PieceId::default(),
        side: Side::Below,
        bed: 0,
        verdict,
        sizes_mm: [1.0; 3],
        slack_mm: 0.0,
        error_mm: 0.0,
    };
    let sides = [Verdict::Undecided, Verdict::TooBig, Verdict::AsItStands].map(side).into();
    let placement = Placement { sides, ..Placement::default() };
    assert_eq!(placement.worst(), (Some(Verdict::TooBig), None));
}

#[test]
fn a_moving_cut_is_left_out_of_the_pieces_that_it_moves_through() {
    let mut workshop = Workshop::with(&block());
    let (first, second) = (workshop.square_cut(Axis::X, 30.0), workshop.square_cut(Axis::Y, 20.0));
    let names = |moving| placing(&workshop, moving).names().iter().map(ToString::to_string).collect::<Vec<_>>();
    assert_eq!(names(Some(first)), ["2b#0", "2a#0"]);
    assert_eq!(names(Some(second)), ["1b#0", "1a#0"]);
    assert_eq!(names(None).len(), 4);
}

#[test]
fn a_limited_cut_is_shown_in_its_pieces_only() {
    let mut workshop = Workshop::with(&block());
    workshop.square_cut(Axis::X, 30.0);
    let limited = workshop.cut_only(CutPlane::square(Axis::Z, 20.0), only(&["1a#0"]));
    workshop.square_cut(Axis::Y, 25.0);
    let plane = CutPlane::square(Axis::Z, 15.0);
    let shown = placing(&workshop, Some(limited)).at(&plane.plane().unwrap());
    let pieces: BTreeSet<String> = shown.sides.iter().map(|side| side.piece.to_string()).collect();
    assert_eq!(pieces, ["1a.3b#0", "1a.3a#0"].map(String::from).into());
    workshop.edit(&Edit::SetCutPlane { cut: limited, plane });
    let caps = workshop.made().pieces.into_iter().flat_map(|piece| piece.facts.caps.clone());
    assert_near(2.0 * shown.area_mm2, caps.filter(|cap| cap.cut == limited).map(|cap| cap.area_mm2).sum(), 1e-12);
    workshop.edit(&Edit::SetCutScope { cut: limited, scope: Scope::All });
    assert_eq!(placing(&workshop, Some(limited)).at(&plane.plane().unwrap()).sides.len(), 8);
}

#[test]
fn there_is_nothing_to_place_a_cut_in_without_a_stock() {
    let workshop = Workshop::with(&block());
    let prepare = |recipe: &Recipe, progress: &Progress| {
        Placing::prepare(recipe, None, workshop.folder(), &workshop.cache, progress).map(|_| ())
    };
    assert_eq!(prepare(&Recipe::new("part"), &Progress::new()), Err(PlacingError::NoStock));
    let cancelled = Progress::new();
    cancelled.cancel();
    assert_eq!(prepare(&workshop.recipe, &cancelled), Err(PlacingError::Cancelled));
    fs::remove_file(workshop.model()).unwrap();
    match prepare(&workshop.recipe, &Progress::new()) {
        Err(PlacingError::Failed(failure)) => assert!(failure.stage == Stage::Stock && failure.stock_moved),
        other => panic!("{other:?}"),
    }
}
