//! What can be done with what is under the pointer: the list of a right click, and the same by the keyboard.

use seamwright::app::at_hand::Thing;
use seamwright::app::command::Command;
use seamwright_project::CutPlane;

use super::*;

/// A box of 300 × 200 × 180 mm in two halves, as seen from the front: A1 at the left, A2 at the right.
fn halves() -> Bench {
    let mut bench = Bench::new();
    let file = bench.path("block.stl");
    let block = solids::cuboid(Point::new(0.0, 0.0, 0.0), Point::new(300.0, 200.0, 180.0));
    write_stl(&file, &block, "block", Overwrite::Refuse).unwrap();
    bench.ask(Action::OpenAny(file));
    let plane = CutPlane { axis: Axis::X, through_mm: [150.0, 0.0, 0.0], tilt_deg: [0.0; 2] };
    let (name, part, form, scope) = ("brow".to_owned(), PartId::MAIN, CutForm::Flat, Scope::All);
    bench.ask(Action::Edit(Edit::AddCut { name, part, plane, form, scope }));
    bench.press(Modifiers::NONE, Key::Escape);
    bench.ask(Action::Run(Command::LookFrom(seamwright::bench::StandardView::Front)));
    for _ in 0..40 {
        bench.harness.step();
    }
    assert_eq!(bench.harness.state().state().pieces().len(), 2);
    bench
}

impl Bench {
    /// Clicks the bench with the right button, this far from its middle, in points.
    fn right_click_bench(&mut self, offset: [f32; 2]) {
        let at = self.harness.get_by_label(seamwright::bench::ACCESSIBLE_NAME).rect().center() + offset.into();
        self.harness.hover_at(at);
        self.settle();
        for pressed in [true, false] {
            let (button, modifiers) = (egui::PointerButton::Secondary, Modifiers::NONE);
            self.harness.event(egui::Event::PointerButton { pos: at, button, pressed, modifiers });
        }
        self.settle();
    }

    fn list(&self) -> Option<&Thing> {
        self.harness.state().state().at_hand.as_ref().map(|list| &list.of)
    }

    /// Chooses a line of the list.
    fn choose_line(&mut self, begins: &str) {
        let lines: Vec<_> = self
            .harness
            .query_all_by(|node| {
                node.role() == Role::Button && node.label().is_some_and(|label| label.starts_with(begins))
            })
            .collect();
        lines.last().unwrap_or_else(|| panic!("no line {begins}")).click();
        self.settle();
    }

    fn chosen(&self) -> Vec<String> {
        self.harness.state().state().selected_pieces().map(|piece| piece.mark.clone()).collect()
    }
}

#[test]
fn a_right_click_on_a_piece_offers_what_can_be_done_with_it() {
    let mut bench = halves();
    bench.right_click_bench([-60.0, 0.0]);
    assert!(matches!(bench.list(), Some(Thing::Piece(_))) && bench.chosen() == ["A1"]);
    assert!(
        bench.sees("What can be done here")
            && bench.sees("piece A1")
            && bench.sees("see through")
            && bench.sees("cut: brow …")
    );
    bench.choose_line("hide");
    assert!(bench.list().is_none());
    let hidden = |bench: &Bench| -> Vec<String> {
        bench.harness.state().state().hidden_pieces().map(|piece| piece.mark.clone()).collect()
    };
    assert_eq!(hidden(&bench), ["A1"]);
    // Where it was there is nothing now: all can be shown again.
    bench.right_click_bench([-60.0, 0.0]);
    assert_eq!(bench.list(), Some(&Thing::Bench));
    bench.choose_line("show all");
    assert!(hidden(&bench).is_empty() && bench.harness.state().state().shows_all());
}

#[test]
fn a_right_click_on_one_of_several_that_are_selected_is_about_all_of_them() {
    let mut bench = halves();
    bench.press(CTRL, Key::A);
    bench.right_click_bench([60.0, 0.0]);
    assert!(bench.sees("2 pieces") && bench.chosen() == ["A1", "A2"]);
    bench.choose_line("see through");
    assert_eq!(bench.harness.state().state().through_pieces().count(), 2);
}

#[test]
fn the_cuts_of_a_piece_are_switched_taken_in_hand_and_removed_from_the_list() {
    let mut bench = halves();
    let to_cut = |bench: &mut Bench| {
        bench.right_click_bench([-60.0, 0.0]);
        bench.choose_line("cut: brow …");
        assert!(matches!(bench.list(), Some(Thing::Cut(_))), "{:?}", bench.list());
    };
    to_cut(&mut bench);
    assert!(bench.sees("cut earlier, not now: it is the first") || bench.sees("it is the first"));
    bench.choose_line("switch off");
    assert!(!bench.recipe().cuts[0].enabled && bench.list().is_none());
    bench.press(CTRL, Key::Z);
    to_cut(&mut bench);
    bench.choose_line("take in hand");
    assert_eq!(bench.harness.state().state().cut_in_hand(), Some(bench.recipe().cuts[0].id));
    assert!(bench.sees("offset"), "its card is open");
    bench.press(Modifiers::NONE, Key::Escape);
    to_cut(&mut bench);
    bench.choose_line("tilt by number");
    bench.until("a number at a handle", |state| state.typing.is_some());
    bench.type_and_enter("10");
    assert_eq!(bench.recipe().cuts[0].plane.tilt_deg, [10.0, 0.0]);
    bench.press(Modifiers::NONE, Key::Escape);
    to_cut(&mut bench);
    bench.choose_line("move by number");
    bench.until("a number at a handle", |state| state.typing.is_some());
    bench.type_and_enter("140");
    assert_eq!(bench.recipe().cuts[0].plane.offset_mm(), 140.0);
    bench.press(Modifiers::NONE, Key::Escape);
    to_cut(&mut bench);
    bench.choose_line("remove cut");
    assert!(bench.recipe().cuts.is_empty());
}

