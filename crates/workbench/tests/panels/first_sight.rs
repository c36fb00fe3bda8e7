//! What someone who sits down here for the first time runs into.

use super::*;

fn state(bench: &Bench) -> &seamwright::app::State {
    bench.harness.state().state()
}

#[test]
fn tab_goes_from_number_to_number_of_the_bed() {
    let mut bench = Bench::with_model();
    let name = bench.recipe().name.clone();
    bench.open_line("7 Lays");
    bench.harness.get_by_role_and_label(Role::TextInput, "bed width").scroll_to_me();
    bench.settle();
    bench.harness.get_by_role_and_label(Role::TextInput, "bed width").click();
    bench.settle();
    for number in ["301", "302", "303"] {
        bench.harness.event(egui::Event::Text(number.into()));
        bench.settle();
        bench.press(Modifiers::NONE, Key::Tab);
    }
    let bed = &bench.recipe().bed;
    assert_eq!((bed.size_mm()[0], bed.size_mm()[1]), (301.0, 302.0));
    assert!(bench.value("height").starts_with("303"));
    assert_eq!(bench.recipe().name, name);
}

#[test]
fn undoing_everything_leaves_nothing_to_save() {
    let mut bench = Bench::with_model();
    let file = bench.path("casket.seamwright.json");
    bench.ask(Action::Chosen(seamwright::app::Purpose::SaveAs, file));
    bench.new_cut();
    assert!(bench.sees("not saved"));
    bench.press(CTRL, Key::Z);
    assert!(!bench.sees("not saved") && !state(&bench).document.is_unsaved());
    // The same where nothing was ever saved: a demo as it came.
    let mut demo = Bench::new();
    demo.until("the start sheet", |state| state.start.found.is_some());
    let row = demo.harness.get_by(|node| node.label().is_some_and(|label| label.starts_with("helm: ")));
    row.click();
    demo.settle();
    demo.new_cut();
    assert!(demo.sees("not saved"));
    demo.press(CTRL, Key::Z);
    assert!(!demo.sees("not saved"));
    demo.press(CTRL, Key::N);
    assert!(!demo.sees("Save first?") && demo.recipe().stock.is_none());
}

#[test]
fn a_cut_by_number_waits_for_its_number_and_escape_takes_it_away() {
    let mut bench = Bench::with_model();
    bench.press(Modifiers::NONE, Key::N);
    bench.type_and_enter("70");
    assert_eq!(bench.recipe().cuts[0].plane.offset_mm(), 70.0);
    bench.press(Modifiers::NONE, Key::N);
    assert_eq!(bench.recipe().cuts.len(), 2);
    bench.press(Modifiers::NONE, Key::Escape);
    assert_eq!(bench.recipe().cuts.len(), 1, "it was not wanted");
    // Once it was told where to go, Escape lays it down and no more.
    bench.press(Modifiers::NONE, Key::N);
    bench.type_and_enter("80");
    bench.press(Modifiers::NONE, Key::Escape);
    assert_eq!(bench.recipe().cuts[1].plane.offset_mm(), 80.0);
    assert!(state(&bench).cut_in_hand().is_none());
}

#[test]
fn a_number_begun_at_a_handle_is_left_by_a_click_elsewhere() {
    let mut bench = Bench::with_model();
    bench.new_cut();
    let before = bench.recipe().clone();
    bench.harness.key_press(Key::Num2);
    bench.harness.event(egui::Event::Text("2".into()));
    bench.settle();
    assert!(bench.sees("Escape, or a click elsewhere: as it was") && bench.sees("typed offset along"));
    bench.click_bench([-300.0, -100.0]);
    assert!(state(&bench).typing.is_none() && state(&bench).preview.is_none());
    assert_eq!(*bench.recipe(), before);
}

#[test]
fn the_field_of_the_list_of_commands_stays_where_it_is_while_fewer_are_found() {
    let mut bench = Bench::with_model();
    bench.press(Modifiers::NONE, Key::F3);
    let field = |bench: &Bench| bench.harness.get_by_role_and_label(Role::TextInput, "find a command").rect();
    let before = field(&bench);
    for more in ["c", "u", "t", " nothing is called so"] {
        bench.harness.event(egui::Event::Text(more.into()));
        bench.settle();
        assert_eq!(field(&bench), before, "after {more:?}");
    }
}

#[test]
fn commands_that_do_nothing_now_say_why_and_are_found_by_other_words() {
    let mut bench = Bench::with_model();
    bench.press(Modifiers::NONE, Key::F3);
    bench.harness.event(egui::Event::Text("glass".into()));
    bench.settle();
    assert!(bench.sees("see through: not now, choose a piece first"));
    assert!(!bench.sees("Nothing here is called that."));
    bench.press(Modifiers::NONE, Key::Escape);
    bench.ask(Action::Run(seamwright::app::command::Command::SelectAll));
    bench.press(Modifiers::NONE, Key::F3);
    bench.harness.event(egui::Event::Text("glass".into()));
    bench.settle();
    bench.press(Modifiers::NONE, Key::Enter);
    assert_eq!(state(&bench).through_pieces().count(), 2);
}

