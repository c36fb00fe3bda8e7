//! What the bench does so that there is something to see.

use seamwright::app::command::Command;

use super::*;

fn distance_mm(bench: &Bench) -> f64 {
    bench.harness.state().camera().distance_mm
}

fn steps(bench: &mut Bench, count: usize) {
    (0..count).for_each(|_| bench.harness.step());
}

#[test]
fn pulled_apart_all_pieces_stay_in_the_picture_and_together_again_the_view_is_as_it_was() {
    let mut bench = Bench::with_model();
    for offset in [60.0, 120.0] {
        let plane = seamwright_project::CutPlane { axis: Axis::Z, through_mm: [0.0, 0.0, offset], tilt_deg: [0.0; 2] };
        let (name, part, form, scope) = (String::new(), PartId::MAIN, CutForm::Flat, Scope::All);
        bench.ask(Action::Edit(Edit::AddCut { name, part, plane, form, scope }));
    }
    bench.press(Modifiers::NONE, Key::Escape);
    steps(&mut bench, 40);
    let before = bench.harness.state().camera();
    bench.press(Modifiers::NONE, Key::E);
    steps(&mut bench, 80);
    let apart = bench.harness.state().camera();
    assert!(
        apart.distance_mm > 1.05 * before.distance_mm && apart.heading_deg == before.heading_deg,
        "{before:?} {apart:?}"
    );
    bench.ask(Action::Explode(0.5));
    steps(&mut bench, 80);
    assert!(distance_mm(&bench) < apart.distance_mm);
    bench.press(Modifiers::NONE, Key::E);
    steps(&mut bench, 80);
    assert!((distance_mm(&bench) - before.distance_mm).abs() < 1e-6, "{before:?} {:?}", bench.harness.state().camera());
}

#[test]
fn a_place_that_is_shown_is_pointed_out_until_something_else_is_done() {
    let mut bench = Bench::with_model();
    let place = Point::new(150.0, 100.0, 4.0);
    let pointed = |bench: &Bench| bench.harness.state().state().pointed;
    bench.ask(Action::ShowPlace(place));
    assert_eq!(pointed(&bench), Some(place));
    bench.press(Modifiers::NONE, Key::Escape);
    assert_eq!(pointed(&bench), None);
    for done in
        [Action::Run(Command::FrameAll), Action::ToggleLine(seamwright::app::state::Line::Size), Action::Explode(0.3)]
    {
        bench.ask(Action::ShowPlace(place));
        assert_eq!(pointed(&bench), Some(place));
        bench.ask(done.clone());
        assert_eq!(pointed(&bench), None, "{done:?}");
    }
}

#[test]
fn the_rims_of_a_hole_within_the_model_are_lit_up_and_looked_at_from_outside() {
    let mut bench = Bench::new();
    let outer = solids::cuboid(Point::new(0.0, 0.0, 0.0), Point::new(120.0, 90.0, 100.0));
    let inner = solids::cuboid(Point::new(40.0, 30.0, 30.0), Point::new(80.0, 60.0, 70.0));
    let mut hollow = solids::hollow(&outer, &inner);
    // A face of the cavity is missing.
    hollow.triangles.pop();
    let file = bench.path("hollow.stl");
    write_stl(&file, &hollow, "hollow", Overwrite::Refuse).unwrap();
    bench.ask(Action::OpenAny(file));
    bench.ask(Action::LookClosely);
    bench.until("a close look", |state| state.looked.is_some());
    let state = bench.harness.state().state();
    let looked = state.looked.as_ref().unwrap();
    assert_eq!(looked.rims[0].len(), 1);
    assert_eq!(looked.rims[0][0].len(), 4, "three corners, and the first once more: {:?}", looked.rims);
    bench.ask(Action::ShowFinding(0, 0));
    steps(&mut bench, 40);
    let place = bench.harness.state().state().pointed.expect("the hole is pointed out");
    assert!((30.0..=90.0).contains(&place.x));
    let eye = bench.harness.state().camera().eye();
    assert!(eye.x > 125.0 || eye.y < -5.0 || eye.z > 105.0, "outside of the block: {eye:?}");
}

#[test]
fn frame_times_are_told_in_one_line() {
    let mut bench = Bench::with_model();
    bench.press(Modifiers::NONE, Key::F10);
    steps(&mut bench, 3);
    let line =
        bench.harness.get_by(|node| node.value().or(node.label()).is_some_and(|text| text.starts_with("frame ")));
    assert!(line.rect().height() < 24.0 && line.rect().right() < 1280.0, "{:?}", line.rect());
}
