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
fn frame_times_are_told_in_one_line() {
    let mut bench = Bench::with_model();
    bench.press(Modifiers::NONE, Key::F10);
    steps(&mut bench, 3);
    let line =
        bench.harness.get_by(|node| node.value().or(node.label()).is_some_and(|text| text.starts_with("frame ")));
    assert!(line.rect().height() < 24.0 && line.rect().right() < 1280.0, "{:?}", line.rect());
}
