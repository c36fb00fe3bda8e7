//! Magnets at a cut: pockets in both pieces that line up, and follow the cut.

use seamwright_geometry::{Point, edge_report};
use seamwright_project::rods::Clearance;
use seamwright_project::{
    Axis, BoreId, BoreTrouble, CutId, CutPlane, Edit, EditError, MAGNET_PLAY_MM, NewMagnets, Outcome, Stop, kit, saved,
    spaced_places,
};

use crate::workshop::{Workshop, assert_near, block, only, ring, shell};

fn magnets(cut: CutId, places_mm: &[[f64; 3]]) -> NewMagnets {
    let clearance = Clearance::Typed(0.0);
    NewMagnets { cut, diameter_mm: 6.0, thickness_mm: 3.0, clearance, places_mm: places_mm.to_vec() }
}

fn add(shop: &mut Workshop, new: NewMagnets) {
    shop.edit(&Edit::AddMagnets(Box::new(new)));
}

/// The block of 100 × 60 × 40 mm, parted at x 50, with two pockets.
fn held_block() -> (Workshop, CutId) {
    let mut shop = Workshop::with(&block());
    let cut = shop.square_cut(Axis::X, 50.0);
    // Beside the cut: they are moved onto it.
    add(&mut shop, magnets(cut, &[[41.0, 20.0, 15.0], [50.0, 45.0, 25.0]]));
    (shop, cut)
}

/// Where along X the pocket of a bore lies in each piece, low piece first.
fn along_x(outcome: &Outcome, bore: u32) -> Vec<[f64; 2]> {
    let in_piece = |piece: &seamwright_project::Piece| {
        let within = piece.facts.bores.iter().find(|within| within.bore == BoreId(bore))?;
        Some(within.ends.map(|p| p.x))
    };
    let mut all: Vec<[f64; 2]> = outcome.pieces.iter().filter_map(in_piece).collect();
    all.sort_by(|a, b| a[0].total_cmp(&b[0]));
    all
}

fn assert_spans(found: &[[f64; 2]], expected: &[[f64; 2]]) {
    assert_eq!(found.len(), expected.len(), "{found:?}");
    for (a, b) in found.iter().flatten().zip(expected.iter().flatten()) {
        assert!((a - b).abs() < 1e-6, "{found:?} is not {expected:?}");
    }
}

#[test]
fn one_bore_makes_the_pockets_of_both_pieces_as_deep_as_a_magnet_and_a_layer() {
    let (shop, _) = held_block();
    let outcome = shop.made();
    assert_eq!(outcome.pieces.len(), 2);
    let depth = 3.0 + MAGNET_PLAY_MM;
    for bore in [1, 2] {
        assert_spans(&along_x(&outcome, bore), &[[50.0 - depth, 50.0], [50.0, 50.0 + depth]]);
    }
    let mut removed = 240_000.0;
    for piece in &outcome.pieces {
        assert!(piece.facts.closed && edge_report(&piece.solid.mesh).closed());
        removed -= piece.facts.volume_mm3;
    }
    // 6.2 mm between flats: no less than the circle, and hardly more.
    let circle = std::f64::consts::PI * 3.1 * 3.1;
    let share = removed / (4.0 * depth * circle);
    assert!((1.0..1.01).contains(&share), "{share}");
    assert!(outcome.notes.is_empty(), "{:?}", outcome.notes);
    assert!(outcome.rods.rods.is_empty(), "nothing to saw");
    // 15 mm to the floor, less half of the pocket.
    let facts = outcome.bores[0].result.as_ref().unwrap();
    assert_near(facts.least_wall_mm().unwrap(), 15.0 - 3.1, 1e-6);
}

#[test]
fn pockets_follow_their_cut_and_its_kerf_and_go_with_it() {
    let (mut shop, cut) = held_block();
    shop.edit(&Edit::SetCutPlane { cut, plane: CutPlane::square(Axis::X, 70.0) });
    let depth = 3.0 + MAGNET_PLAY_MM;
    assert_spans(&along_x(&shop.made(), 1), &[[70.0 - depth, 70.0], [70.0, 70.0 + depth]]);
    shop.edit(&Edit::SetCutKerf { cut, kerf_mm: 1.0 });
    assert_spans(&along_x(&shop.made(), 1), &[[69.5 - depth, 69.5], [70.5, 70.5 + depth]]);
    shop.edit(&Edit::SetCutEnabled { cut, enabled: false });
    let outcome = shop.made();
    let why = &outcome.bores[0].result.as_ref().unwrap_err().why;
    assert!(why.contains("is switched off"), "{why}");
    shop.edit(&Edit::RemoveCut(cut));
    assert!(shop.recipe.bores.is_empty());
}

