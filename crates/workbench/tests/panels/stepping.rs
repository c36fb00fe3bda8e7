//! Stepping a long thing off, and the stretch in which both sides of a cut fit.

use seamwright::app::stepping::StepAction;
use seamwright_project::{CutPlane, NamedBed};

use super::*;

/// A window with a bar of 40 × 30 mm and this length, upright.
fn with_bar(length_mm: f64) -> Bench {
    let mut bench = Bench::new();
    let file = bench.path("bar.stl");
    let bar = solids::cuboid(Point::new(0.0, 0.0, 0.0), Point::new(40.0, 30.0, length_mm));
    write_stl(&file, &bar, "bar", Overwrite::Refuse).unwrap();
    bench.ask(Action::OpenAny(file));
    bench.settle();
    bench.open_line("5 Cuts");
    bench
}

fn offsets(bench: &Bench) -> Vec<f64> {
    bench.recipe().cuts.iter().map(|cut| cut.plane.offset_mm()).collect()
}

fn near(found: &[f64], expected: &[f64]) {
    let close = found.len() == expected.len() && found.iter().zip(expected).all(|(a, b)| (a - b).abs() < 0.1);
    assert!(close, "{found:?}, not {expected:?}");
}

#[test]
fn a_long_bar_is_stepped_off_looked_at_and_cut_in_one_step() {
    let mut bench = with_bar(900.0);
    bench.click("even lengths");
    assert!(bench.sees("Cut A1 into even lengths"));
    assert!(bench.sees("4 parts of 225.0 mm"), "a bed 250 mm high");
    assert!(bench.recipe().cuts.is_empty(), "it is only shown");
    let lines = bench.harness.state().state().stepped().unwrap().unwrap().lines.len();
    assert_eq!(lines, 3);

    bench.click("fixed length");
    bench.type_into("length", "240");
    assert!(bench.sees("4 parts: 240.0, 240.0, 240.0, 180.0 mm"));
    bench.type_into("last at least", "200");
    assert!(bench.sees("4 parts: 240.0, 240.0, 220.0, 200.0 mm"));
    bench.click("begin at the top");
    bench.click("make 3 cuts");
    near(&offsets(&bench), &[660.0, 420.0, 200.0]);
    let pieces = bench.harness.state().state().pieces();
    assert!(pieces.len() == 4 && pieces.iter().all(|piece| piece.fit.verdict.fits()));
    assert!(bench.sees("undo \"step off 3 cuts\"") && !bench.sees("Cut A1 into even lengths"));
    bench.press(CTRL, Key::Z);
    assert!(bench.recipe().cuts.is_empty(), "one step back");
}

#[test]
fn what_cannot_be_stepped_off_says_why_and_another_bed_may_do() {
    let mut bench = with_bar(900.0);
    bench.press(Modifiers::NONE, Key::T);
    bench.click("lengths along X");
    assert!(bench.sees("across this axis it is too big for the bed"));
    let large = NamedBed { name: "tall".into(), bed: Bed::rectangle(300.0, 300.0, 950.0) };
    let own = NamedBed { name: String::new(), bed: bench.recipe().bed.clone() };
    bench.ask(Action::Edit(Edit::SetBeds(vec![own, large])));
    bench.click("lengths along Z");
    assert!(bench.sees("4 parts of 225.0 mm"));
    choose(&mut bench, "to fit", "tall");
    assert!(bench.sees("It fits whole: no cut is needed."));
    bench.ask(Action::Step(StepAction::Make));
    assert!(bench.recipe().cuts.is_empty());
    bench.press(Modifiers::NONE, Key::Escape);
    assert!(!bench.sees("into even lengths"));
}

#[test]
fn the_stretch_in_which_both_sides_fit_is_known_along_the_handle() {
    let mut bench = with_bar(300.0);
    bench.click("number");
    bench.until("the stretch", |state| state.band().is_some());
    let band = bench.harness.state().state().band().unwrap();
    near(&band.along_mm, &[50.0, 250.0]);
    near(&band.typed_mm, &[50.0, 250.0]);
    assert!(band.is_any() && band.holds(150.0) && !band.holds(40.0));
    // Where neither side fits for as long as the other does, there is no such place.
    let mut long = with_bar(700.0);
    long.click("number");
    long.until("the stretch", |state| state.band().is_some());
    assert!(!long.harness.state().state().band().unwrap().is_any());
}

#[test]
fn both_sides_are_said_in_every_frame_and_exactly_as_soon_as_the_hand_rests() {
    let mut bench = with_bar(300.0);
    bench.click("number");
    let cut = bench.recipe().cuts[0].id;
    bench.harness.state_mut().ask(Action::Preview { cut, plane: Some(CutPlane::square(Axis::Z, 270.0)) });
    bench.harness.step();
    bench.harness.step();
    let said = bench.harness.state().state().sides_said();
    let words = said.map(|said| said.unwrap());
    assert!(!words[0].exact && words[0].text() == "perhaps tilted", "at once, and quick: {words:?}");
    assert_eq!(words[1].tone.words(), "fits as it stands");
    bench.until("the exact answer", |state| state.found.exact.is_some());
    let said = bench.harness.state().state().sides_said().map(|said| said.unwrap());
    assert!(said[0].exact && !said[0].text().contains("≈"));
    assert!(bench.sees("exact") && bench.sees("12.0 cm²"));
    bench.harness.state_mut().ask(Action::Preview { cut, plane: Some(CutPlane::square(Axis::Z, 200.0)) });
    bench.harness.step();
    bench.harness.step();
    assert!(bench.harness.state().state().found.exact.is_none(), "it moves again");
}

#[test]
fn even_lengths_are_put_away_when_they_are_cut_from_the_notes_or_another_line_is_opened() {
    let mut bench = with_bar(900.0);
    bench.click("even lengths");
    bench.until("the lengths", |state| matches!(state.stepped(), Some(Ok(_))));
    bench.press(Modifiers::NONE, Key::Num7);
    assert!(bench.harness.state().state().stepping.is_none(), "its lengths stand on no other line");
    bench.press(Modifiers::NONE, Key::T);
    bench.until("the lengths", |state| matches!(state.stepped(), Some(Ok(_))));
    let edit = bench.harness.state().state().stepped().unwrap().unwrap().edit.clone();
    bench.ask(Action::Edit(edit));
    assert!(bench.harness.state().state().stepping.is_none() && bench.recipe().cuts.len() == 3);
    bench.click("cut 2");
    assert!(!bench.sees("crosses above") && !bench.sees("crosses A1+"), "{:?}", bench.texts("crosses"));
}
