//! How the model stands, and how large it was read.

use super::*;

fn size_of(bench: &Bench) -> seamwright_geometry::Vector {
    bench.harness.state().state().part_bounds().unwrap().size()
}

#[test]
fn a_quarter_turn_is_one_step_and_every_line_tells_the_model_as_it_stands() {
    let mut bench = Bench::new();
    let file = bench.path("bar.stl");
    let bar = solids::cuboid(Point::new(0.0, 0.0, 7.0), Point::new(40.0, 30.0, 207.0));
    write_stl(&file, &bar, "bar", Overwrite::Refuse).unwrap();
    bench.ask(Action::OpenAny(file));
    bench.open_line("2 Size");
    bench.click("turn 90° about X");
    assert!((size_of(&bench) - seamwright_geometry::Vector::new(40.0, 200.0, 30.0)).norm() < 1e-9);
    assert_eq!(bench.harness.state().state().part_bounds().unwrap().min.z, 0.0);
    assert!(bench.sees("undo \"turn by 90° about X\""));
    bench.open_line("3 Shells");
    assert!(bench.sees("40 × 200 × 30 mm"), "{:?}", bench.texts(" mm, "));
    bench.open_line("2 Size");
    bench.click("turn −90° about X");
    assert!(bench.recipe().stance.is_as_made());
    assert_eq!(bench.harness.state().state().part_bounds().unwrap().min.z, 7.0, "as made it lies where it was made");
    bench.click("turn 90° about Z");
    bench.click("stand as made");
    assert!(bench.recipe().stance.is_as_made());
}

#[test]
fn a_model_in_metres_is_told_with_digits_that_say_something_and_put_right_by_its_note() {
    let mut bench = Bench::new();
    let file = bench.path("tiny.stl");
    let tiny = solids::cuboid(Point::new(0.0, 0.0, 0.0), Point::new(0.2, 0.25, 0.317));
    write_stl(&file, &tiny, "tiny", Overwrite::Refuse).unwrap();
    bench.ask(Action::OpenAny(file));
    assert!(bench.sees("0.2 × 0.25 × 0.32"), "{:?}", bench.texts(" × "));
    assert!(bench.sees("only 0.32 mm long, read in millimetres. Perhaps it was modelled in metres"));
    bench.open_line("2 Size");
    assert_eq!(bench.texts("Perhaps").len(), bench.texts("Perhaps it was modelled").len(), "it is said in one place");
    assert!(!bench.sees("read it in"), "and there is one way to it");
    let button =
        bench.harness.get_by(|node| node.label().is_some_and(|label| label.starts_with("do it: the model is")));
    button.click();
    bench.settle();
    assert_eq!(bench.recipe().size.unit, Unit::Metre);
    assert!((size_of(&bench).z - 317.0).abs() < 1e-3);
    assert!(bench.sees("undo \"read it in metres\"") && !bench.sees("Perhaps it was modelled"));
}

#[test]
fn lengths_in_fields_have_two_decimals_and_keep_the_others() {
    let mut bench = Bench::with_model();
    bench.open_line("2 Size");
    bench.ask(Action::Edit(Edit::SetSizeBy { factor: 1.187_131_5, by: SizedBy::Factor }));
    assert_eq!((bench.value("width"), bench.value("enlarged by")), ("356.14 mm".into(), "1.187".into()));
    let field = bench.harness.get_by_role_and_label(Role::TextInput, "width").rect().center();
    bench.harness.hover_at(field);
    bench.until_seen("exactly 356.139");
    bench.new_cut();
    let plane = seamwright_project::CutPlane::square(Axis::X, 123.456_78);
    let cut = bench.recipe().cuts[0].id;
    bench.ask(Action::Edit(Edit::SetCutPlane { cut, plane }));
    assert_eq!(bench.value("offset"), "123.46 mm");
    // Touched and left: nothing is rounded.
    bench.harness.get_by_role_and_label(Role::TextInput, "offset").click();
    bench.settle();
    assert_eq!(bench.value("offset"), "123.4568 mm", "what is typed over is told in full");
    bench.press(Modifiers::NONE, Key::Enter);
    assert_eq!(bench.recipe().cuts[0].plane.offset_mm(), 123.456_78);
    assert_eq!(bench.value("offset"), "123.46 mm");
    // All of it is typed over, though more is there than was read.
    bench.type_into("offset", "5");
    assert_eq!(bench.recipe().cuts[0].plane.offset_mm(), 5.0);
}

#[test]
fn a_project_that_begins_with_a_model_is_called_as_it() {
    let mut bench = Bench::new();
    let file = bench.model("casket.stl");
    bench.ask(Action::Chosen(seamwright::app::Purpose::OpenStock, file));
    assert_eq!(bench.recipe().name, "casket");
    bench.press(CTRL, Key::Z);
    assert_eq!(bench.recipe().name, seamwright_project::UNNAMED);
}