#[test]
fn a_pocket_that_no_cut_opens_or_that_another_cut_crosses_is_told() {
    let mut shop = Workshop::with(&block());
    let first = shop.square_cut(Axis::Y, 30.0);
    let second = shop.cut_only(CutPlane::square(Axis::X, 50.0), only(&["1b#0"]));
    add(&mut shop, magnets(second, &[[50.0, 45.0, 20.0], [50.0, 30.0, 20.0]]));
    let outcome = shop.made();
    let told = |bore: u32| -> &str {
        let note = outcome.notes.iter().find(|note| note.bore == Some(BoreId(bore)));
        note.map_or("", |note| note.text.as_str())
    };
    assert!(told(1).contains("lies shut in"), "{:?}", outcome.notes);
    assert!(told(2).contains("reaches into"), "{:?}", outcome.notes);
    assert!(outcome.pieces.iter().all(|piece| piece.facts.closed));
    let _ = first;
}

#[test]
fn magnets_are_spread_over_a_seam_with_room_all_round() {
    for (mesh, axis, at, count) in [(block(), Axis::X, 50.0, 4), (ring(), Axis::X, 0.0, 2), (block(), Axis::Z, 20.0, 6)]
    {
        let mut shop = Workshop::with(&mesh);
        let cut = shop.square_cut(axis, at);
        let mut new = magnets(cut, &[]);
        let places = spaced_places(&shop.made(), cut, count, new.keep_mm()).unwrap();
        assert_eq!(places.len(), count);
        new.places_mm = places.clone();
        add(&mut shop, new);
        let outcome = shop.made();
        for done in &outcome.bores {
            let facts = done.result.as_ref().unwrap();
            let wall = facts.least_wall_mm().unwrap();
            assert!(wall >= 1.2 - 1e-6, "{wall} beside {:?}", facts.line);
            assert_eq!(along_x(&outcome, done.bore.0).len(), 2);
        }
        assert!(outcome.notes.is_empty(), "{:?}", outcome.notes);
        for (i, a) in places.iter().enumerate() {
            for b in &places[..i] {
                assert!((Point::from(*a) - Point::from(*b)).norm() > 8.0, "{places:?}");
            }
        }
    }
}

#[test]
fn a_seam_without_room_says_so_with_the_way_out() {
    let mut shop = Workshop::with(&shell());
    let cut = shop.square_cut(Axis::Z, 20.0);
    // A wall of 4 mm holds no magnet of 6 mm.
    let why = spaced_places(&shop.made(), cut, 4, magnets(cut, &[]).keep_mm()).unwrap_err();
    assert!(why.contains("none of 4 have room") && why.contains("thinner magnets"), "{why}");
}

#[test]
fn magnets_without_a_cut_a_thickness_or_their_ends_are_refused() {
    let (shop, cut) = held_block();
    let refused = |new: NewMagnets| Edit::AddMagnets(Box::new(new)).apply(&shop.recipe).unwrap_err();
    assert_eq!(refused(magnets(CutId(9), &[[0.0; 3]])), EditError::NoSuchCut(CutId(9)));
    let flat = NewMagnets { thickness_mm: 0.0, ..magnets(cut, &[[0.0; 3]]) };
    assert!(matches!(refused(flat), EditError::Bore(BoreTrouble::Length { .. })));
    let change = seamwright_project::BoreChange::Stop { end: 0, stop: Stop::Open };
    let open = Edit::ChangeBore { bore: BoreId(1), change }.apply(&shop.recipe).unwrap_err();
    assert_eq!(open, EditError::Bore(BoreTrouble::MagnetEnds));
}

#[test]
fn the_kit_says_where_magnets_meet_and_how_many_to_buy() {
    let (shop, _) = held_block();
    let outcome = shop.made();
    let bores = kit::all_bores(&outcome);
    let magnets = bores[0].magnets.as_ref().unwrap();
    assert_eq!((bores[0].rod.as_str(), magnets.cut.as_str()), ("2 magnets of 6 × 3 mm", "cut 1"));
    assert!((Point::from(magnets.at_mm) - Point::new(50.0, 20.0, 15.0)).norm() < 1e-9);
    let folder = shop.folder().join("kit");
    let progress = seamwright_geometry::Progress::new();
    let manifest = kit::write(&outcome, &folder, seamwright_geometry::exchange::Overwrite::Refuse, &progress).unwrap();
    assert_eq!((manifest.magnets[0].count, manifest.magnets[0].thickness_mm), (4, 3.0));
    assert!(manifest.pieces.iter().all(|piece| piece.bores.len() == 2));
}

#[test]
fn magnets_are_saved_and_read_again_and_files_from_before_them_still_open() {
    let (shop, cut) = held_block();
    let text = saved::to_json(&shop.recipe);
    let read = saved::from_json(&text).unwrap();
    assert_eq!(read, shop.recipe);
    assert_eq!(read.bores[0].seam.unwrap().cut, cut);
    // As they were written before.
    let is_new =
        |line: &&str| ["magnets_at_cut", "magnet_thickness", "up_as_laid"].iter().any(|key| line.contains(key));
    let old: Vec<&str> = text.lines().filter(|line| !is_new(line)).collect();
    let old = saved::from_json(&old.join("\n")).unwrap();
    assert_eq!((old.bores[0].seam, old.bores[0].up_as_laid), (None, false));
}