#[test]
fn a_face_that_a_cut_made_stands_for_the_cut() {
    let mut bench = halves();
    bench.ask(Action::Run(Command::LookFrom(seamwright::bench::StandardView::Right)));
    let right = bench.harness.state().state().pieces().iter().find(|p| p.facts.bounds.min.x > 100.0).unwrap();
    let mark = right.mark.clone();
    bench.click(&mark);
    bench.press(Modifiers::NONE, Key::H);
    for _ in 0..40 {
        bench.harness.step();
    }
    bench.right_click_bench([0.0, 0.0]);
    assert!(matches!(bench.list(), Some(Thing::Cut(_))) && bench.sees("cut: brow"), "{:?}", bench.list());
}

#[test]
fn the_list_is_opened_walked_through_and_closed_by_the_keyboard() {
    let mut bench = halves();
    for (modifiers, key) in [(Modifiers::SHIFT, Key::F10), (Modifiers::NONE, Key::Menu)] {
        bench.click("A2");
        bench.press(modifiers, key);
        assert!(matches!(bench.list(), Some(Thing::Piece(_))) && bench.sees("piece A2"));
        let camera = bench.harness.state().camera();
        bench.press(Modifiers::NONE, Key::ArrowDown);
        bench.press(Modifiers::NONE, Key::ArrowDown);
        bench.press(Modifiers::NONE, Key::Enter);
        assert_eq!(bench.harness.state().state().through_pieces().count(), 1, "the third line sees through");
        assert_eq!(bench.harness.state().camera(), camera, "the arrows are the list's");
        bench.press(Modifiers::NONE, Key::A);
        bench.press(modifiers, key);
        bench.press(Modifiers::NONE, Key::Escape);
        assert!(bench.list().is_none() && bench.chosen() == ["A2"], "Escape closes the list and nothing else");
        bench.press(Modifiers::NONE, Key::Escape);
    }
    assert!(bench.chosen().is_empty());
    bench.press(Modifiers::SHIFT, Key::F10);
    assert_eq!(bench.list(), Some(&Thing::Bench));
    // A command by its key closes it too.
    bench.press(Modifiers::NONE, Key::E);
    assert!(bench.list().is_none() && bench.harness.state().state().exploded == 1.0);
}

#[test]
fn a_click_elsewhere_closes_the_list_and_a_drag_with_the_right_button_shifts_the_view_as_before() {
    let mut bench = halves();
    bench.right_click_bench([-60.0, 0.0]);
    assert!(bench.list().is_some());
    bench.click_bench([-250.0, 200.0]);
    assert!(bench.list().is_none());

    let at = bench.harness.get_by_label(seamwright::bench::ACCESSIBLE_NAME).rect().center();
    let before = bench.harness.state().camera();
    let button = |pressed, pos| egui::Event::PointerButton {
        pos,
        button: egui::PointerButton::Secondary,
        pressed,
        modifiers: Modifiers::NONE,
    };
    bench.harness.hover_at(at);
    bench.settle();
    bench.harness.event(button(true, at));
    bench.settle();
    bench.harness.hover_at(at + egui::vec2(60.0, 20.0));
    bench.settle();
    bench.harness.event(button(false, at + egui::vec2(60.0, 20.0)));
    bench.settle();
    let after = bench.harness.state().camera();
    assert!(after.target != before.target && after.heading_deg == before.heading_deg);
    assert!(bench.list().is_none());
}

#[test]
fn while_a_tool_is_out_a_right_click_offers_to_lay_it_down() {
    let mut bench = halves();
    bench.press(Modifiers::NONE, Key::P);
    bench.right_click_bench([-60.0, 0.0]);
    assert_eq!(bench.list(), Some(&Thing::Bench));
    bench.choose_line("lay down");
    assert_eq!(bench.harness.state().state().tool, seamwright::app::state::Tool::Look);
}

#[test]
fn a_bore_in_hand_is_laid_down_or_removed_from_the_list() {
    let mut bench = halves();
    bench.ask(Action::Run(Command::BoreThroughPoints));
    for at in [[10.0, 90.0, 90.0], [290.0, 90.0, 90.0]] {
        bench.ask(Action::PickPoint(Point::from(at), PartId::MAIN));
    }
    assert_eq!(bench.recipe().bores.len(), 1);
    bench.right_click_bench([-440.0, -200.0]);
    assert_eq!(bench.list(), Some(&Thing::Bench));
    bench.choose_line("remove bore");
    assert!(bench.recipe().bores.is_empty() && bench.list().is_none());
}
