//! Bores in the outcome: what they take away, which pieces they cross, what is told of them.

use seamwright_geometry::{Bounds, Point, Progress, edge_report};
use seamwright_project::rods::Clearance;
use seamwright_project::{
    Axis, BoreChange, BoreFacts, BoreId, BoreShape, Boring, Edit, Outcome, PartId, RodChoice, Size, Stop, Unit, Weight,
};

use crate::bores::{bore, listed};
use crate::workshop::{Workshop, assert_near, block, shell};

fn change(shop: &mut Workshop, id: u32, change: BoreChange) {
    shop.edit(&Edit::ChangeBore { bore: BoreId(id), change });
}

/// Exactly as wide as its rod.
fn exact(shop: &mut Workshop, id: u32) {
    change(shop, id, BoreChange::Clearance(Clearance::Typed(0.0)));
    change(shop, id, BoreChange::Printer(0.0));
}

fn facts(outcome: &Outcome, id: u32) -> &BoreFacts {
    outcome.bores.iter().find(|done| done.bore == BoreId(id)).unwrap().result.as_ref().unwrap()
}

fn volume(outcome: &Outcome) -> f64 {
    outcome.pieces.iter().map(|piece| piece.facts.volume_mm3).sum()
}

/// The block of 100 × 60 × 40 mm with a square bore of 8 mm along X, at y 20, z 15.
fn bored_block() -> Workshop {
    let mut shop = Workshop::with(&block());
    shop.edit(&bore(&[[-10.0, 20.0, 15.0], [110.0, 20.0, 15.0]], RodChoice::Typed(8.0)));
    exact(&mut shop, 1);
    change(&mut shop, 1, BoreChange::Shape(BoreShape::Square));
    shop
}

#[test]
fn a_bore_takes_away_its_channel_and_says_how_long_it_is_and_what_wall_is_left() {
    let outcome = bored_block().made();
    assert_near(volume(&outcome), 240_000.0 - 64.0 * 100.0, 1e-9);
    let facts = facts(&outcome, 1);
    assert_near(facts.removed_mm3, 6400.0, 1e-9);
    assert_near(facts.length_mm(), 100.0, 1e-9);
    assert_eq!(facts.mouths.len(), 2);
    assert!((facts.mouths[0] - Point::new(0.0, 20.0, 15.0)).norm() < 1e-6, "{:?}", facts.mouths);
    // 15 mm from the middle to the floor, less half of the bore.
    assert_near(facts.least_wall_mm().unwrap(), 11.0, 1e-6);
    assert!(edge_report(&outcome.pieces[0].solid.mesh).closed());
    assert!(outcome.notes.is_empty(), "{:?}", outcome.notes);
    let rods = &outcome.rods.rods;
    assert_near(rods[0].length_mm, 100.0, 1e-9);
    assert_eq!(rods[0].rod, "rod of 8 mm");
}

#[test]
fn cuts_carry_the_channel_through_and_every_piece_says_where_it_crosses() {
    let mut shop = bored_block();
    shop.square_cut(Axis::X, 30.0);
    shop.square_cut(Axis::Y, 40.0);
    let outcome = shop.made();
    assert_near(volume(&outcome), 240_000.0 - 6400.0, 1e-9);
    let mut crossed = Vec::new();
    for piece in &outcome.pieces {
        assert!(piece.facts.closed, "{}", piece.id);
        let Bounds { min, max } = piece.facts.bounds;
        match piece.facts.bores.as_slice() {
            [] => assert!(min.y >= 40.0 - 1e-9, "{} lies beside the bore", piece.id),
            [within] => {
                // The line begins 10 mm before the block.
                assert!((within.from_mm - (min.x + 10.0)).abs() < 1e-6 && (within.to_mm - (max.x + 10.0)).abs() < 1e-6);
                assert!((within.ends[0] - Point::new(min.x, 20.0, 15.0)).norm() < 1e-6);
                crossed.push(piece.id.clone());
            }
            more => panic!("{more:?}"),
        }
    }
    assert_eq!(crossed.len(), 2);
}

#[test]
fn a_blind_end_stops_below_the_surface_and_its_rod_leaves_room_for_glue() {
    let mut shop = bored_block();
    change(&mut shop, 1, BoreChange::Stop { end: 1, stop: Stop::Blind(5.0) });
    let outcome = shop.made();
    let facts = facts(&outcome, 1);
    assert_near(facts.length_mm(), 95.0, 1e-5);
    assert_eq!(facts.mouths.len(), 1);
    assert_near(facts.least_wall_mm().unwrap(), 5.0, 1e-5);
    assert_near(outcome.rods.rods[0].length_mm, 95.0 - 1.6, 1e-5);
    // Where there is no such place, it is told with the way out.
    change(&mut shop, 1, BoreChange::Stop { end: 1, stop: Stop::Blind(200.0) });
    let outcome = shop.made();
    assert!(outcome.notes[0].text.contains("not bored") && outcome.notes[0].bore == Some(BoreId(1)));
    assert_near(volume(&outcome), 240_000.0, 1e-9);
}

