//! The job card: what is scrolled, what its rows take, and whose the digits are.

use super::*;

const BED_WIDTH: &str = "bed width";

fn card_shows(bench: &Bench, starts: &str) -> bool {
    let line = bench
        .harness
        .get_by(|node| node.role() == Role::Button && node.label().is_some_and(|label| label.starts_with(starts)));
    let at = line.rect().center().y;
    (0.0..800.0).contains(&at)
}

#[test]
fn a_card_that_was_scrolled_is_never_left_empty_under_the_pointer() {
    let mut bench = Bench::with_model();
    bench.harness.set_size(egui::vec2(1280.0, 420.0));
    bench.settle();
    bench.open_line("7 Lays");
    let at = bench.harness.get_by_role_and_label(Role::TextInput, BED_WIDTH).rect().left_center();
    let beneath = egui::pos2(at.x.min(200.0), 330.0);
    bench.harness.hover_at(beneath);
    bench.settle();
    for _ in 0..30 {
        let (unit, delta) = (egui::MouseWheelUnit::Point, egui::vec2(0.0, -200.0));
        let (modifiers, phase, source) = (Modifiers::NONE, egui::TouchPhase::Move, egui::MouseWheelSource::Wheel);
        bench.harness.event(egui::Event::MouseWheel { unit, delta, modifiers, phase, source });
        bench.harness.step();
    }
    bench.settle();
    bench.press(Modifiers::NONE, Key::Num6);
    assert!(card_shows(&bench, "8 Kit"), "the pointer is still there");
}

#[test]
fn the_whole_row_of_a_cut_takes_it_in_hand() {
    let mut bench = Bench::with_model();
    bench.new_cut();
    bench.press(Modifiers::NONE, Key::Escape);
    assert!(bench.harness.state().state().cut_in_hand().is_none());
    let name = bench.harness.get_by_role_and_label(Role::Button, "cut 1").rect();
    // Beside the name, where its place is written small.
    let at = egui::pos2(name.right() + 60.0, name.center().y);
    bench.harness.hover_at(at);
    bench.harness.drag_at(at);
    bench.harness.drop_at(at);
    bench.settle();
    assert!(bench.harness.state().state().cut_in_hand().is_some());
}

#[test]
fn digits_are_for_the_cut_in_hand_only_while_its_line_is_open() {
    let mut bench = Bench::with_model();
    bench.new_cut();
    bench.open_line("2 Size");
    assert!(bench.harness.state().state().cut_in_hand().is_some());
    bench.harness.key_press(Key::Num4);
    bench.harness.event(egui::Event::Text("4".into()));
    bench.settle();
    assert_eq!(bench.harness.state().state().open_line, Some(seamwright::app::state::Line::Bores));
    assert!(bench.harness.state().state().typing.is_none());
}
