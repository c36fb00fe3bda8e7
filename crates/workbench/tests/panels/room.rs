//! Who gets how much of the window, and what keeps still under the pointer.

use super::*;

fn rect(bench: &Bench, label: &str) -> egui::Rect {
    bench.harness.get_by_label(label).rect()
}

fn bench_bottom(bench: &Bench) -> f32 {
    rect(bench, seamwright::bench::ACCESSIBLE_NAME).bottom()
}

#[test]
fn the_bench_keeps_its_height_whatever_the_notes_say_until_they_are_given_more_room() {
    let mut bench = Bench::with_model();
    let unfit = bench_bottom(&bench);
    bench.open_line("7 Lays");
    bench.type_into("bed width", "400");
    bench.settle();
    assert!(bench.sees("Nothing to note."), "all fit now");
    let fit = bench_bottom(&bench);
    assert_eq!(fit, unfit, "the strip of notes keeps its height");
    // Two rows of notes, two pieces: the two strips together take no more than a quarter of the window.
    assert!(fit >= 800.0 * 0.75, "{fit}");
    let ledger = rect(&bench, "slack mm");
    assert!(ledger.top() - fit < 106.0, "two rows of notes and the head of the ledger: {fit}, {ledger:?}");
    assert!(!bench.sees("more notes"), "there are none");
    bench.press(CTRL, Key::Z);
    bench.settle();
    assert!(bench.sees("A1 is too big"));
    // The ledger grows with its pieces; the strip above it does not, whatever is in it.
    let strip = |bench: &Bench| rect(bench, "slack mm").top() - bench_bottom(bench);
    let before = strip(&bench);
    bench.type_into("bed width", "40");
    for at in ["20", "60", "120"] {
        bench.new_cut();
        bench.type_into("offset", at);
    }
    bench.until("many notes", |state| state.outcome.as_ref().is_some_and(|outcome| outcome.notes.len() > 2));
    bench.settle();
    assert_eq!(strip(&bench), before);
    bench.click("more notes");
    assert!(strip(&bench) > before + 50.0, "{} after {before}", strip(&bench));
    bench.click("fewer notes");
    assert_eq!(strip(&bench), before);
}

#[test]
fn the_job_card_keeps_its_width_whatever_card_is_opened_on_it() {
    let mut bench = Bench::with_model();
    let left = |bench: &Bench| rect(bench, seamwright::bench::ACCESSIBLE_NAME).left();
    let before = left(&bench);
    let mut told = Vec::new();
    let mut look = |bench: &Bench, what: &str| {
        if left(bench) != before {
            told.push(format!("{what}: {} points wider", left(bench) - before));
        }
    };
    for line in ["1 Stock", "2 Size", "3 Shells", "4 Bores", "5 Cuts", "6 Joints", "7 Lays", "8 Kit"] {
        bench.open_line(line);
        look(&bench, line);
    }
    bench.open_line("4 Bores");
    bench.click("bore along Z");
    look(&bench, "a bore");
    for shape in ["teardrop", "slit"] {
        choose(&mut bench, "shape", shape);
        look(&bench, shape);
    }
    for end in ["first end", "last end"] {
        choose(&mut bench, end, "blind");
        look(&bench, end);
    }
    bench.press(Modifiers::NONE, Key::Escape);
    bench.new_cut();
    look(&bench, "a cut");
    bench.until("the details", |state| state.details_in_hand().is_some());
    look(&bench, "a cut with its details");
    for form in ["zigzag", "ends at a line"] {
        choose(&mut bench, "form", form);
        look(&bench, form);
    }
    bench.open_line("7 Lays");
    bench.click("add a bed");
    bench.click("add a keep-out");
    look(&bench, "two beds and a keep-out");
    assert!(told.is_empty(), "{told:#?}");
}

#[test]
fn the_job_card_keeps_its_width_while_something_is_dragged_or_typed() {
    let mut bench = Bench::with_model();
    bench.open_line("4 Bores");
    bench.click("bore along Z");
    let left = |bench: &Bench| rect(bench, seamwright::bench::ACCESSIBLE_NAME).left();
    let before = left(&bench);
    let bore = bench.recipe().bores[0].clone();
    for far in [12.5, 123_456_789.125, 40.0] {
        let line_mm = bore.line_mm.iter().map(|p| [p[0] + far, p[1] + far, p[2]]).collect();
        let change = seamwright_project::BoreChange::Line { line_mm, placed: seamwright_project::Placed::Typed };
        bench.ask(Action::Bore(seamwright::app::BoreAction::Preview(bore.id, Some(change))));
        assert_eq!(left(&bench), before, "moved by {far} mm");
    }
    bench.ask(Action::Bore(seamwright::app::BoreAction::Preview(bore.id, None)));
}

