//! The whole job by keyboard alone.

use egui_kittest::kittest::NodeT;

use super::*;

impl Bench {
    /// Goes on with Tab until what begins with `label` has the focus.
    fn tab_to(&mut self, label: &str) {
        for _ in 0..MOST_TABS {
            if self.focused().starts_with(label) {
                return;
            }
            self.press(Modifiers::NONE, Key::Tab);
        }
        panic!("{label} is not reached by Tab");
    }

    /// The name of what has the focus.
    fn focused(&self) -> String {
        let focused = self.harness.query_all_by(|node| node.is_focused()).next();
        focused.and_then(|node| node.accesskit_node().label()).unwrap_or_default()
    }
}

/// More steps than this from one thing to another are too many for a hand.
const MOST_TABS: usize = 120;

#[test]
fn a_job_is_done_from_the_demo_to_the_kit_without_a_mouse() {
    let mut bench = Bench::new();
    bench.until("the start sheet", |state| state.start.found.is_some());
    bench.tab_to("helm: ");
    bench.press(Modifiers::NONE, Key::Enter);
    assert_eq!(bench.recipe().name, "helm");
    let before = bench.harness.state().state().pieces().len();

    // Look at it.
    let camera = bench.harness.state().camera();
    bench.tab_to(seamwright::bench::ACCESSIBLE_NAME);
    bench.press(Modifiers::NONE, Key::ArrowRight);
    assert_ne!(bench.harness.state().camera(), camera);

    // Set the bed.
    bench.press(Modifiers::NONE, Key::Num7);
    bench.tab_to("bed width");
    bench.type_and_enter("230");
    assert_eq!(bench.recipe().bed.size_mm()[0], 230.0);

    // Place a cut, by number.
    bench.press(Modifiers::NONE, Key::N);
    assert_eq!(bench.recipe().cuts.len(), 6);
    assert_eq!(bench.focused(), "offset", "its number is typed at once");
    bench.type_and_enter("120.5");
    assert_eq!(bench.recipe().cuts[5].plane.offset_mm(), 120.5);
    assert!(bench.harness.state().state().pieces().len() > before);
    bench.press(Modifiers::NONE, Key::Escape);

    // Read the verdicts.
    bench.tab_to("A2");
    bench.press(Modifiers::NONE, Key::Enter);
    let chosen = bench.harness.state().state().selected_pieces().map(|piece| piece.mark.clone()).collect::<Vec<_>>();
    assert_eq!(chosen, ["A2"]);

    // Pull it apart.
    bench.press(Modifiers::NONE, Key::E);
    assert_eq!(bench.harness.state().state().exploded, 1.0);

    // Write the kit.
    bench.press(CTRL, Key::K);
    bench.tab_to("folder");
    let folder = bench.path("kit");
    std::fs::create_dir(&folder).unwrap();
    bench.type_and_enter(&folder.display().to_string());
    bench.tab_to("use this folder");
    bench.press(Modifiers::NONE, Key::Enter);
    bench.until("the kit", |state| state.kit.is_some());
    assert!(folder.join("helm-manifest.json").exists());
    assert_eq!(
        bench.harness.state().state().kit.as_ref().unwrap().pieces,
        bench.harness.state().state().pieces().len()
    );
}
