//! Line 4: bores are added, placed, centred and told of.

use egui::Modifiers;
use seamwright::bench::ACCESSIBLE_NAME;
use seamwright_geometry::exchange::{Overwrite, write_stl};
use seamwright_geometry::{Point, solids};
use seamwright_project::rods::{Clearance, ClearanceClass};
use seamwright_project::{Axis, BoreShape, NewBore, Placed, RodChoice, Stop};

use super::*;

/// A window with a bar of 40 × 30 × 200 mm.
fn with_bar() -> Bench {
    let mut bench = Bench::new();
    let file = bench.path("bar.stl");
    let bar = solids::cuboid(Point::new(0.0, 0.0, 0.0), Point::new(40.0, 30.0, 200.0));
    write_stl(&file, &bar, "bar", Overwrite::Refuse).unwrap();
    bench.ask(Action::OpenAny(file));
    bench.settle();
    bench.open_line("4 Bores");
    bench
}

fn volume(bench: &Bench) -> f64 {
    bench.harness.state().state().pieces().iter().map(|piece| piece.facts.volume_mm3).sum()
}

#[test]
fn a_bore_along_an_axis_is_made_and_its_card_tells_wall_and_rod() {
    let mut bench = with_bar();
    bench.click("bore along Z");
    let bore = &bench.recipe().bores[0];
    assert_eq!((bore.placed, &bore.line_mm), (Placed::Axis(Axis::Z), &vec![[20.0, 15.0, 0.0], [20.0, 15.0, 200.0]]));
    assert!(bench.sees("4 Bores: 1"));
    // 15 mm to the nearest side, less half of 6.8 mm.
    assert!(bench.sees("least wall 11.6 mm: ample"));
    assert!(bench.sees("bored 6.8 mm wide: 6.6 mm by ISO 273"));
    assert!(bench.sees("bore 1: saw 200.0 mm of M6 threaded rod"));
    assert!(bench.sees("droops") && bench.sees("an estimate"));
    assert!(bench.sees("weapon policy and local codes"));
    assert!(volume(&bench) < 40.0 * 30.0 * 200.0 - 7000.0);
    bench.press(CTRL, Key::Z);
    assert!(bench.recipe().bores.is_empty() && bench.sees("4 Bores: none"));
}

#[test]
fn rod_clearance_shape_and_ends_are_chosen_on_the_card() {
    let mut bench = with_bar();
    bench.click("bore along Z");
    choose(&mut bench, "clearance", "coarse");
    assert_eq!(bench.recipe().bores[0].clearance, Clearance::Class(ClearanceClass::Coarse));
    choose(&mut bench, "shape", "teardrop");
    assert_eq!(bench.recipe().bores[0].shape, BoreShape::Teardrop);
    choose(&mut bench, "last end", "blind");
    bench.type_into("last end below", "8");
    assert_eq!(bench.recipe().bores[0].ends[1].stop, Stop::Blind(8.0));
    let sawn: Vec<f64> =
        bench.harness.state().state().outcome.iter().flat_map(|o| &o.rods.rods).map(|r| r.length_mm).collect();
    assert!(bench.sees("saw 190.4 mm"), "192 mm of channel, less 1.6 mm for glue: {sawn:?}");
    choose(&mut bench, "rod", "M8 threaded rod");
    assert_eq!(bench.recipe().bores[0].rod, RodChoice::Listed("M8".into()));
    bench.type_into("prints narrower by", "0");
    assert_eq!(bench.recipe().bores[0].diameter_mm(), 10.0);
    bench.type_into("name", "spine");
    assert!(bench.sees("undo \"call bore 1 spine\""));
}

#[test]
fn a_bore_that_lies_badly_is_told_and_centred_with_its_gain() {
    let mut bench = with_bar();
    bench.click("bore along Z");
    bench.type_into("from X", "4");
    bench.type_into("to X", "4");
    assert!(bench.sees("least wall 0.6 mm: too thin"));
    assert!(bench.sees("only 0.6 mm thick"), "the notes say so too");
    bench.click("centre it");
    assert_eq!(bench.recipe().bores[0].placed, Placed::Centred);
    let said = |bench: &Bench| bench.sees("was 0.6");
    assert!(said(&bench), "the gain is shown");
    assert!(!bench.sees("thick"), "and the note is gone");
    bench.press(CTRL, Key::Z);
    assert_eq!(bench.recipe().bores[0].line_mm[0][0], 4.0);
}

