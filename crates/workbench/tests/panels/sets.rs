//! Selections of several pieces, what is out of sight, and how it was before.

use super::*;
use seamwright::app::State;

/// The casket, cut by two parallel planes.
fn in_pieces() -> Bench {
    let mut bench = Bench::with_model();
    for offset in [100.0, 200.0] {
        let plane = seamwright_project::CutPlane { axis: Axis::X, through_mm: [offset, 0.0, 0.0], tilt_deg: [0.0; 2] };
        let (name, part, form, scope) = (String::new(), PartId::MAIN, CutForm::Flat, Scope::All);
        bench.ask(Action::Edit(Edit::AddCut { name, part, plane, form, scope }));
    }
    bench.press(Modifiers::NONE, Key::Escape);
    assert!(bench.harness.state().state().pieces().len() >= 4);
    bench
}

fn selected(bench: &Bench) -> Vec<String> {
    bench.harness.state().state().selected_pieces().map(|piece| piece.mark.clone()).collect()
}

fn click_with(bench: &mut Bench, modifiers: Modifiers, label: &str) {
    bench.harness.get_by_role_and_label(Role::Button, label).click_modifiers(modifiers);
    bench.settle();
}

#[test]
fn rows_are_added_taken_out_and_taken_between() {
    let mut bench = in_pieces();
    bench.click("A1");
    click_with(&mut bench, CTRL, "A3");
    assert_eq!(selected(&bench), ["A1", "A3"]);
    click_with(&mut bench, CTRL, "A3");
    assert_eq!(selected(&bench), ["A1"]);
    click_with(&mut bench, Modifiers::SHIFT, "A3");
    assert_eq!(selected(&bench), ["A1", "A2", "A3"]);
    click_with(&mut bench, Modifiers::SHIFT, "A2");
    assert_eq!(selected(&bench), ["A1", "A2"], "the far end moves, the first row stays");
    bench.click("A4");
    assert_eq!(selected(&bench), ["A4"]);
    bench.press(CTRL, Key::A);
    assert_eq!(selected(&bench).len(), bench.harness.state().state().pieces().len());
    bench.press(Modifiers::NONE, Key::Escape);
    assert!(selected(&bench).is_empty());
}

#[test]
fn pieces_out_of_sight_are_told_and_brought_back() {
    let mut bench = in_pieces();
    bench.click("A1");
    bench.press(Modifiers::NONE, Key::H);
    assert!(bench.sees("1 piece out of sight") && selected(&bench).is_empty());
    bench.click("A2");
    bench.press(Modifiers::NONE, Key::G);
    assert!(bench.sees("1 piece out of sight, 1 piece seen through"));
    bench.press(Modifiers::NONE, Key::G);
    assert!(!bench.sees("seen through"), "the same again makes it solid");
    bench.press(Modifiers::NONE, Key::I);
    let hidden = |state: &State| state.hidden_pieces().count();
    let all = bench.harness.state().state().pieces().len();
    assert_eq!(hidden(bench.harness.state().state()), all - 1);
    bench.harness.get_by_role_and_label(Role::Link, "show all").click();
    bench.settle();
    assert!(bench.harness.state().state().shows_all() && !bench.sees("out of sight"));
}

#[test]
fn a_box_on_the_bench_takes_what_has_its_middle_in_it() {
    let mut bench = in_pieces();
    let room = bench.harness.get_by_label(seamwright::bench::ACCESSIBLE_NAME).rect();
    let (from, to) = (room.min + egui::vec2(60.0, 60.0), room.max - egui::vec2(120.0, 120.0));
    let hold = |bench: &Bench, modifiers| bench.harness.event(egui::Event::ModifiersChanged(modifiers));
    hold(&bench, CTRL);
    bench.harness.event(egui::Event::PointerMoved(from));
    bench.settle();
    let button = |pressed, pos| egui::Event::PointerButton {
        pos,
        button: egui::PointerButton::Primary,
        pressed,
        modifiers: CTRL,
    };
    bench.harness.event(button(true, from));
    bench.settle();
    for share in [0.2, 0.6, 1.0] {
        bench.harness.event(egui::Event::PointerMoved(from + (to - from) * share));
        bench.settle();
    }
    bench.harness.event(button(false, to));
    bench.settle();
    hold(&bench, Modifiers::NONE);
    assert_eq!(selected(&bench).len(), bench.harness.state().state().pieces().len(), "the box is about all of them");
}

#[test]
fn holding_the_key_shows_how_it_was_and_letting_go_how_it_is() {
    let mut bench = in_pieces();
    let recipe = bench.recipe().clone();
    bench.harness.key_down(Key::W);
    bench.settle();
    assert!(bench.sees("Before \"add cut 2\""));
    let shown = |bench: &Bench| {
        let state = bench.harness.state().state();
        state.compared.as_ref().and_then(|compared| compared.shown.as_ref()).map(|(outcome, _)| outcome.pieces.len())
    };
    assert!(shown(&bench).unwrap() < bench.harness.state().state().pieces().len());
    bench.harness.key_up(Key::W);
    bench.settle();
    assert!(!bench.sees("Before \"add cut 2\"") && shown(&bench).is_none());
    assert_eq!(*bench.recipe(), recipe, "looking changes nothing");
}

#[test]
fn the_step_before_is_shown_also_after_undo_and_by_name() {
    let mut bench = in_pieces();
    bench.press(CTRL, Key::Z);
    bench.press(Modifiers::NONE, Key::F3);
    bench.harness.event(egui::Event::Text("compare".into()));
    bench.settle();
    bench.press(Modifiers::NONE, Key::Enter);
    bench.until("how it was", |state| state.compared.as_ref().is_some_and(|compared| compared.shown.is_some()));
    assert!(bench.sees("Before \"add cut 1\""));
    bench.press(Modifiers::NONE, Key::Escape);
    assert!(!bench.sees("Before \"add cut 1\""));
}

#[test]
fn a_step_of_the_history_is_gone_to_and_back() {
    let mut bench = in_pieces();
    let newest = bench.recipe().clone();
    bench.press(Modifiers::NONE, Key::F2);
    assert!(bench.sees("3  add cut 1") && bench.sees("to see the pieces as they were"));
    bench.click("3  add cut 1");
    assert_eq!(bench.recipe().cuts.len(), 1);
    bench.click("4  add cut 2");
    assert_eq!(*bench.recipe(), newest);
}

#[test]
fn measures_of_pieces_out_of_sight_are_not_drawn() {
    let mut bench = in_pieces();
    let what = seamwright_project::Measured::Distance { from_mm: [10.0, 0.0, 20.0], to_mm: [60.0, 0.0, 20.0] };
    bench.ask(Action::Edit(Edit::AddMeasure { part: PartId::MAIN, what }));
    let drawn = |bench: &Bench| bench.harness.state().state().measure_dimensions().len();
    assert_eq!(drawn(&bench), 1);
    let left = bench.harness.state().state().pieces().iter().find(|piece| piece.facts.bounds.min.x < 1.0).unwrap();
    let mark = left.mark.clone();
    bench.click(&mark);
    bench.press(Modifiers::NONE, Key::H);
    assert_eq!(drawn(&bench), 0);
}
