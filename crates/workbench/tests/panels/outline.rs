//! What is told of the outline of a cut.

use super::*;

#[test]
fn the_card_tells_how_long_the_outline_is_and_how_many_islands_it_has() {
    let mut bench = Bench::with_model();
    bench.new_cut();
    bench.type_into("offset", "20");
    // Round the casket 760 mm outside and 728 mm inside; the ball is not met.
    assert!(bench.sees("outline 1488.0 mm round"));
    assert!(!bench.sees("islands"));
    bench.type_into("offset", "150");
    assert!(bench.sees("2 islands"), "the ball is met as well");
    assert!(!bench.sees("grazes"));
}

#[test]
fn a_cut_that_grazes_the_surface_says_for_how_long_and_leads_there() {
    let mut bench = Bench::with_model();
    bench.new_cut();
    // Just within the far side, turned by five degrees: it comes out through that side.
    bench.type_into("offset", "298");
    bench.type_into("tilt about Z", "5");
    bench.until("a warning", |state| !seamwright::app::outline::warnings(state).is_empty());
    assert!(bench.sees("grazes the surface for") && bench.sees("within 5°"));
    bench.until("what is known at rest", |state| state.at_rest.is_some());
    assert!(bench.sees("an edge thinner than a 0.4 mm line for"));
    let before = bench.harness.state().camera();
    let show = bench.harness.get_by(|node| node.label().is_some_and(|label| label.starts_with("show: grazes")));
    show.scroll_to_me();
    bench.settle();
    let show = bench.harness.get_by(|node| node.label().is_some_and(|label| label.starts_with("show: grazes")));
    show.click();
    bench.settle();
    assert_ne!(bench.harness.state().camera(), before);
}