#[test]
fn two_clicks_on_the_model_make_a_bore() {
    let mut bench = with_bar();
    bench.click("two points");
    assert!(bench.sees("Click the model where the rod goes in."));
    bench.click_bench([0.0, -40.0]);
    bench.click_bench([0.0, 40.0]);
    let bore = &bench.recipe().bores[0];
    assert_eq!((bore.placed, bore.line_mm.len()), (Placed::Picked, 2));
}

#[test]
fn the_middle_of_the_stock_is_found() {
    let mut bench = with_bar();
    bench.click("the middle");
    let bore = &bench.recipe().bores[0];
    assert_eq!(bore.placed, Placed::Middle);
    for point in &bore.line_mm {
        assert!((point[0] - 20.0).abs() < 0.5 && (point[1] - 15.0).abs() < 0.5, "{point:?}");
    }
}

#[test]
fn an_end_is_dragged_on_the_bench_in_one_step_and_the_wall_follows() {
    let mut bench = with_bar();
    bench.click("bore along Z");
    let before = bench.recipe().bores[0].line_mm.clone();
    let state = bench.harness.state();
    let rect = bench.harness.get_by_label(ACCESSIBLE_NAME).rect();
    let view = seamwright::bench::View { camera: state.camera(), rect };
    let at = view.project(&Point::from(before[1])).unwrap();
    bench.harness.hover_at(at);
    bench.settle();
    bench.harness.drag_at(at);
    bench.harness.step();
    bench.harness.hover_at(at + egui::vec2(12.0, 0.0));
    bench.harness.step();
    bench.harness.step();
    let preview = bench.harness.state().state().bore.preview.clone().expect("it is shown where it is dragged to");
    assert_eq!(bench.recipe().bores[0].line_mm, before, "no edit yet");
    assert_ne!(preview.line_mm[1], before[1]);
    assert_eq!(preview.line_mm[0], before[0]);
    bench.harness.drop_at(at + egui::vec2(12.0, 0.0));
    bench.settle();
    assert_ne!(bench.recipe().bores[0].line_mm[1], before[1]);
    assert!(bench.sees("undo \"move the last end of bore 1"));
    bench.press(CTRL, Key::Z);
    assert_eq!(bench.recipe().bores[0].line_mm, before);
}

#[test]
fn bores_that_cross_are_refused_until_one_may() {
    let mut bench = with_bar();
    bench.click("bore along Z");
    bench.click("bore along X");
    assert!(bench.sees("4 Bores: 1 of 2 not bored"));
    assert!(bench.sees("it crosses bore 1"));
    bench.click("may cross other bores");
    assert!(bench.sees("4 Bores: 2"));
    bench.press(Modifiers::SHIFT, Key::Delete);
    assert_eq!(bench.recipe().bores.len(), 1);
}

/// The bar parted halfway, with the line of bores open.
fn with_parted_bar() -> Bench {
    let mut bench = with_bar();
    let plane = seamwright_project::CutPlane::square(Axis::Z, 100.0);
    bench.ask(Action::Edit(Edit::AddCut {
        name: "waist".into(),
        part: PartId::MAIN,
        plane,
        form: CutForm::Flat,
        scope: Scope::All,
    }));
    bench.settle();
    bench.open_line("4 Bores");
    bench
}

