//! Points that are picked for a cut, models that are chosen for a project with cuts, and work that is recovered later.

use super::*;

fn state(bench: &Bench) -> &seamwright::app::State {
    bench.harness.state().state()
}

#[test]
fn enter_ends_the_picking_of_points_for_a_line_and_for_a_plane() {
    let mut bench = Bench::with_model();
    bench.open_line("5 Cuts");
    bench.click("along a line");
    bench.click_bench([-30.0, 0.0]);
    assert!(!bench.sees("Enter: "), "one point is no line yet");
    bench.press(Modifiers::NONE, Key::Enter);
    assert!(bench.recipe().cuts.is_empty());
    bench.click_bench([30.0, 10.0]);
    assert!(bench.sees("Enter: cut along the line"), "{:?} {:?}", state(&bench).tool, bench.texts("Enter"));
    bench.press(Modifiers::NONE, Key::Enter);
    assert_eq!(bench.recipe().cuts.len(), 1);
    bench.press(Modifiers::NONE, Key::Escape);
    bench.open_line("5 Cuts");
    if state(&bench).open_line != Some(seamwright::app::state::Line::Cuts) {
        bench.open_line("5 Cuts");
    }
    bench.click("points");
    for at in [[-30.0, 0.0], [30.0, 10.0], [0.0, 30.0]] {
        bench.click_bench(at);
    }
    assert!(!bench.sees("The best plane goes"), "through three there always is one");
    assert!(bench.sees("Enter: cut by the best plane"));
    bench.press(Modifiers::NONE, Key::Enter);
    assert_eq!(bench.recipe().cuts.len(), 2);
}

#[test]
fn a_click_that_misses_while_points_are_picked_says_so() {
    let mut bench = Bench::with_model();
    bench.press(Modifiers::NONE, Key::P);
    let rect = bench.harness.get_by_label(seamwright::bench::ACCESSIBLE_NAME).rect();
    bench.click_bench([10.0 - rect.width() / 2.0, 10.0 - rect.height() / 2.0]);
    assert!(bench.sees("That click hit nothing"));
}

#[test]
fn another_model_for_a_project_with_cuts_is_asked_about() {
    let mut bench = Bench::with_model();
    bench.new_cut();
    let other = bench.model("other.stl");
    let choose = |bench: &mut Bench| bench.ask(Action::Chosen(seamwright::app::Purpose::OpenStock, other.clone()));
    choose(&mut bench);
    assert!(bench.sees("What is other.stl to be?") && bench.sees("with 1 cut. On another model"));
    bench.click("nothing");
    assert!(bench.recipe().stock.as_ref().unwrap().path.ends_with("casket.stl"));
    choose(&mut bench);
    bench.click("the same on this model");
    assert!(bench.recipe().stock.as_ref().unwrap().path.ends_with("other.stl"));
    assert_eq!(bench.recipe().cuts.len(), 1);
}

#[test]
fn what_was_made_of_a_hidden_piece_is_hidden_too() {
    let mut bench = Bench::with_model();
    let id = state(&bench).pieces()[0].id.clone();
    bench.ask(Action::SelectPiece(Some(id.clone())));
    bench.press(Modifiers::NONE, Key::H);
    assert_eq!(state(&bench).hidden_pieces().count(), 1);
    bench.new_cut();
    for piece in state(&bench).pieces() {
        let is_of_hidden = piece.id == id || piece.lineage.contains(&id);
        assert_eq!(state(&bench).sets.hidden.contains(&piece.id), is_of_hidden, "{}", piece.mark);
    }
    assert!(state(&bench).hidden_pieces().count() > 1, "it was parted");
    while !bench.recipe().cuts.is_empty() {
        bench.press(CTRL, Key::Z);
    }
    assert_eq!(state(&bench).hidden_pieces().count(), 1, "one piece again, and out of sight");
}

#[test]
fn work_that_an_earlier_run_left_can_be_recovered_another_time() {
    let mut bench = Bench::with_model();
    bench.new_cut();
    let spare = bench.path("spare");
    std::fs::create_dir_all(&spare).unwrap();
    let left = spare.join("unsaved-4294967295.seamwright.json");
    store::autosave(&left, bench.recipe()).unwrap();
    let Bench { folder, harness } = bench;
    drop(harness);
    let mut again = Bench::in_folder(folder);
    again.settle();
    assert!(again.sees("with 1 cut, kept just now"), "{:?}", again.texts("An earlier run"));
    again.click("later");
    assert!(state(&again).question.is_none() && again.recipe().cuts.is_empty());
    assert!(spare.join("unsaved-4294967295.seamwright.json.autosave").exists(), "the next start offers it again");
}
