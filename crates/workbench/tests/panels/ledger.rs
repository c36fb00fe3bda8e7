//! The ledger tells makers what a piece is like as it stands, and why it does not fit.

use super::*;

fn described(bench: &Bench, mark: &str) -> String {
    let node = bench.harness.get_by_role_and_label(Role::Button, mark);
    egui_kittest::kittest::NodeT::accesskit_node(&node).description().unwrap_or_default()
}

#[test]
fn a_piece_that_is_too_big_tells_its_sizes_against_the_bed_and_which_ways_it_is_too_long() {
    let mut bench = Bench::with_model();
    let words = described(&bench, "A1");
    assert!(words.contains("300 × 200 × 180 mm"), "{words}");
    assert!(words.contains("as it stands 84.0 mm too wide"), "{words}");
    assert!(bench.sees(" at best"), "what is over in the best pose is told as that: {:?}", bench.texts("too big"));
    let fits = described(&bench, "A2");
    assert!(!fits.contains("too wide") && !fits.contains("too deep"), "{fits}");

    let piece = bench.harness.state().state().pieces()[0].id.clone();
    bench.ask(Action::SelectPiece(Some(piece)));
    bench.open_line("7 Lays");
    let told = "As it stands 300 × 200 × 180 mm, the bed has room for 216 × 216 × 250 mm: 84.0 mm too wide.";
    assert!(bench.sees(told), "{:?}", bench.texts("As it stands"));
    assert!(bench.sees("In the best pose found "));
}

#[test]
fn the_line_under_the_pointer_says_it_in_sentences() {
    let mut bench = Bench::with_model();
    let size = bench.harness.get_by(|node| node.value().is_some_and(|value| value == "300 × 200 × 180")).rect();
    bench.harness.hover_at(size.center());
    bench.settle();
    std::thread::sleep(Duration::from_millis(600));
    bench.settle();
    assert!(bench.sees("the bed has room for 216 × 216 × 250 mm: 84.0 mm too wide."), "{:?}", bench.texts("room"));
}
