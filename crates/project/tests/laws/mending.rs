//! Mends before the cuts: what they did, and what cannot be mended.

use seamwright_geometry::Mesh;
use seamwright_geometry::mend::MendStep;
use seamwright_geometry::{Point, solids};
use seamwright_project::{Axis, Edit, EditError, Mend, ShellNow, mending, saved};

use crate::workshop::{Workshop, assert_near, block};

/// A block without its last side.
fn opened() -> Mesh {
    let mut mesh = solids::cuboid(Point::origin(), Point::new(100.0, 60.0, 40.0));
    mesh.triangles.truncate(10);
    mesh
}

fn mend(step: MendStep) -> Mend {
    Mend { step, enabled: true }
}

#[test]
fn a_filled_hole_lets_the_pieces_be_closed_and_can_be_taken_back() {
    let mut workshop = Workshop::with(&opened());
    workshop.square_cut(Axis::X, 30.0);
    let open = workshop.made();
    assert!(open.pieces.iter().any(|piece| !piece.facts.closed));
    assert!(open.notes.iter().any(|note| note.text.contains("not closed")));

    workshop.edit(&Edit::SetMends(vec![mend(mending::fill_holes())]));
    let closed = workshop.made();
    assert!(closed.pieces.iter().all(|piece| piece.facts.closed));
    assert_near(closed.pieces.iter().map(|piece| piece.facts.volume_mm3).sum(), 240_000.0, 1e-12);
    assert_eq!(closed.parts[0].closed, Some(true));
    let done = closed.parts[0].mended[0].result.as_ref().unwrap();
    assert_eq!(done.holes_filled, 1);
    assert!(closed.notes.iter().all(|note| !note.text.contains("not closed")), "{:?}", closed.notes);

    let off = Mend { enabled: false, ..mend(mending::fill_holes()) };
    workshop.edit(&Edit::SetMends(vec![off]));
    assert!(workshop.made().pieces.iter().any(|piece| !piece.facts.closed));
}

#[test]
fn of_several_shells_each_tells_whether_the_mends_closed_it() {
    // Beside it one whose bent rim is not filled by what fills flat holes only, and a sound one.
    let moved = |mut mesh: Mesh, x_mm: f64| {
        mesh.vertices.iter_mut().for_each(|p| p.x += x_mm);
        mesh
    };
    let mut bent = moved(opened(), 200.0);
    let at_the_left = |mesh: &Mesh, face: &[u32; 3]| face.iter().all(|v| mesh.vertices[*v as usize].x == 200.0);
    let left: Vec<bool> = bent.triangles.iter().map(|face| at_the_left(&bent, face)).collect();
    let mut left = left.into_iter();
    bent.triangles.retain(|_| !left.next().unwrap());
    let sound = moved(block(), 400.0);
    let mut workshop = Workshop::with(&solids::joined(&[&opened(), &bent, &sound]));
    let before = workshop.made();
    assert_eq!(before.open_shells(), [0, 1]);
    assert!(!before.is_mended());

    workshop.edit(&Edit::SetMends(vec![mend(MendStep::FillHoles { most_edges: 200, curved: false })]));
    let made = workshop.made();
    assert_eq!(
        [0, 1, 2].map(|shell| made.shell_now(shell).unwrap()),
        [ShellNow::Closed, ShellNow::Open, ShellNow::Closed]
    );
    let told =
        |outcome: &seamwright_project::Outcome, words: &str| outcome.notes.iter().any(|note| note.text.contains(words));
    assert!(told(&made, "still not closed after mending: shell 2 of 3 is open"), "{:?}", made.notes);

    workshop.edit(&Edit::DropShells([1].into()));
    let dropped = workshop.made();
    assert_eq!((dropped.open_shells(), dropped.shell_now(1)), (Vec::new(), None));
    assert!(!told(&dropped, "not closed"), "what is dropped may be open: {:?}", dropped.notes);
    workshop.edit(&Edit::SetMends(Vec::new()));
    assert!(told(&workshop.made(), "the model is not closed"), "without the mend it is open as before");
}

