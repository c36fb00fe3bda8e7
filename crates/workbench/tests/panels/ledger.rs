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

#[test]
fn rows_and_columns_that_are_out_of_sight_are_told_by_their_number() {
    let mut bench = Bench::with_model();
    assert!(!bench.sees("farther right") && !bench.sees("farther down"));
    let right = |bench: &Bench| {
        let ends = ["mark", "size mm", "fit", "slack mm", "volume", "largest cap", "bores", "closed"]
            .map(|heading| bench.harness.get_all_by_role_and_label(Role::Button, heading).next().unwrap().rect());
        ends.map(|heading| heading.left())
    };
    for width in [1150.0, 1000.0, 640.0] {
        bench.harness.set_size(egui::vec2(width, 400.0));
        bench.settle();
        let beyond = right(&bench).into_iter().filter(|left| *left > width - 12.0).count();
        let told = bench.texts("farther right").pop().unwrap_or_default();
        let told: usize = told.split(' ').next().unwrap().parse().unwrap_or_default();
        assert!((beyond..=beyond + 1).contains(&told) && told > 0, "{width}: {beyond}, {:?}", bench.texts("farther"));
    }
    bench.ask(Action::Edit(Edit::DropShells([2].into())));
    bench.harness.set_size(egui::vec2(1280.0, 800.0));
    bench.settle();
    assert!(!bench.sees("farther"), "{:?}", bench.texts("farther"));
    // Ten pieces: told in the frame in which they come.
    for at in 1..10 {
        bench.new_cut();
        bench.type_into("offset", &(30 * at).to_string());
    }
    bench.harness.set_size(egui::vec2(1280.0, 500.0));
    bench.harness.step();
    let told = bench.texts("farther down");
    bench.settle();
    assert_eq!(bench.texts("farther down"), told);
    assert_eq!(told.len(), 1);
}