#[test]
fn the_ledger_says_which_do_not_fit_and_the_bench_what_its_colours_mean() {
    let mut bench = Bench::with_model();
    assert!(bench.sees("2 pieces, 1 does not fit:"));
    bench.click("A1 does not fit");
    assert!(state(&bench).selected_piece.is_some());
    let said = |bench: &Bench, words: &str| bench.harness.query_all_by_label(words).count();
    let unfolded = said(&bench, "too big");
    assert!(unfolded > 0);
    bench.click("colours");
    assert!(said(&bench, "too big") < unfolded, "it folds away");
}

#[test]
fn looking_from_a_side_brings_all_of_the_model_into_the_picture() {
    let mut bench = Bench::with_model();
    bench.ask(Action::ShowPlace(Point::new(1.0, 1.0, 1.0)));
    let wait = |bench: &mut Bench| (0..60).for_each(|_| bench.harness.step());
    wait(&mut bench);
    let near = bench.harness.state().camera().distance_mm;
    bench.press(Modifiers::ALT, Key::Num1);
    wait(&mut bench);
    assert!(bench.harness.state().camera().distance_mm > 3.0 * near, "{near}");
}

#[test]
fn another_project_is_looked_at_from_where_one_begins() {
    let mut bench = Bench::with_model();
    let begun = bench.harness.state().camera();
    bench.press(Modifiers::ALT, Key::Num6);
    (0..60).for_each(|_| bench.harness.step());
    assert_ne!(bench.harness.state().camera().elevation_deg, begun.elevation_deg);
    let file = bench.model("second.stl");
    bench.ask(Action::NewProjectFrom(file));
    let now = bench.harness.state().camera();
    assert_eq!((now.heading_deg, now.elevation_deg), (begun.heading_deg, begun.elevation_deg));
}

#[test]
fn a_kit_of_an_earlier_run_is_told_and_crumbs_are_counted() {
    let mut bench = Bench::with_model();
    let file = bench.path("casket.seamwright.json");
    bench.ask(Action::Chosen(seamwright::app::Purpose::SaveAs, file.clone()));
    bench.press(CTRL, Key::K);
    bench.click("make it and use it");
    bench.until("the kit", |state| state.kit.is_some());
    assert!(bench.path("casket kit/manifest.json").exists());
    let Bench { folder, harness } = bench;
    drop(harness);
    let mut again = Bench::in_folder(folder);
    again.ask(Action::OpenAny(file));
    assert!(again.sees("8 Kit: 2 pieces, earlier"));
    again.open_line("8 Kit");
    assert!(again.sees("Whether they are as the pieces are now is not known."));
    // A cut through the edge of the ball leaves a crumb.
    again.press(Modifiers::NONE, Key::N);
    again.click("Y");
    again.type_into("offset", "289.7");
    assert!(again.sees("above A3: crumb"), "{:?}", again.texts("A3"));
    again.press(Modifiers::NONE, Key::Escape);
    again.press(Modifiers::NONE, Key::Num8);
    assert!(again.sees("1 piece is a crumb that the kit will hold too"), "{:?}", again.texts("crumb"));
    assert!(again.sees("2 pieces; 1 crumb beside, 1 does not fit:") && again.sees("crumb"));
    again.click("leave crumbs out");
    assert!(again.sees("1 crumb is left out, as was asked: A3."), "{:?}", again.texts("crumb"));
    assert!(again.sees("undo \"leave crumbs out\"") && again.sees("2 pieces, 1 does not fit:"));
    again.press(CTRL, Key::Z);
    assert!(again.sees("2 pieces; 1 crumb beside, 1 does not fit:"));
}

#[test]
fn a_piece_that_vanishes_in_print_is_noted_once_with_a_way_to_see_it_and_one_to_leave_it_out() {
    let mut bench = Bench::with_model();
    bench.press(Modifiers::NONE, Key::N);
    bench.click("Y");
    bench.type_into("offset", "289.99");
    bench.press(Modifiers::NONE, Key::Escape);
    let notes: Vec<String> =
        bench.harness.state().state().outcome.as_ref().unwrap().notes.iter().map(|note| note.text.clone()).collect();
    assert_eq!(notes.iter().filter(|text| text.contains("crumb")).count(), 1, "{notes:?}");
    assert!(bench.sees("1 piece is a crumb, so thin that it vanishes in print: A3"), "{notes:?}");
    bench.press(Modifiers::NONE, Key::Num8);
    assert!(bench.sees("1 piece is so thin that it vanishes in print: the kit holds no file of A3."));
    for scroll in [true, false] {
        let button =
            bench.harness.get_by(|node| node.label().is_some_and(|label| label.starts_with("do it: 1 piece is a")));
        if scroll {
            button.scroll_to_me();
        } else {
            button.click();
        }
        bench.settle();
    }
    assert!(bench.recipe().leave_out_crumbs && bench.sees("1 crumb is left out of the list and the kit: A3"));
    bench.open_line("5 Cuts");
    bench.click("crumbs are left out");
    assert!(!bench.recipe().leave_out_crumbs);
}

#[test]
fn before_is_said_to_be_shown_on_the_bench_only() {
    let mut bench = Bench::with_model();
    bench.new_cut();
    bench.ask(Action::Run(seamwright::app::command::Command::CompareBefore));
    bench.until("what was before", |state| state.compared.as_ref().is_some_and(|compared| compared.shown.is_some()));
    assert!(bench.sees("Card and ledger tell how it is now."));
    let mut fresh = Bench::new();
    fresh.harness.key_down(Key::W);
    fresh.settle();
    assert!(fresh.sees("there is no before to look at"));
}
