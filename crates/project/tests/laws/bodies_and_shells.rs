//! Models of several bodies, bodies that a cut leaves, shells left out.

use seamwright_geometry::{Mesh, Point, solids};
use seamwright_project::{Axis, Edit, Stage};

use crate::workshop::{Workshop, assert_near, block, by_id, id, ids, ring, shell};

/// Three blocks in a row along x, at different heights, not in the order of the row.
pub fn row() -> Mesh {
    let block = |x: f64, z: f64| solids::cuboid(Point::new(x, 0.0, z), Point::new(x + 10.0, 20.0, z + 30.0));
    solids::joined(&[&block(0.0, 9.0), &block(40.0, 5.0), &block(20.0, 0.0)])
}

#[test]
fn a_model_of_several_bodies_is_several_pieces_numbered_along_the_row() {
    let outcome = Workshop::with(&row()).made();
    assert_eq!(ids(&outcome), ["#0", "#1", "#2"]);
    let lows: Vec<f64> = by_id(&outcome).values().map(|piece| piece.facts.bounds.min.x).collect();
    assert_eq!(lows, [0.0, 20.0, 40.0]);
    assert!(outcome.pieces.iter().all(|piece| piece.facts.closed));
    assert!(outcome.seams.is_empty());
}

#[test]
fn a_hollow_model_is_one_body() {
    assert_eq!(ids(&Workshop::with(&shell()).made()), ["#0"]);
}

#[test]
fn bodies_kept_together_are_one_piece_until_a_cut_parts_them() {
    let mut workshop = Workshop::with(&row());
    workshop.edit(&Edit::SetKeepBodiesTogether(true));
    assert_eq!(ids(&workshop.made()), ["#0"]);
    workshop.square_cut(Axis::X, 25.0);
    let together = workshop.made();
    assert_eq!(ids(&together), ["1b#0", "1a#0"]);
    workshop.edit(&Edit::SetKeepBodiesTogether(false));
    let apart = workshop.made();
    assert_eq!(ids(&apart), ["#0", "#1", "1b#0", "1a#0"]);
    let volume = |outcome: &seamwright_project::Outcome| outcome.pieces.iter().map(|p| p.facts.volume_mm3).sum::<f64>();
    assert_near(volume(&together), volume(&apart), 1e-12);
}

#[test]
fn the_two_sides_of_a_ring_between_two_cuts_are_two_bodies_of_one_name() {
    let mut workshop = Workshop::with(&ring());
    workshop.square_cut(Axis::Y, -40.0);
    workshop.square_cut(Axis::Y, 40.0);
    let outcome = workshop.made();
    assert_eq!(ids(&outcome), ["1b#0", "1a.2b#0", "1a.2b#1", "2a#0"]);
    let bounds = |text| by_id(&outcome)[&id(text)].facts.bounds;
    assert!(bounds("1a.2b#0").max.x < bounds("1a.2b#1").min.x);
    workshop.edit(&Edit::SetKeepBodiesTogether(true));
    assert_eq!(ids(&workshop.made()), ["1b#0", "1a.2b#0", "2a#0"]);
}

#[test]
fn dropped_shells_are_left_out_and_come_back() {
    let mut workshop = Workshop::with(&row());
    let stock = workshop.made().stock.unwrap();
    assert_eq!(stock.report.shells.len(), 3);
    let volume_of_second = stock.report.shells[1].volume_mm3;
    workshop.edit(&Edit::SetShellKept { shell: 0, kept: false });
    workshop.edit(&Edit::SetShellKept { shell: 2, kept: false });
    let outcome = workshop.made();
    assert_eq!(ids(&outcome), ["#0"]);
    let part = outcome.whole().unwrap();
    assert_eq!((part.mesh.vertices.len(), part.mesh.triangles.len(), part.origins.len()), (8, 12, 12));
    assert_near(outcome.pieces[0].facts.volume_mm3, volume_of_second, 1e-12);
    workshop.edit(&Edit::SetShellKept { shell: 0, kept: true });
    assert_eq!(workshop.made().pieces.len(), 2);
}

#[test]
fn dropping_every_shell_fails_at_the_shells_and_keeps_the_stock() {
    let mut workshop = Workshop::with(&block());
    workshop.square_cut(Axis::X, 50.0);
    workshop.edit(&Edit::SetShellKept { shell: 0, kept: false });
    let outcome = workshop.outcome();
    let failure = outcome.failure.unwrap();
    assert_eq!((failure.stage, failure.stock_moved), (Stage::Shells, false));
    assert!(failure.text.contains("keep at least one"), "{}", failure.text);
    assert!(outcome.stock.is_some() && outcome.parts.is_empty());
    assert!(outcome.pieces.is_empty() && outcome.seams.is_empty());
}

#[test]
fn a_shell_that_is_not_there_may_be_dropped() {
    let mut workshop = Workshop::with(&block());
    workshop.edit(&Edit::SetShellKept { shell: 40, kept: false });
    assert_eq!(ids(&workshop.made()), ["#0"]);
}
