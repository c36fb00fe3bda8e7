//! Room made in one shell for another, and cavities that belong to their solid.

use seamwright_geometry::{Mesh, Point, solids};
use seamwright_project::health::{Defect, look_closely};
use seamwright_project::{Edit, EditError, Outcome, PartId, Relief, Size, Unit, saved};

use crate::workshop::{Workshop, assert_near};

fn cuboid(low: [f64; 3], high: [f64; 3]) -> Mesh {
    solids::cuboid(Point::from(low), Point::from(high))
}

/// A plate of 40 × 40 × 10 and a rod of 6 × 6 through it.
fn crossing() -> Mesh {
    let plate = cuboid([0.0, 0.0, 0.0], [40.0, 40.0, 10.0]);
    solids::joined(&[&plate, &cuboid([17.0, 17.0, -20.0], [23.0, 23.0, 30.0])])
}

fn relief(shell: u32, by: u32) -> Relief {
    Relief { shell, by, clearance_mm: 0.5, enabled: true }
}

fn volume(outcome: &Outcome, part: usize) -> f64 {
    outcome.parts[part].solid.mesh.volume_mm3()
}

const PLATE: f64 = 16_000.0;
const ROD: f64 = 1800.0;

#[test]
fn a_relieved_shell_loses_the_other_and_a_gap_and_gets_it_back_when_switched_off() {
    let mut workshop = Workshop::with(&crossing());
    let before = workshop.made();
    workshop.edit(&Edit::SetReliefs(vec![relief(0, 1)]));
    let made = workshop.made();
    assert_near(volume(&made, 0), PLATE - 490.0 + ROD, 1e-5);
    let done = made.parts[0].relieved[0].result.as_ref().unwrap();
    assert_near(done.removed_mm3, 490.0, 1e-4);
    assert!(done.before_mm == 0.0 && done.after_mm >= 0.5, "{done:?}");
    assert_eq!(made.parts[0].closed, Some(true));
    // The look that found them crossing finds it no more.
    let crosses = |outcome: &Outcome| {
        let look = look_closely(&outcome.parts[0].solid.mesh, &Default::default(), &Default::default()).unwrap();
        look.findings.iter().any(|finding| finding.defect == Defect::CrossingShells)
    };
    assert!(crosses(&before) && !crosses(&made));

    workshop.edit(&Edit::SetReliefs(vec![Relief { enabled: false, ..relief(0, 1) }]));
    assert_eq!(workshop.made().whole().unwrap().mesh, before.whole().unwrap().mesh);
}

#[test]
fn a_shell_makes_room_for_one_that_is_set_aside_or_dropped() {
    let mut workshop = Workshop::with(&crossing());
    workshop.edit(&Edit::SetReliefs(vec![relief(0, 1)]));
    workshop.edit(&Edit::AddLoosePart { name: "rod".into(), shells: [1].into() });
    let aside = workshop.made();
    assert_near(volume(&aside, 0), PLATE - 490.0, 1e-5);
    assert_near(volume(&aside, 1), ROD, 1e-12);
    workshop.edit(&Edit::DropShells([1].into()));
    let dropped = workshop.made();
    assert_eq!((dropped.parts.len(), volume(&dropped, 0)), (1, volume(&aside, 0)));
}

#[test]
fn both_may_make_room_for_the_other_as_it_was() {
    let mut workshop = Workshop::with(&crossing());
    workshop.edit(&Edit::SetReliefs(vec![relief(0, 1), relief(1, 0)]));
    let made = workshop.made();
    assert_near(volume(&made, 0), PLATE - 490.0 + ROD - 36.0 * 11.0, 1e-5);
    assert!(made.notes.iter().any(|note| note.text.contains("falls into 2 bodies")), "{:?}", made.notes);
}

#[test]
fn the_gap_stays_as_wide_however_large_the_model_is_made() {
    let mut workshop = Workshop::with(&crossing());
    workshop.edit(&Edit::SetReliefs(vec![relief(0, 1)]));
    workshop.edit(&Edit::SetSize(Size { unit: Unit::Millimetre, factor: 2.0 }));
    // A hole of 13 mm.
    assert_near(volume(&workshop.made(), 0), 8.0 * (PLATE + ROD) - 169.0 * 20.0, 1e-5);
}

