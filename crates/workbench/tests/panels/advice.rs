//! What to do about what does not fit: on the card of a cut, and in the notes.

use super::*;

/// A window with a block of 150 × 150 × 300 mm, too long for a bed 250 mm high.
fn with_block() -> Bench {
    let mut bench = Bench::new();
    let file = bench.path("block.stl");
    let block = solids::cuboid(Point::new(0.0, 0.0, 0.0), Point::new(150.0, 150.0, 300.0));
    write_stl(&file, &block, "block", Overwrite::Refuse).unwrap();
    bench.ask(Action::OpenAny(file));
    bench.settle();
    bench
}

fn with_a_cut_too_high() -> Bench {
    let mut bench = with_block();
    bench.open_line("5 Cuts");
    bench.click("number");
    bench.type_and_enter("280");
    bench.until("what is known at rest", |state| state.at_rest.is_some());
    bench
}

fn all_fit(bench: &Bench) -> bool {
    let pieces = bench.harness.state().state().pieces();
    !pieces.is_empty() && pieces.iter().all(|piece| piece.fit.verdict.fits())
}

fn offset(bench: &Bench) -> f64 {
    bench.recipe().cuts[0].plane.offset_mm()
}

/// Follows the link of a note that begins so.
fn follow(bench: &mut Bench, starts: &str) {
    let starts = starts.to_owned();
    bench.harness.get_by(|node| node.label().is_some_and(|label| label.starts_with(&starts))).click();
    bench.settle();
}

#[test]
fn the_card_of_a_cut_tells_the_best_place_nearby_shows_it_and_puts_it_there() {
    let mut bench = with_a_cut_too_high();
    assert!(!all_fit(&bench));
    bench.click("best place nearby");
    let cut = bench.recipe().cuts[0].id;
    bench.until("a place", |state| state.nearest_place(cut).is_some());
    assert!(bench.sees("Move cut 1 by 30.0 mm downwards, and both sides fit."));
    bench.click("show me");
    let shown = bench.harness.state().state().shown_plane().unwrap().offset_mm();
    assert!((shown - 250.0).abs() < 0.01 && offset(&bench) == 280.0, "it is only shown: {shown}");
    bench.click("show me");
    assert_eq!(bench.harness.state().state().shown_plane().unwrap().offset_mm(), 280.0, "and put back");
    bench.click("put it there");
    assert!(all_fit(&bench) && bench.sees("best place nearby"));
    bench.press(CTRL, Key::Z);
    assert_eq!(offset(&bench), 280.0, "one step back");
}

#[test]
fn the_notes_tell_what_to_do_unasked_and_do_it() {
    let mut bench = with_a_cut_too_high();
    bench.until("advice", |state| !state.advised().is_empty());
    assert!(bench.sees("move cut 1 by 30.0 mm downwards, and both sides fit"));
    follow(&mut bench, "show me: ");
    assert!((bench.harness.state().state().shown_plane().unwrap().offset_mm() - 250.0).abs() < 0.01);
    assert_eq!(offset(&bench), 280.0);
    bench.press(Modifiers::NONE, Key::Escape);
    bench.until("advice", |state| !state.advised().is_empty());
    follow(&mut bench, "do it: ");
    assert!(all_fit(&bench) && bench.harness.state().state().advised().is_empty());
}

#[test]
fn a_whole_that_is_too_big_is_shown_stepped_off_before_it_is_cut() {
    let mut bench = with_block();
    bench.until("advice", |state| !state.advised().is_empty());
    assert!(bench.sees("cut it once across its height (Z), and both halves fit"));
    follow(&mut bench, "show me: ");
    assert!(bench.sees("Cut A1 into even lengths") && bench.sees("2 parts of 150.0 mm"));
    bench.click("make 1 cut");
    assert!(all_fit(&bench));
}

#[test]
fn cuts_across_several_axes_are_shown_as_lines_before_they_are_made() {
    let mut bench = with_block();
    bench.ask(Action::Edit(Edit::SetBed(Bed::rectangle(80.0, 80.0, 200.0))));
    bench.settle();
    bench.until("advice", |state| !state.advised().is_empty());
    assert!(bench.sees("cut it once across its depth (Y) and 3 times across its height (Z), and all 8 parts fit"));
    follow(&mut bench, "show me: ");
    let lines = |bench: &Bench| bench.harness.state().state().advice.shown_cuts.as_ref().map(|(_, lines)| lines.len());
    assert_eq!(lines(&bench), Some(4));
    let camera = |bench: &Bench| bench.harness.state().camera();
    (0..60).for_each(|_| bench.harness.step());
    let near = camera(&bench);
    assert!((near.target - Point::new(75.0, 75.0, 150.0)).norm() < 30.0, "all of the piece is looked at: {near:?}");
    assert!(bench.recipe().cuts.is_empty(), "nothing is cut yet");
    bench.press(Modifiers::NONE, Key::Escape);
    assert_eq!(lines(&bench), None);
    follow(&mut bench, "do it: ");
    assert!(all_fit(&bench));
}