#[test]
fn bores_that_cross_are_refused_unless_one_may() {
    let mut shop = bored_block();
    shop.edit(&bore(&[[50.0, -5.0, 16.0], [50.0, 65.0, 16.0]], RodChoice::Typed(8.0)));
    let outcome = shop.made();
    let failed = outcome.bores[1].result.as_ref().unwrap_err();
    assert!(failed.why.contains("crosses bore 1"), "{}", failed.why);
    assert!((failed.place.unwrap() - Point::new(50.0, 20.0, 15.5)).norm() < 1e-6);
    assert_near(volume(&outcome), 240_000.0 - 6400.0, 1e-9);
    change(&mut shop, 2, BoreChange::MayCross(true));
    let outcome = shop.made();
    assert!(outcome.bores[1].result.is_ok());
    assert!(volume(&outcome) < 240_000.0 - 6400.0 - 1000.0);
    assert!(outcome.pieces.iter().all(|piece| piece.facts.closed));
}

#[test]
fn thin_walls_holes_in_the_side_and_bores_through_nothing_are_noticed_with_a_place() {
    let mut shop = bored_block();
    let lay = |z: f64| BoreChange::Line {
        line_mm: vec![[-10.0, 20.0, z], [110.0, 20.0, z]],
        placed: seamwright_project::Placed::Typed,
    };
    change(&mut shop, 1, lay(4.8));
    let outcome = shop.made();
    let note = &outcome.notes[0];
    assert!(note.text.contains("only 0.8 mm thick") && note.weight == Weight::Warning, "{}", note.text);
    assert!(note.place.unwrap().z.abs() < 1e-6);
    change(&mut shop, 1, lay(2.0));
    let outcome = shop.made();
    assert!(outcome.notes[0].text.contains("breaks through the surface"), "{}", outcome.notes[0].text);
    assert_eq!(facts(&outcome, 1).least_wall_mm(), Some(0.0));
    change(&mut shop, 1, lay(80.0));
    let outcome = shop.made();
    assert!(outcome.notes[0].text.contains("goes through no material"), "{}", outcome.notes[0].text);
    assert!(outcome.rods.rods.is_empty());
}

#[test]
fn a_bore_through_a_hollow_model_keeps_its_cavity() {
    let mut shop = Workshop::with(&shell());
    shop.edit(&bore(&[[5.0, -3.0, -60.0], [5.0, -3.0, 90.0]], listed("M6")));
    let outcome = shop.made();
    let piece = &outcome.pieces[0];
    assert!(piece.facts.closed);
    assert_eq!(facts(&outcome, 1).mouths.len(), 4, "in and out of the wall, twice");
    let full = Workshop::with(&shell()).made().pieces[0].facts.volume_mm3;
    // Two walls of about 4 mm, 6.8 mm wide.
    let gone = full - piece.facts.volume_mm3;
    assert!(gone > 250.0 && gone < 350.0, "{gone}");
}

#[test]
fn a_model_that_is_open_where_the_channel_passes_is_left_alone_with_the_reason() {
    let mut mesh = block();
    let corners: Vec<[Point; 3]> = (0..mesh.triangles.len()).map(|t| mesh.corners(t)).collect();
    // Without the end that it would come out of.
    let mut kept = corners.iter().map(|corners| corners.iter().any(|p| p.x < 100.0));
    mesh.triangles.retain(|_| kept.next().unwrap());
    let mut shop = Workshop::with(&mesh);
    shop.edit(&bore(&[[-10.0, 20.0, 15.0], [110.0, 20.0, 15.0]], listed("M6")));
    let outcome = shop.made();
    let failed = outcome.bores[0].result.as_ref().unwrap_err();
    assert!(failed.why.contains("fill its holes") && failed.place.is_some(), "{}", failed.why);
    assert!(!outcome.pieces.is_empty(), "the rest goes on");
}

#[test]
fn a_larger_model_has_a_longer_channel_of_the_same_width() {
    let mut shop = bored_block();
    shop.edit(&Edit::SetSize(Size { unit: Unit::Millimetre, factor: 2.0 }));
    let outcome = shop.made();
    assert_near(facts(&outcome, 1).removed_mm3, 64.0 * 200.0, 1e-9);
}

#[test]
fn a_name_or_a_threshold_makes_no_piece_anew() {
    let mut shop = bored_block();
    shop.square_cut(Axis::X, 30.0);
    let before = shop.made();
    change(&mut shop, 1, BoreChange::Name("spine".into()));
    change(&mut shop, 1, BoreChange::Glue(3.0));
    let after = shop.made();
    for (a, b) in before.pieces.iter().zip(&after.pieces) {
        assert!(std::sync::Arc::ptr_eq(&a.solid, &b.solid));
    }
    // And undo to a known place makes nothing either.
    change(&mut shop, 1, BoreChange::Point { at: 0, to_mm: [-10.0, 21.0, 15.0] });
    let _ = shop.made();
    change(&mut shop, 1, BoreChange::Point { at: 0, to_mm: [-10.0, 20.0, 15.0] });
    let back = shop.made();
    assert!(std::sync::Arc::ptr_eq(&before.pieces[0].solid, &back.pieces[0].solid));
}