#[test]
fn what_cannot_be_relieved_is_told_with_the_way_out_and_the_rest_is_made() {
    let mut open = crossing();
    open.triangles.pop();
    let mut workshop = Workshop::with(&open);
    workshop.edit(&Edit::SetReliefs(vec![relief(0, 1), relief(0, 7)]));
    let made = workshop.made();
    let why: Vec<&String> = made.parts[0].relieved.iter().map(|done| done.result.as_ref().unwrap_err()).collect();
    assert!(why.iter().all(|why| why.contains("the shell that it makes room for")), "{why:?}");
    assert!(why[0].contains("fill its holes first"), "{why:?}");
    assert!(made.notes.iter().any(|note| note.text.contains("relieve shell 1 by shell 2, 0.5 mm was not done")));
    // And done once the hole is filled.
    let fill = seamwright_project::mending::fill_holes();
    workshop.edit(&Edit::SetMends(vec![seamwright_project::Mend { step: fill, enabled: true }]));
    assert_near(volume(&workshop.made(), 0), PLATE - 490.0 + ROD, 1e-5);
}

#[test]
fn reliefs_are_saved_and_those_that_make_no_sense_are_refused() {
    let mut workshop = Workshop::with(&crossing());
    workshop.edit(&Edit::SetReliefs(vec![relief(0, 1), Relief { enabled: false, ..relief(1, 0) }]));
    let text = saved::to_json(&workshop.recipe);
    assert_eq!(saved::from_json(&text).unwrap(), workshop.recipe);
    let refused = saved::from_json(&text.replacen("0.5", "-0.5", 1)).unwrap_err().to_string();
    assert!(refused.contains("reliefs[0]"), "{refused}");
    let bad = Edit::SetReliefs(vec![relief(1, 1)]).apply(&workshop.recipe);
    assert!(matches!(bad, Err(EditError::Relief(_))));
    assert_eq!(Edit::SetReliefs(Vec::new()).title(&workshop.recipe), "do not relieve shell 1 by shell 2, 0.5 mm");
}

/// A ball in a hollow ball in the cavity of a hollow ball: five shells, three solids.
fn nested() -> Mesh {
    let ball = |radius: f64| solids::sphere(Point::new(1.0, 2.0, 3.0), radius, 6);
    let outer = solids::hollow(&ball(30.0), &ball(26.0));
    let middle = solids::hollow(&ball(20.0), &ball(16.0));
    solids::joined(&[&outer, &middle, &ball(10.0)])
}

#[test]
fn a_cavity_belongs_to_the_solid_around_it_at_every_depth() {
    let workshop = Workshop::with(&nested());
    let made = workshop.made();
    let stock = made.stock.unwrap();
    assert_eq!(stock.cavity_of, [None, Some(0), None, Some(2), None]);
    assert_eq!((0..5).map(|shell| stock.solid_of(shell)).collect::<Vec<_>>(), [0, 0, 2, 2, 4]);
    assert_eq!(stock.cavities_of(2).collect::<Vec<_>>(), [3]);
    assert_eq!(made.pieces.len(), 3);
}

#[test]
fn a_relieved_solid_keeps_its_cavity_and_the_other_comes_with_its_own() {
    let ball = |x: f64, radius: f64| solids::sphere(Point::new(x, 0.0, 0.0), radius, 10);
    let mesh = solids::joined(&[&solids::hollow(&ball(0.0, 20.0), &ball(0.0, 18.0)), &ball(0.0, 17.9)]);
    let mut workshop = Workshop::with(&mesh);
    workshop.edit(&Edit::SetReliefs(vec![relief(2, 0)]));
    let made = workshop.made();
    let wall = ball(0.0, 20.0).volume_mm3() - ball(0.0, 18.0).volume_mm3();
    let yolk = ball(0.0, 17.5).volume_mm3();
    assert_near(volume(&made, 0), wall + yolk, 2e-3);
    assert_eq!(made.pieces.len(), 2);
    let part = |shells: &[u32]| Edit::AddLoosePart { name: "shell".into(), shells: shells.iter().copied().collect() };
    workshop.edit(&part(&[0, 1]));
    assert_near(volume(&workshop.made(), 1), wall, 1e-6);
    assert_eq!(workshop.recipe.part_of_shell(1), Some(PartId(1)));
}