#[test]
fn the_numbers_of_a_bed_stay_where_they_are_whatever_its_shape() {
    let mut bench = Bench::with_model();
    bench.open_line("7 Lays");
    for width in ["240", "400", "90", "220"] {
        // What is entered is scrolled to; from then on nothing moves.
        bench.harness.get_by_role_and_label(Role::TextInput, "bed width").scroll_to_me();
        bench.settle();
        let field = bench.harness.get_by_role_and_label(Role::TextInput, "bed width");
        let at = field.rect().center();
        field.click();
        bench.harness.hover_at(at);
        bench.settle();
        let before = rect(&bench, "bed depth").top();
        bench.type_and_enter(width);
        assert_eq!(rect(&bench, "bed depth").top(), before, "with a bed {width} mm wide");
    }
}

#[test]
fn the_buttons_for_picked_points_stay_where_they_are_as_points_are_added() {
    let mut bench = Bench::with_model();
    bench.press(Modifiers::NONE, Key::P);
    let before = rect(&bench, "cut by the best plane");
    for offset in [[-20.0, 0.0], [20.0, 0.0], [0.0, 25.0], [0.0, -25.0]] {
        bench.click_bench(offset);
        assert_eq!(rect(&bench, "cut by the best plane").top(), before.top());
    }
    assert!(bench.sees("4 points picked"));
}

#[test]
fn a_number_that_makes_no_sense_is_told_beside_its_field_until_it_is_mended() {
    let mut bench = Bench::with_model();
    bench.open_line("2 Size");
    bench.type_into("height", "0");
    assert!(bench.sees("height must be more than 0"), "{:?}", bench.texts("0"));
    assert!(!bench.sees("scaled by"), "nothing lies over the model");
    bench.type_into("height", "90");
    bench.settle();
    assert!(!bench.sees("must be more than 0"));
    assert!((bench.recipe().size.factor - 0.5).abs() < 1e-9);
}

#[test]
fn return_gives_the_usual_answer_to_a_question_and_closing_is_called_that() {
    let mut bench = Bench::with_model();
    let project = bench.path("casket.seamwright.json");
    bench.ask(Action::Chosen(seamwright::app::Purpose::SaveAs, project.clone()));
    bench.new_cut();
    bench
        .ask(Action::PutQuestion(Some(seamwright::app::state::Question::Unsaved(seamwright::app::state::Next::Close))));
    assert!(bench.sees("close without saving") && !bench.sees("go on without saving"));
    bench.press(Modifiers::NONE, Key::Enter);
    bench.settle();
    assert!(!bench.sees("Save first?"));
    assert!(!bench.harness.state().state().document.is_unsaved(), "it was saved");
}

#[test]
fn a_folder_for_the_kit_that_is_gone_is_offered_again_in_the_nearest_one_that_is_there() {
    let mut bench = Bench::with_model();
    let (above, gone) = (bench.path("prints"), bench.path("prints/for the stall"));
    bench.ask(Action::WriteKit { folder: gone.clone(), replace: false });
    std::fs::remove_dir_all(&gone).unwrap();
    bench.press(CTRL, Key::K);
    assert_eq!(Path::new(&bench.value("folder")), above.canonicalize().unwrap());
    assert_eq!(bench.value("new folder"), "for the stall");
    assert!(bench.sees("is not there any more") && !bench.sees("os error"));
    bench.click("make it and use it");
    bench.settle();
    assert!(gone.join("manifest.json").is_file());
}

#[test]
fn commands_are_found_by_words_of_the_trade_and_for_larger_writing() {
    let mut bench = Bench::with_model();
    for (words, command) in [("glue", "cut"), ("bigger text", "larger"), ("zoom", "look at everything")] {
        bench.press(Modifiers::NONE, Key::F3);
        bench.harness.event(egui::Event::Text(words.into()));
        bench.settle();
        assert!(!bench.sees("Nothing here is called that."), "{words} finds {command}");
        bench.press(Modifiers::NONE, Key::Escape);
    }
}
