//! Roofs of bores that are turned, in each piece by itself, to where up is as that piece lies.

use std::sync::Arc;

use seamwright_geometry::{Bed, Point, Vector, edge_report};
use seamwright_project::rods::Clearance;
use seamwright_project::{Axis, BoreChange, BoreId, BoreShape, Edit, Outcome, Piece, RodChoice, kit};

use crate::bores::bore;
use crate::workshop::{Workshop, block};

const DIAMETER: f64 = 8.0;

fn change(shop: &mut Workshop, change: BoreChange) {
    shop.edit(&Edit::ChangeBore { bore: BoreId(1), change });
}

/// The block of 100 × 60 × 40 mm with a teardrop of 8 mm aslant through it, parted at x 50: both pieces lie on their caps,
/// so that up is the other way in each.
fn parted_block() -> Workshop {
    let mut shop = Workshop::with(&block());
    shop.edit(&bore(&[[20.0, -5.0, 20.0], [80.0, 65.0, 20.0]], RodChoice::Typed(DIAMETER)));
    change(&mut shop, BoreChange::Clearance(Clearance::Typed(0.0)));
    change(&mut shop, BoreChange::Printer(0.0));
    change(&mut shop, BoreChange::Shape(BoreShape::Teardrop));
    shop.square_cut(Axis::X, 50.0);
    shop
}

/// Where up is as a piece lies, square to the bore.
fn up(outcome: &Outcome, piece: &Piece) -> Vector {
    let up = kit::lay(outcome, piece).pose.rotation.inverse_transform_vector(&Vector::z());
    let along = along();
    (up - along * up.dot(&along)).normalize()
}

fn along() -> Vector {
    Vector::new(60.0, 70.0, 0.0).normalize()
}

/// How far the walls of the bore reach from its line in a piece, one way and the other.
fn reach(piece: &Piece, way: &Vector) -> [f64; 2] {
    let from = Point::new(20.0, -5.0, 20.0);
    let walls = piece.solid.origins.iter().enumerate().filter(|(_, origin)| origin.bore_label() == Some(1));
    let out = walls.flat_map(|(t, _)| piece.solid.mesh.corners(t)).map(|p| (p - from).dot(way));
    out.fold([0.0_f64, 0.0], |[most, least], x| [most.max(x), least.max(-x)])
}

fn assert_roofs_point_up(outcome: &Outcome) {
    for piece in &outcome.pieces {
        assert!(piece.facts.closed && edge_report(&piece.solid.mesh).closed(), "{}", piece.mark);
        let [roof, floor] = reach(piece, &up(outcome, piece));
        let radius = DIAMETER / 2.0;
        assert!((roof - radius * 2f64.sqrt()).abs() < 0.02, "{}: the roof is {roof} mm up", piece.mark);
        assert!((floor - radius).abs() < 0.02, "{}: the floor is {floor} mm down", piece.mark);
    }
}

#[test]
fn a_roof_points_up_in_every_piece_as_it_lies() {
    let outcome = parted_block().made();
    assert_eq!(outcome.pieces.len(), 2);
    let ups: Vec<Vector> = outcome.pieces.iter().map(|piece| up(&outcome, piece)).collect();
    assert!(ups[0].dot(&ups[1]) < -0.9, "they lie the other way round: {ups:?}");
    assert_roofs_point_up(&outcome);
    assert!(outcome.notes.is_empty(), "{:?}", outcome.notes);
    // Told as one bore, in both pieces.
    let facts = outcome.bores[0].result.as_ref().unwrap();
    let before = 240_000.0 - outcome.pieces.iter().map(|piece| piece.facts.volume_mm3).sum::<f64>();
    assert!((facts.removed_mm3 - before).abs() < 1e-6 * before, "{} of {before}", facts.removed_mm3);
    assert!(outcome.pieces.iter().all(|piece| piece.facts.bores.len() == 1));
    assert_eq!(facts.mouths.len(), 2);
}

#[test]
fn the_floor_of_the_channel_goes_on_without_a_step_where_roofs_differ() {
    let outcome = parted_block().made();
    // On the seam, below and above the line, both pieces are round there: the flanks lie to the sides.
    for piece in &outcome.pieces {
        let [z_up, z_down] = reach(piece, &Vector::z());
        assert!((z_up - DIAMETER / 2.0).abs() < 0.02 && (z_down - DIAMETER / 2.0).abs() < 0.02, "{z_up} {z_down}");
    }
}

#[test]
fn a_roof_follows_the_lay_when_that_changes_and_nothing_else_is_made_anew() {
    let mut shop = parted_block();
    let before = shop.made();
    // Too low for the pieces to stand on their caps.
    shop.edit(&Edit::SetBed(Bed { margin_mm: 2.0, ..Bed::rectangle(220.0, 220.0, 45.0) }));
    let after = shop.made();
    let turned = |piece: &Piece| up(&after, piece).z.abs() > 0.9;
    assert!(after.pieces.iter().all(turned), "they lie flat now");
    assert_roofs_point_up(&after);
    assert!(Arc::ptr_eq(&before.parts[0].solid, &after.parts[0].solid));
    // A bed on which they lie as they did makes no piece anew.
    shop.edit(&Edit::SetBed(Bed { margin_mm: 2.0, ..Bed::rectangle(230.0, 230.0, 250.0) }));
    let back = shop.made();
    for (a, b) in before.pieces.iter().zip(&back.pieces) {
        assert!(Arc::ptr_eq(&a.solid, &b.solid), "{}", a.mark);
    }
}

#[test]
fn a_roof_turned_by_hand_stays_where_it_is() {
    let mut shop = parted_block();
    change(&mut shop, BoreChange::Up([0.0, 0.0, 1.0]));
    let outcome = shop.made();
    for piece in &outcome.pieces {
        let [roof, floor] = reach(piece, &Vector::z());
        assert!((roof - DIAMETER / 2.0 * 2f64.sqrt()).abs() < 0.02 && (floor - DIAMETER / 2.0).abs() < 0.02);
    }
    change(&mut shop, BoreChange::UpAsLaid);
    assert_roofs_point_up(&shop.made());
}

#[test]
fn other_bores_go_on_beside_a_roof_that_follows() {
    let mut shop = parted_block();
    shop.edit(&bore(&[[10.0, 30.0, 8.0], [90.0, 30.0, 8.0]], RodChoice::Typed(3.0)));
    let outcome = shop.made();
    assert!(outcome.bores.iter().all(|done| done.result.is_ok()), "{:?}", outcome.notes);
    assert_roofs_point_up(&outcome);
    assert!(outcome.pieces.iter().all(|piece| piece.facts.bores.len() == 2));
}
