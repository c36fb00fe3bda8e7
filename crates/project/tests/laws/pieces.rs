//! Pieces: closed, adding up to the whole, with identities and marks.

use seamwright_geometry::{Mesh, Side, edge_report};
use seamwright_project::{Axis, CutPlane, Outcome};

use crate::workshop::{Workshop, assert_near, block, by_id, ids, ring, shell, slanted};

/// What holds for the pieces of any closed model.
fn check(outcome: &Outcome) {
    let pieces = by_id(outcome);
    let whole = &outcome.whole().unwrap().mesh;
    for piece in pieces.values() {
        assert!(piece.facts.closed && edge_report(&piece.solid.mesh).closed(), "{} is open", piece.id);
        assert!(piece.facts.open_places.is_empty());
        assert!(piece.facts.volume_mm3 > 0.0);
        assert_eq!(Some(piece.facts.bounds), piece.solid.mesh.bounds());
        let caps: Vec<(u32, Side)> = piece.id.path.iter().map(|(cut, side)| (cut.0, *side)).collect();
        assert_eq!(caps, piece.solid.caps(), "{} is named by its caps", piece.id);
        assert!(piece.facts.caps.is_sorted_by(|a, b| a.area_mm2 >= b.area_mm2));
    }
    assert_near(pieces.values().map(|piece| piece.facts.volume_mm3).sum(), whole.volume_mm3(), 1e-12);
    let walls = |piece: &seamwright_project::Piece| {
        piece.facts.area_mm2 - piece.facts.caps.iter().map(|cap| cap.area_mm2).sum::<f64>()
    };
    assert_near(outcome.pieces.iter().map(walls).sum(), whole.area_mm2(), 1e-11);
    let marks: Vec<String> = (1..=pieces.len()).map(|i| format!("A{i}")).collect();
    assert!(outcome.pieces.iter().map(|piece| &piece.mark).eq(&marks));
}

/// Some cuts, square and slanted, that cross one another.
fn cuts() -> [CutPlane; 4] {
    [
        CutPlane::square(Axis::X, 12.0),
        slanted([0.0, 0.0, 10.0], [0.2, -0.3, 1.0]),
        CutPlane { axis: Axis::Y, through_mm: [0.0, 10.0, 0.0], tilt_deg: [12.0, -33.0] },
        slanted([20.0, 5.0, 5.0], [1.0, 1.0, 1.0]),
    ]
}

fn check_all(mesh: &Mesh) {
    let mut workshop = Workshop::with(mesh);
    check(&workshop.made());
    for plane in cuts() {
        workshop.cut(plane);
        check(&workshop.made());
    }
}

#[test]
fn pieces_of_a_block_are_closed_and_add_up() {
    check_all(&block());
}

#[test]
fn pieces_of_a_hollow_ball_are_closed_and_add_up() {
    check_all(&shell());
}

#[test]
fn pieces_of_a_ring_are_closed_and_add_up() {
    check_all(&ring());
}

#[test]
fn cuts_along_the_grid_of_a_block_have_exact_measures() {
    let mut workshop = Workshop::with(&block());
    workshop.square_cut(Axis::X, 30.0);
    workshop.square_cut(Axis::Z, 10.0);
    let outcome = workshop.made();
    check(&outcome);
    assert_eq!(ids(&outcome), ["1b.2b#0", "1b.2a#0", "1a.2b#0", "1a.2a#0"]);
    let volumes: Vec<f64> = by_id(&outcome).values().map(|piece| piece.facts.volume_mm3).collect();
    for (found, expected) in volumes.iter().zip([18_000.0, 54_000.0, 42_000.0, 126_000.0]) {
        assert_near(*found, expected, 1e-12);
    }
    let caps: Vec<f64> = by_id(&outcome)[&"1a.2a#0".parse().unwrap()].facts.caps.iter().map(|c| c.area_mm2).collect();
    assert_near(caps[0], 70.0 * 60.0, 1e-12);
    assert_near(caps[1], 60.0 * 30.0, 1e-12);
}

#[test]
fn marks_follow_the_longest_side_of_the_whole() {
    let mut workshop = Workshop::with(&block());
    for offset_mm in [70.0, 20.0, 50.0] {
        workshop.square_cut(Axis::X, offset_mm);
    }
    let outcome = workshop.made();
    let lows: Vec<f64> = outcome.pieces.iter().map(|piece| piece.facts.bounds.min.x).collect();
    assert_eq!(lows, [0.0, 20.0, 50.0, 70.0]);
}

#[test]
fn a_model_without_cuts_is_one_piece_with_the_empty_name() {
    let outcome = Workshop::with(&shell()).made();
    assert_eq!(ids(&outcome), ["#0"]);
    assert!(outcome.seams.is_empty() && outcome.pieces[0].lineage.is_empty());
    assert!(std::sync::Arc::ptr_eq(&outcome.pieces[0].solid, outcome.whole().unwrap()));
}
