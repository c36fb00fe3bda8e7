//! Numbers typed at the handles, without looking for their field.

use super::*;

/// Presses a key as the window system tells it: the key, and the text that it makes.
fn strike(bench: &mut Bench, key: Key, text: &str) {
    bench.harness.key_press(key);
    bench.harness.event(egui::Event::Text(text.into()));
    bench.settle();
}

fn with_cut() -> Bench {
    let mut bench = Bench::with_model();
    bench.new_cut();
    bench
}

fn offset(bench: &Bench) -> f64 {
    bench.recipe().cuts[0].plane.offset_mm()
}

#[test]
fn a_digit_with_a_cut_in_hand_begins_its_place_and_enter_makes_it_one_edit() {
    let mut bench = with_cut();
    let steps = bench.harness.state().state().document.history().steps().len();
    strike(&mut bench, Key::Num1, "1");
    assert_eq!(bench.value("typed offset along X"), "1");
    strike(&mut bench, Key::Num2, "2");
    strike(&mut bench, Key::Period, ".");
    strike(&mut bench, Key::Num5, "5");
    assert_eq!(bench.harness.state().state().shown_plane().unwrap().offset_mm(), 12.5, "shown as it is typed");
    assert_ne!(offset(&bench), 12.5);
    bench.press(Modifiers::NONE, Key::Enter);
    assert_eq!(offset(&bench), 12.5);
    assert_eq!(bench.harness.state().state().document.history().steps().len(), steps + 1);
    assert!(bench.harness.state().state().typing.is_none());
    assert!(bench.sees("5 Cuts"), "the line of the cuts stays open: digits were for the number");
}

#[test]
fn units_and_sums_are_typed_there_too() {
    for (first, rest, mm) in [("1", "/2 in", 12.7), ("=", "409.5/2", 204.75), ("-", "3", -3.0)] {
        let mut bench = with_cut();
        bench.harness.event(egui::Event::Text(first.into()));
        bench.settle();
        bench.type_and_enter(rest);
        assert_eq!(offset(&bench), mm, "{first}{rest}");
    }
}

#[test]
fn of_a_number_typed_faster_than_a_frame_nothing_is_lost() {
    let mut bench = with_cut();
    for (key, text) in [(Key::Equals, "="), (Key::Num9, "9"), (Key::Slash, "/"), (Key::Num2, "2"), (Key::I, "i")] {
        bench.harness.input_mut().events.push(egui::Event::Key {
            key,
            physical_key: None,
            pressed: true,
            repeat: false,
            modifiers: Modifiers::NONE,
        });
        bench.harness.input_mut().events.push(egui::Event::Text(text.into()));
    }
    bench.settle();
    assert_eq!(bench.value("typed offset along X"), "=9/2i");
    assert!(bench.harness.state().state().shows_all(), "the letter was no command");
}

#[test]
fn escape_leaves_the_number_and_keeps_the_cut_in_hand() {
    let mut bench = with_cut();
    let before = bench.recipe().clone();
    strike(&mut bench, Key::Num7, "7");
    bench.press(Modifiers::NONE, Key::Escape);
    let state = bench.harness.state().state();
    assert!(state.typing.is_none() && state.preview.is_none() && state.cut_in_hand().is_some());
    assert_eq!(*bench.recipe(), before);
}

#[test]
fn what_cannot_be_read_says_why_and_is_mended() {
    let mut bench = with_cut();
    strike(&mut bench, Key::Num1, "1");
    bench.type_and_enter("2 apples");
    assert!(bench.sees("is no unit here"));
    bench.press(Modifiers::NONE, Key::Escape);
    assert!(bench.harness.state().state().typing.is_none());
}

#[test]
fn tab_goes_on_to_the_tilts() {
    let mut bench = with_cut();
    strike(&mut bench, Key::Num1, "1");
    bench.press(Modifiers::NONE, Key::Tab);
    assert_eq!(bench.value("typed tilt about Y"), "1");
    bench.type_and_enter("2");
    let plane = bench.recipe().cuts[0].plane;
    assert!((plane.tilt_deg[0] - 12.0).abs() < 1e-9 && plane.tilt_deg[1].abs() < 1e-9, "{plane:?}");
}

#[test]
fn with_no_cut_in_hand_digits_open_the_lines() {
    let mut bench = Bench::with_model();
    strike(&mut bench, Key::Num7, "7");
    assert!(bench.harness.state().state().typing.is_none() && bench.sees("bed width"));
}

#[test]
fn a_handle_that_is_held_takes_the_number_and_the_drag_is_given_up() {
    let mut bench = with_cut();
    bench.ask(Action::Run(seamwright::app::command::Command::FrameAll));
    for _ in 0..30 {
        bench.harness.step();
    }
    let (_, number, seat) = bench.harness.state().handle_in_hand().expect("handles");
    // The number stands 14 points beyond the tip of the arrow, and 20 to the right.
    let rect = bench.harness.get_by_label(seamwright::bench::ACCESSIBLE_NAME).rect();
    let view = seamwright::bench::View { camera: bench.harness.state().camera(), rect };
    let (seat, beyond) = (view.project(&seat).unwrap(), number - egui::vec2(20.0, 0.0));
    let place = beyond - (beyond - seat).normalized() * 30.0;
    bench.harness.hover_at(place);
    bench.harness.step();
    bench.harness.drag_at(place);
    bench.harness.step();
    bench.harness.hover_at(place + egui::vec2(12.0, 9.0));
    for _ in 0..3 {
        bench.harness.step();
    }
    assert!(bench.harness.state().state().preview.is_some(), "the handle is taken");
    strike(&mut bench, Key::Num9, "9");
    assert!(bench.harness.state().state().typing.is_some());
    bench.harness.hover_at(place + egui::vec2(40.0, -30.0));
    bench.harness.step();
    assert_eq!(bench.harness.state().state().shown_plane().unwrap().offset_mm(), 9.0, "the hand moves it no more");
    bench.press(Modifiers::NONE, Key::Enter);
    assert_eq!(offset(&bench), 9.0);
    bench.harness.drop_at(place + egui::vec2(40.0, -30.0));
    bench.settle();
    assert_eq!(offset(&bench), 9.0);
}
