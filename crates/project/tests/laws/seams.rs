//! Seams: what two pieces share.

use seamwright_geometry::Side;
use seamwright_project::{Axis, CutId, CutPlane, Outcome};

use crate::workshop::{Workshop, block, by_id, only, ring, shell, slanted};

/// All that was cut meets again: for every piece, its seams along a cut make up its cap there.
pub fn check(outcome: &Outcome) {
    for (id, piece) in by_id(outcome) {
        for cap in &piece.facts.caps {
            let side = cap.side;
            let own = |seam: &&seamwright_project::Seam| {
                seam.cut == cap.cut && if side == Side::Below { seam.below == id } else { seam.above == id }
            };
            let shared: f64 = outcome.seams.iter().filter(own).map(|seam| seam.area_mm2).sum();
            assert!((shared - cap.area_mm2).abs() <= 1e-9 * cap.area_mm2.max(1.0), "{id}: {shared} of {cap:?}");
        }
    }
    for seam in &outcome.seams {
        assert!(seam.area_mm2 > 0.0);
        assert!(by_id(outcome)[&seam.below].id.path.contains(&(seam.cut, Side::Below)));
        assert!(by_id(outcome)[&seam.above].id.path.contains(&(seam.cut, Side::Above)));
    }
}

fn described(outcome: &Outcome) -> Vec<String> {
    let mut seams: Vec<String> =
        outcome.seams.iter().map(|s| format!("{}: {} {} {:.3}", s.cut.0, s.below, s.above, s.area_mm2)).collect();
    seams.sort();
    seams
}

#[test]
fn a_seam_has_the_area_of_both_its_caps() {
    for mesh in [block(), shell(), ring()] {
        let mut workshop = Workshop::with(&mesh);
        workshop.cut(slanted([10.0, 2.0, 5.0], [1.0, 0.4, 0.3]));
        let outcome = workshop.made();
        assert!(!outcome.seams.is_empty());
        check(&outcome);
    }
}

#[test]
fn four_pieces_around_an_edge_have_four_seams() {
    let mut workshop = Workshop::with(&block());
    workshop.square_cut(Axis::X, 30.0);
    workshop.square_cut(Axis::Y, 20.0);
    let outcome = workshop.made();
    check(&outcome);
    assert_eq!(
        described(&outcome),
        [
            "1: 1b.2a#0 1a.2a#0 1600.000",
            "1: 1b.2b#0 1a.2b#0 800.000",
            "2: 1a.2b#0 1a.2a#0 2800.000",
            "2: 1b.2b#0 1b.2a#0 1200.000"
        ]
    );
}

#[test]
fn crossing_cuts_leave_no_seam_without_its_partner() {
    for mesh in [block(), shell(), ring()] {
        let mut workshop = Workshop::with(&mesh);
        workshop.cut(slanted([10.0, 2.0, 5.0], [1.0, 0.4, 0.3]));
        workshop.cut(slanted([3.0, -4.0, 8.0], [0.2, -0.5, 1.0]));
        workshop.cut(CutPlane { axis: Axis::Y, through_mm: [0.0, 3.0, 0.0], tilt_deg: [10.0, 20.0] });
        check(&workshop.made());
    }
}

#[test]
fn a_seam_is_shared_where_only_one_side_was_cut_further() {
    for mesh in [block(), shell()] {
        let mut workshop = Workshop::with(&mesh);
        workshop.cut(slanted([10.0, 2.0, 5.0], [1.0, 0.4, 0.3]));
        workshop.cut_only(slanted([3.0, 7.0, 8.0], [0.2, -0.5, 1.0]), only(&["1a#0"]));
        let outcome = workshop.made();
        assert_eq!(outcome.seams.iter().filter(|seam| seam.cut == CutId(1)).count(), 2);
        check(&outcome);
    }
}

#[test]
fn a_seam_is_shared_where_both_sides_were_cut_by_different_cuts() {
    let mut workshop = Workshop::with(&block());
    workshop.square_cut(Axis::Z, 20.0);
    workshop.cut_only(CutPlane::square(Axis::X, 35.0), only(&["1b#0"]));
    workshop.cut_only(CutPlane::square(Axis::Y, 25.0), only(&["1a#0"]));
    let outcome = workshop.made();
    check(&outcome);
    assert_eq!(
        described(&outcome)[..4],
        [
            "1: 1b.2a#0 1a.3a#0 2275.000",
            "1: 1b.2a#0 1a.3b#0 1625.000",
            "1: 1b.2b#0 1a.3a#0 1225.000",
            "1: 1b.2b#0 1a.3b#0 875.000"
        ]
    );
}
