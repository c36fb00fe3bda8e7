//! The card of a cut: which bodies it may cross, and the way back to the model.

use super::*;

/// A beam with two horns on it, alike but for their place.
fn horned(bench: &Bench) -> PathBuf {
    let beam = solids::cuboid(Point::new(0.0, 0.0, 0.0), Point::new(200.0, 40.0, 30.0));
    let horn = |x: f64| solids::cuboid(Point::new(x, 5.0, 20.0), Point::new(x + 20.0, 35.0, 90.0));
    let file = bench.path("horned.stl");
    let progress = seamwright_geometry::Progress::new();
    let all = solids::joined(&[&beam, &horn(10.0), &horn(170.0)]);
    let united = seamwright_geometry::mend::MendStep::UniteCrossing.apply(&all, &progress).unwrap().mesh;
    write_stl(&file, &united, "horned", Overwrite::Refuse).unwrap();
    file
}

fn boxes(bench: &Bench) -> Vec<(String, Option<egui::accesskit::Toggled>)> {
    let rows = bench.harness.query_all_by(|node| {
        let said = node.label().unwrap_or_default();
        node.role() == Role::CheckBox && (said.starts_with("crosses ") || said.ends_with("does not come to it here"))
    });
    let told = |node| {
        let node = egui_kittest::kittest::NodeT::accesskit_node(&node);
        (node.label().unwrap_or_default(), node.toggled())
    };
    rows.map(told).collect()
}

#[test]
fn bodies_on_one_side_are_told_apart_and_what_a_cut_does_not_reach_is_not_offered() {
    let mut bench = Bench::new();
    let file = horned(&bench);
    bench.ask(Action::OpenAny(file));
    let (part, form) = (PartId::MAIN, CutForm::Flat);
    let cut = |axis, offset_mm| Edit::AddCut {
        name: String::new(),
        part,
        plane: seamwright_project::CutPlane::square(axis, offset_mm),
        form: form.clone(),
        scope: Scope::All,
    };
    // The horns off the beam, and then a cut through both of them.
    bench.ask(Action::Edit(cut(Axis::Z, 30.0)));
    bench.ask(Action::Edit(cut(Axis::Z, 60.0)));
    let second = bench.recipe().cuts[1].id;
    bench.open_line("5 Cuts");
    bench.ask(Action::TakeCut(Some(second)));
    bench.until("the bodies", |state| state.uncut.len() == 3);
    bench.click("only some");
    bench.until("the bodies", |state| state.uncut.iter().filter(|body| body.is_reached).count() == 2);
    bench.settle();
    let rows = boxes(&bench);
    assert_eq!(rows.len(), 2, "the beam is not reached: {rows:?}");
    assert_ne!(rows[0].0, rows[1].0, "two bodies are called alike: {rows:?}");
    assert!(rows.iter().all(|(_, on)| *on == Some(egui::accesskit::Toggled::True)), "{rows:?}");
    let (struck, kept) = (rows[0].0.clone(), rows[1].0.clone());
    bench.click(&struck);
    let pieces = bench.harness.state().state().pieces().len();
    assert_eq!(pieces, 4, "one horn is left whole");
    let rows = boxes(&bench);
    assert_eq!(rows.len(), 2, "{rows:?}");
    assert_ne!(rows[0].0, rows[1].0, "{rows:?}, after {struck} and {kept}");
    assert_eq!(rows.iter().filter(|(_, on)| *on == Some(egui::accesskit::Toggled::True)).count(), 1, "{rows:?}");
}

#[test]
fn a_cut_beside_the_model_is_brought_back_from_its_card() {
    let mut bench = Bench::with_model();
    bench.new_cut();
    bench.type_into("offset", "-999");
    assert!(bench.sees("It lies beside the model."));
    bench.click("bring it to the model");
    let bounds = bench.harness.state().state().part_bounds().unwrap();
    let plane = bench.recipe().cuts[0].plane;
    let at = plane.offset_mm();
    assert!(at > bounds.min[plane.axis.index()] && at < bounds.max[plane.axis.index()], "{at}");
    assert!(!bench.sees("It lies beside the model."));
    bench.press(CTRL, Key::Z);
    assert_eq!(bench.recipe().cuts[0].plane.offset_mm(), -999.0);
}

#[test]
fn a_second_cut_by_number_does_not_fall_on_the_first() {
    let mut bench = Bench::with_model();
    bench.new_cut();
    bench.press(Modifiers::NONE, Key::Escape);
    bench.ask(Action::SelectPiece(None));
    bench.new_cut();
    let [first, second] = &bench.recipe().cuts[..] else { panic!("two cuts") };
    assert_eq!(first.plane.axis, second.plane.axis);
    assert!((first.plane.offset_mm() - second.plane.offset_mm()).abs() > 20.0, "{first:?} {second:?}");
    let notes = &bench.harness.state().state().outcome.as_ref().unwrap().notes;
    assert!(notes.iter().all(|note| !note.text.contains("crosses nothing")), "{notes:?}");
}