#[test]
fn an_open_end_that_is_moved_into_the_material_stops_at_its_point_in_one_step() {
    let mut shop = bored_block();
    let prepared = |shop: &Workshop| {
        Boring::prepare(&shop.recipe, Some(BoreId(1)), PartId::MAIN, shop.folder(), &shop.cache, &Progress::new())
            .unwrap()
    };
    let (boring, before) = (prepared(&shop), shop.recipe.bores[0].clone());
    let to = |x: f64| BoreChange::Point { at: 1, to_mm: [x, 20.0, 15.0] };
    for still_open in [150.0, 100.0, 99.8] {
        assert_eq!(boring.stopping_inside(&before, to(still_open)), to(still_open), "it comes out at {still_open}");
    }
    let inside = boring.stopping_inside(&before, to(60.0));
    assert_eq!(inside, BoreChange::EndInside { at: 1, to_mm: [60.0, 20.0, 15.0] });
    assert_eq!(inside.title(&before), "move the last end of bore 1 by 50.0 mm, where it stops");
    change(&mut shop, 1, inside);
    assert_eq!(shop.recipe.bores[0].ends.map(|end| end.stop), [Stop::Open, Stop::At]);
    let outcome = shop.made();
    assert_near(facts(&outcome, 1).removed_mm3, 64.0 * 60.0, 1e-9);
    // What stops already is moved as it is.
    let bore = shop.recipe.bores[0].clone();
    assert_eq!(prepared(&shop).stopping_inside(&bore, to(40.0)), to(40.0));
    // A bend is no end.
    let refused = BoreChange::EndInside { at: 2, to_mm: [0.0; 3] };
    assert!(refused.apply(&bore).is_err());
}

#[test]
fn a_bore_that_is_wider_than_the_model_is_told_and_the_model_stays() {
    let mut small = block();
    small.vertices.iter_mut().for_each(|p| *p *= 0.01);
    let mut workshop = Workshop::with(&small);
    workshop.edit(&bore(&[[-1.0, 0.3, 0.2], [2.0, 0.3, 0.2]], listed("M6")));
    let outcome = workshop.made();
    assert_eq!(outcome.pieces.len(), 1, "the cuts are not to blame");
    let failed = outcome.bores[0].result.as_ref().unwrap_err();
    assert!(failed.why.contains("would leave nothing of it"), "{failed:?}");
    let note = outcome.notes.iter().find(|note| note.text.contains("leave nothing of it")).expect("it is noted");
    assert!(note.bore.is_some() && note.place.is_some());
}

#[test]
fn a_mouth_is_no_break_however_aslant_the_bore_goes_in_and_a_groove_is_one() {
    let lay = |from: [f64; 3], to: [f64; 3]| BoreChange::Line {
        line_mm: vec![from, to],
        placed: seamwright_project::Placed::Picked,
    };
    let mut shop = bored_block();
    change(&mut shop, 1, BoreChange::Shape(BoreShape::Round));
    // Clicked on the top of the block, and on its side: up to 72° from square to one of them.
    for [x, z] in [[10.0, 10.0], [20.0, 30.0], [15.0, 30.0], [40.0, 26.0]] {
        change(&mut shop, 1, lay([100.0 - x, 30.0, 40.0], [100.0, 30.0, z]));
        let outcome = shop.made();
        let broken: Vec<&str> = outcome.notes.iter().map(|note| note.text.as_str()).collect();
        assert!(!broken.iter().any(|text| text.contains("breaks through")), "{x} {z}: {broken:?}");
        assert_eq!(facts(&outcome, 1).blind, [false; 2], "{x} {z}");
    }
    // A hollow: in, out into the cavity, and through the wall beyond.
    let mut hollow = Workshop::with(&shell());
    hollow.edit(&bore(&[[-30.0, 4.0, 45.0], [34.0, -2.0, -40.0]], listed("M6")));
    let outcome = hollow.made();
    assert_eq!(facts(&outcome, 1).broken_mm().count(), 0, "{:?}", facts(&outcome, 1).profile.broken);
    // Two clicks on the same flat face: a groove from end to end.
    change(&mut shop, 1, lay([20.0, 30.0, 40.0], [80.0, 30.0, 40.0]));
    let outcome = shop.made();
    assert!(outcome.notes.iter().any(|note| note.text.contains("breaks through the surface")), "{:?}", outcome.notes);
    // One that comes out of the top so flat that it lies open for long.
    change(&mut shop, 1, lay([-10.0, 30.0, 30.0], [110.0, 30.0, 44.0]));
    let outcome = shop.made();
    assert!(outcome.notes.iter().any(|note| note.text.contains("breaks through the surface")), "{:?}", outcome.notes);
}