#[test]
fn magnets_are_spread_over_a_seam_and_their_cards_say_what_goes_in() {
    let mut bench = with_parted_bar();
    bench.click("Magnets at a cut");
    bench.type_into("how many places", "2");
    bench.click("spread evenly");
    bench.settle();
    let bores = bench.recipe().bores.clone();
    assert_eq!(bores.len(), 2);
    assert!(bores.iter().all(|bore| bore.seam.is_some() && (bore.middle().z - 100.0).abs() < 1e-9), "{bores:?}");
    assert!(bench.sees("2 magnets of 6 × 3 mm"), "the card in short");
    assert!(bench.sees("swallowed magnets hurt badly"));
    bench.type_into("thickness", "2");
    assert_eq!(bench.recipe().bores[0].seam.unwrap().thickness_mm, 2.0);
    // Both pieces have both pockets.
    for piece in bench.harness.state().state().pieces() {
        assert_eq!(piece.facts.bores.len(), 2);
        assert!(piece.facts.closed);
    }
    assert!(bench.sees("magnets 1, magnets 2"), "the ledger names them");
}

#[test]
fn a_roof_is_up_in_every_piece_unless_it_is_turned_by_hand() {
    let mut bench = with_parted_bar();
    bench.click("bore along Z");
    choose(&mut bench, "shape", "teardrop");
    assert!(bench.recipe().bores[0].follows_lays());
    bench.click("up in every piece");
    assert!(!bench.recipe().bores[0].follows_lays());
    assert!(bench.sees("turned to"));
}

#[test]
fn the_wall_that_rests_is_that_of_the_results() {
    let mut bench = with_bar();
    bench.click("bore along Z");
    bench.settle();
    let state = bench.harness.state().state();
    let exact = state.outcome.as_ref().unwrap().bores[0].result.as_ref().unwrap().profile.clone();
    let shown = state.bore.now.as_ref().unwrap().as_ref().unwrap().profile.clone();
    assert_eq!(exact, shown);
}

#[test]
fn an_open_end_that_is_typed_into_the_material_stops_at_its_point_in_one_step() {
    let mut bench = with_bar();
    bench.click("bore along Z");
    bench.settle();
    bench.type_into("to Z", "120");
    assert_eq!(bench.recipe().bores[0].ends.map(|end| end.stop), [Stop::Open, Stop::At]);
    assert!(bench.sees("It stops where its handle is"));
    assert!(bench.sees("saw 118.4 mm"), "120 mm of channel, less 1.6 mm for glue: {:?}", bench.texts("saw "));
    bench.press(CTRL, Key::Z);
    assert_eq!(bench.recipe().bores[0].ends.map(|end| end.stop), [Stop::Open; 2]);
    assert_eq!(bench.recipe().bores[0].line_mm[1][2], 200.0);
}

#[test]
fn a_cut_along_a_bore_is_noted_and_moved_aside_by_its_note() {
    let mut bench = with_bar();
    bench.click("bore along Z");
    let plane = seamwright_project::CutPlane::square(Axis::X, 20.0);
    let (name, part, form, scope) = ("spine".to_owned(), PartId::MAIN, CutForm::Flat, Scope::All);
    bench.ask(Action::Edit(Edit::AddCut { name, part, plane, form, scope }));
    assert!(bench.sees("spine runs along bore 1 for 200 mm and lays its channel open: move it aside"));
    let words = "do it: spine runs along";
    bench.harness.get_by(|node| node.label().is_some_and(|label| label.starts_with(words))).click();
    bench.settle();
    assert!(!bench.sees("lays its channel open"));
    assert_ne!(bench.recipe().cuts[0].plane.offset_mm(), 20.0);
}

#[test]
fn a_bore_through_a_thin_wall_aslant_has_mouths_and_no_break() {
    let mut bench = Bench::with_model();
    // Through the lid of the casket, 4 mm thick, and through its side; 60 degrees from square to the lid.
    let line_mm = vec![[200.0, 100.0, 180.0], [300.0, 100.0, 122.0]];
    let new = NewBore {
        name: String::new(),
        part: PartId::MAIN,
        line_mm,
        placed: Placed::Picked,
        rod: RodChoice::Listed("M6".into()),
    };
    bench.ask(Action::Edit(Edit::AddBore(Box::new(new))));
    bench.until("the wall", |state| state.bore.now.is_some());
    bench.settle();
    assert!(bench.sees("bore 1") && !bench.sees("breaks through"), "{:?}", bench.texts("breaks through"));
    assert!(!bench.sees("It goes through no material here."));
}