#[test]
fn the_safe_steps_do_nothing_to_a_sound_model() {
    let mut workshop = Workshop::with(&block());
    let safe = workshop.made().stock.unwrap().safe_mends.clone();
    assert_eq!(safe.len(), 5);
    workshop.edit(&Edit::SetMends(safe.into_iter().map(mend).collect()));
    let outcome = workshop.made();
    assert!(outcome.parts[0].mended.iter().all(|done| done.result.as_ref().unwrap().did_nothing()));
    assert_eq!(outcome.whole().unwrap().mesh, Workshop::with(&block()).made().whole().unwrap().mesh);
}

#[test]
fn mends_are_saved_and_numbers_that_make_no_sense_are_refused() {
    let mut workshop = Workshop::with(&block());
    let steps = [
        MendStep::MergeNear { tolerance_mm: 0.01 },
        MendStep::DropZeroArea,
        MendStep::DropDuplicates,
        MendStep::SplitSheets,
        MendStep::TurnOutward,
        MendStep::FillHoles { most_edges: 50, curved: false },
        MendStep::UniteCrossing,
        MendStep::KeepOuter,
    ];
    let mut mends: Vec<Mend> = steps.map(mend).into();
    mends[3].enabled = false;
    workshop.edit(&Edit::SetMends(mends));
    assert_eq!(saved::from_json(&saved::to_json(&workshop.recipe)).unwrap(), workshop.recipe);
    let bad = Edit::SetMends(vec![mend(MendStep::MergeNear { tolerance_mm: -1.0 })]);
    assert!(matches!(bad.apply(&workshop.recipe), Err(EditError::Mend(_))));
    let damaged = saved::to_json(&workshop.recipe).replace("0.01", "-0.01");
    assert!(saved::from_json(&damaged).unwrap_err().to_string().contains("mends[0]"));
}

#[test]
fn faces_that_were_there_twice_are_no_news_once_they_are_dropped() {
    let mut twice = block();
    twice.triangles.push(twice.triangles[0]);
    let mut workshop = Workshop::with(&twice);
    let told = |workshop: &Workshop| workshop.made().notes.iter().any(|note| note.text.contains("duplicate face"));
    assert!(told(&workshop));
    workshop.edit(&Edit::SetMends(vec![mend(MendStep::DropDuplicates)]));
    assert!(!told(&workshop));
    workshop.edit(&Edit::SetMends(vec![mend(mending::fill_holes())]));
    assert!(told(&workshop), "another mend left them");
}

#[test]
fn what_hangs_together_along_an_edge_is_told_before_it_comes_apart_and_can_stay_one_piece() {
    let [a, b] = [[0.0, 0.0], [40.0, 40.0]]
        .map(|[x, y]| solids::cuboid(Point::new(x, y, 0.0), Point::new(x + 40.0, y + 40.0, 30.0)));
    let mut workshop = Workshop::with(&solids::joined(&[&a, &b]));
    let outcome = workshop.made();
    let stock = outcome.stock.as_ref().unwrap();
    assert_eq!((stock.report.shells.len(), stock.come_apart, outcome.pieces.len()), (1, 1, 1));
    workshop.edit(&Edit::SetMends(vec![Mend { step: MendStep::SplitSheets, enabled: true }]));
    let outcome = workshop.made();
    assert_eq!(outcome.pieces.len(), 2);
    let note = outcome.notes.iter().find(|note| note.text.contains("came apart")).expect("it is told");
    assert!(note.text.contains("2 pieces where the file has 1 shell"), "{}", note.text);
    workshop.edit(&note.edit.clone().expect("it is done with one click"));
    let outcome = workshop.made();
    assert_eq!(outcome.pieces.len(), 1);
    assert!(outcome.notes.iter().all(|note| !note.text.contains("came apart")), "{:?}", outcome.notes);
    let apart =
        Workshop::with(&solids::joined(&[&a, &solids::cuboid(Point::new(50.0, 0.0, 0.0), Point::new(90.0, 9.0, 9.0))]));
    assert_eq!(apart.made().stock.unwrap().come_apart, 0, "two solids hang together nowhere");
}
