//! Details of the model that a cut may follow, and the plane of points while they are picked.

use super::*;

fn with_details() -> Bench {
    let mut bench = Bench::with_model();
    bench.new_cut();
    bench.until("the details", |state| state.details_in_hand().is_some());
    bench
}

#[test]
fn details_nearby_are_offered_on_the_card_and_the_cut_goes_there() {
    let mut bench = with_details();
    // The casket and the ball beside it are mirrored by the plane at half of their width.
    assert!(bench.sees("details nearby") && bench.sees("here: mirror plane"));
    bench.type_into("offset", "146");
    // What comes once the cut rests moves what stands beneath it on the card.
    bench.until("what is known at rest", |state| state.at_rest.is_some());
    let told = bench.texts("mirror plane");
    // Found to within a share of the model's size.
    assert!(told.iter().any(|told| told.starts_with("mirror plane · 4.")), "{told:?}");
    let steps = bench.harness.state().state().document.history().steps().len();
    bench.click("go there: mirror plane");
    let plane = bench.recipe().cuts[0].plane;
    assert!((plane.offset_mm() - 150.0).abs() < 0.2 && plane.axis == Axis::X, "{plane:?}");
    assert_eq!(bench.harness.state().state().document.history().steps().len(), steps + 1, "one step");
    assert!(bench.sees("here: mirror plane"));
}

#[test]
fn moving_a_cut_does_not_look_for_details_again() {
    let mut bench = with_details();
    let found = |bench: &Bench| bench.harness.state().state().details_in_hand().cloned().expect("details");
    let before = found(&bench);
    bench.type_into("offset", "100");
    bench.type_into("tilt about Y", "10");
    assert!(std::sync::Arc::ptr_eq(&found(&bench), &before));
    bench.click("Z");
    assert!(std::sync::Arc::ptr_eq(&found(&bench), &before));
    // Another size is another part.
    bench.ask(Action::Edit(Edit::SetSize(seamwright_project::Size { unit: Unit::Millimetre, factor: 2.0 })));
    bench.until("new details", |state| state.details_in_hand().is_some());
    assert!(!std::sync::Arc::ptr_eq(&found(&bench), &before));
}

#[test]
fn a_cut_that_is_no_plane_is_offered_none() {
    let mut bench = with_details();
    choose(&mut bench, "form", "zigzag");
    assert!(!bench.sees("details nearby"));
    assert!(bench.harness.state().state().details_in_hand().is_none());
}

#[test]
fn points_tell_how_far_off_their_plane_they_are_and_its_outline_is_drawn_before_the_cut() {
    let mut bench = Bench::with_model();
    bench.press(Modifiers::NONE, Key::P);
    for at in [[-60.0, 10.0], [60.0, 10.0]] {
        bench.click_bench(at);
    }
    let drawn = |state: &seamwright::app::State| state.picked_outline().is_some_and(|lines| !lines.is_empty());
    assert!(!drawn(bench.harness.state().state()));
    // On another side: three on the same would lie in it, where a plane draws nothing.
    bench.click_bench([170.0, 10.0]);
    bench.until("the outline", drawn);
    assert!(!bench.sees("Off it, in order"), "three points lie on their plane");
    bench.click_bench([0.0, 40.0]);
    bench.until("the outline of four", drawn);
    assert!(bench.sees("Off it, in order: "));
    bench.press(Modifiers::NONE, Key::Escape);
    assert!(!drawn(bench.harness.state().state()));
}
