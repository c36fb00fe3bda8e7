//! Measures: taken on the model, listed, kept in the file.

use seamwright_project::Measured;

use super::*;

fn measured(bench: &Bench) -> Vec<Measured> {
    bench.recipe().measures.iter().map(|measure| measure.what.clone()).collect()
}

#[test]
fn a_distance_between_two_picked_points_is_listed_undone_and_kept() {
    let mut bench = Bench::with_model();
    bench.press(Modifiers::NONE, Key::M);
    assert!(bench.sees("Click the first of two points."));
    bench.click_bench([-60.0, 10.0]);
    assert!(bench.sees("One point picked; one more."));
    bench.click_bench([60.0, 10.0]);
    let [Measured::Distance { from_mm, to_mm }] = measured(&bench)[..] else { panic!("{:?}", measured(&bench)) };
    assert!(from_mm != to_mm && bench.sees("distance ") && bench.sees("undo \"measure a distance of"));
    assert_eq!(bench.harness.state().state().measure_dimensions().len(), 1);

    let file = bench.path("casket.seamwright.json");
    bench.ask(Action::Chosen(seamwright::app::Purpose::SaveAs, bench.path("casket")));
    assert_eq!(store::open(&file).unwrap(), *bench.recipe());

    bench.click("measures are shown on the model");
    assert!(bench.harness.state().state().measure_dimensions().is_empty());
    bench.press(CTRL, Key::Z);
    assert!(measured(&bench).is_empty());
}

#[test]
fn an_angle_thickness_and_girth_are_measured_on_the_casket() {
    let mut bench = Bench::with_model();
    bench.ask(Action::Run(seamwright::app::command::Command::LookFrom(seamwright::bench::StandardView::Front)));
    for _ in 0..40 {
        bench.harness.step();
    }
    // Straight onto the front, 4 mm thick.
    bench.press(Modifiers::ALT, Key::W);
    bench.click_bench([-40.0, 0.0]);
    bench.settle();
    assert_eq!(measured(&bench).len(), 1, "{:?}", measured(&bench));
    assert!(bench.sees("thickness 4.0 mm"));
    // Round the longest way, which is X: 2 × (200 + 180) mm.
    bench.press(Modifiers::ALT, Key::G);
    bench.click_bench([-40.0, 0.0]);
    bench.settle();
    assert!(bench.sees("girth 760.0 mm") && bench.sees("round X · 760.0 mm taut"));
    // One flat face.
    bench.press(Modifiers::ALT, Key::A);
    bench.click_bench([-40.0, 0.0]);
    bench.click_bench([40.0, 20.0]);
    assert!(bench.sees("angle 180.0°") && bench.sees("undo \"measure an angle of 180.0°\""));
    bench.click("forget: girth 760.0 mm");
    assert_eq!(measured(&bench).len(), 2);
}

#[test]
fn a_measure_grows_with_the_model() {
    let mut bench = Bench::with_model();
    let what = Measured::Distance { from_mm: [0.0, 0.0, 0.0], to_mm: [30.0, 0.0, 40.0] };
    bench.ask(Action::Edit(Edit::AddMeasure { part: PartId::MAIN, what }));
    bench.open_line("2 Size");
    assert!(bench.sees("distance 50.0 mm") && bench.sees("x 30.0 · y 0.0 · z 40.0"));
    bench.type_into("height", "90");
    assert!(bench.sees("distance 25.0 mm"));
    let before = bench.harness.state().camera();
    bench.click("show: distance 25.0 mm");
    assert_ne!(bench.harness.state().camera(), before);
}
