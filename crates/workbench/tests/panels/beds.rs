//! Line 7: beds of every shape are typed, drawn, kept and taken; every piece tells how it fits each of them.

use seamwright::app::BedAction;
use seamwright_geometry::{Bed, Outline, Verdict};
use seamwright_project::{NamedBed, saved_beds};

use super::*;

fn at_the_beds() -> Bench {
    let mut bench = Bench::with_model();
    bench.open_line("7 Lays");
    bench
}

#[test]
fn a_bed_of_any_shape_is_typed_and_its_plan_says_what_it_is() {
    let mut bench = at_the_beds();
    assert!(bench.sees("Plan of the bed: 220 × 220 × 250 mm, 0 keep-out zones"));
    choose(&mut bench, "bed shape", "round");
    assert_eq!(bench.recipe().bed.outline, Outline::Circle { diameter_mm: 220.0 });
    bench.type_into("bed diameter", "400");
    assert!(bench.sees("Plan of the bed: round 400 × 250 mm"));
    choose(&mut bench, "bed shape", "any outline");
    assert!(matches!(&bench.recipe().bed.outline, Outline::Polygon { corners_mm } if corners_mm.len() == 8));
    bench.type_into("bed corners", "0, 0; 300, 0; 150");
    assert!(bench.sees("\"150\" is no corner"), "what cannot be read says why");
    bench.type_into("bed corners", "0, 0; 300, 0; 150, 250");
    let corners_mm = vec![[0.0, 0.0], [300.0, 0.0], [150.0, 250.0]];
    assert_eq!(bench.recipe().bed.outline, Outline::Polygon { corners_mm });
    bench.type_into("bed corners", "0, 0; 300, 250; 300, 0; 0, 250");
    assert!(bench.sees("meet"), "an outline that crosses itself is refused");
}

#[test]
fn what_must_stay_free_is_added_placed_and_taken_away() {
    let mut bench = at_the_beds();
    bench.click("add a keep-out");
    let zone = |bench: &Bench| bench.recipe().bed.keep_outs[0].clone();
    assert_eq!(zone(&bench).corners_mm.len(), 4);
    bench.type_into("keep-out 1", "0, 0; 40, 0; 40, 30");
    bench.type_into("1 from height", "60");
    assert_eq!((zone(&bench).corners_mm[2], zone(&bench).from_mm), ([40.0, 30.0], 60.0));
    assert!(bench.sees("1 keep-out zone"));
    bench.click("take keep-out 1 away");
    assert!(bench.recipe().bed.keep_outs.is_empty());
}

#[test]
fn what_holds_a_piece_takes_its_width_from_the_table_or_is_typed() {
    let mut bench = at_the_beds();
    assert!(bench.sees("keep room around a piece for"), "what the choice is for is said in whole words");
    choose(&mut bench, "print material", "ABS");
    assert!(bench.sees("ABS"), "as makers write it");
    bench.click("keep room for a raft");
    assert_eq!((bench.recipe().bed.around_mm, bench.recipe().bed.raft_mm), (5.0, 1.0));
    bench.click("keep room for a brim");
    assert_eq!((bench.recipe().bed.around_mm, bench.recipe().bed.raft_mm), (8.0, 0.0));
    bench.type_into("around a piece", "3");
    assert_eq!(bench.recipe().bed.around_mm, 3.0);
    assert!(bench.sees("Room for a piece: 210 × 210 × 250 mm."));
}

#[test]
fn beds_are_added_named_kept_taken_and_taken_away() {
    let mut bench = at_the_beds();
    bench.type_into("bed name", "small");
    bench.click("keep in my list");
    let kept = saved_beds::load(&bench.path("beds.json")).unwrap();
    assert_eq!((kept.len(), kept[0].name.as_str()), (1, "small"));

    bench.click("add a bed");
    bench.type_into("bed name", "large");
    bench.type_into("bed width", "400");
    assert_eq!(bench.recipe().more_beds[0].name, "large");
    assert!(bench.sees("1 of 2 fit") && bench.sees("2 of 2 fit"), "each bed says how many pieces it takes");
    bench.click("place cuts for this bed");
    assert_eq!((bench.recipe().bed_name.as_str(), bench.recipe().more_beds[0].name.as_str()), ("large", "small"));
    assert_eq!(bench.value("bed name"), "large", "the same bed is looked at");

    bench.click("my beds: 1");
    bench.click("use small here");
    assert_eq!(bench.recipe().bed_name, "small");
    bench.click("add small");
    assert_eq!(bench.recipe().more_beds.len(), 2);
    bench.click("take this bed away");
    assert_eq!(bench.recipe().more_beds.len(), 1);
    bench.click("forget small");
    assert!(saved_beds::load(&bench.path("beds.json")).unwrap().is_empty());
    assert!(!bench.sees("my beds: 1"));
}

#[test]
fn the_ledger_tells_word_and_slack_of_every_piece_on_every_bed() {
    let mut bench = Bench::with_model();
    let large = NamedBed { name: "large".into(), bed: Bed::rectangle(400.0, 400.0, 300.0) };
    let own = NamedBed { name: String::new(), bed: bench.recipe().bed.clone() };
    bench.ask(Action::Edit(Edit::SetBeds(vec![own, large])));
    assert!(bench.sees("on bed 1") && bench.sees("on large") && !bench.sees("slack mm"));
    assert!(bench.sees("fits as it stands  +100.0"));
    let piece = bench.harness.state().state().pieces()[0].clone();
    let excess = piece.fits[0].excess.clone().unwrap();
    let too_big = format!("too big by {:.1}", excess.mm);
    assert!(bench.sees(&too_big), "a word, and by how much: {too_big}");
    assert_eq!(piece.fits.iter().map(|fit| fit.verdict).collect::<Vec<_>>(), [Verdict::TooBig, Verdict::AsItStands]);

    bench.open_line("7 Lays");
    bench.ask(Action::SelectPiece(Some(piece.id)));
    assert!(bench.sees("with A1 on it"), "the plan shows how it would lie");
    assert!(bench.sees(&format!("A1: {too_big} mm")), "beneath the plan, whatever the card has room for");
    assert!(bench.sees(&format!("A1 on bed 1: {too_big} mm")));
    assert!(bench.sees("A1 on large: fits as it stands, 100.0 mm to spare"));
    bench.ask(Action::Bed(BedAction::Show(1)));
    assert!(bench.sees("Plan of large: 400 × 400 × 300 mm"));
    assert!(bench.sees("A1 lies so: fits as it stands, 100.0 mm to spare"));
}

#[test]
fn the_plan_has_a_piece_as_the_kit_will_have_it_and_fields_keep_still_when_it_is_selected() {
    let mut bench = at_the_beds();
    let plane = seamwright_project::CutPlane::square(Axis::X, 150.0);
    let (name, scope) = ("waist".to_owned(), Scope::All);
    bench.ask(Action::Edit(Edit::AddCut { name, part: PartId::MAIN, plane, form: CutForm::Flat, scope }));
    bench.open_line("7 Lays");
    assert!(bench.sees("Select a piece: the plan shows how it will lie."));
    let field = |bench: &Bench| bench.harness.get_by_role_and_label(Role::TextInput, "bed width").rect();
    let before = field(&bench);
    let piece = bench.harness.state().state().pieces()[0].clone();
    assert!(piece.fit.verdict.fits());
    bench.ask(Action::SelectPiece(Some(piece.id)));
    assert!(bench.sees("A1 lies on its cap of waist"), "{:?}", bench.texts("A1 "));
    assert_eq!(field(&bench), before);
}

#[test]
fn what_holds_a_piece_on_the_bed_is_explained_where_it_is_chosen() {
    let mut bench = at_the_beds();
    for (way, means) in [("brim", "torn off afterwards"), ("skirt", "without touching it"), ("raft", "beneath a piece")]
    {
        let name = format!("keep room for a {way}");
        bench.harness.get_by_label(&name).scroll_to_me();
        bench.settle();
        let at = bench.harness.get_by_label(&name).rect().center();
        bench.harness.hover_at(at);
        bench.until_seen(means);
    }
}

#[test]
fn a_list_of_beds_that_is_no_list_is_said_and_left_alone() {
    let mut bench = Bench::with_model();
    std::fs::write(bench.path("beds.json"), "{").unwrap();
    bench.open_line("7 Lays");
    assert!(bench.sees("beds.json"));
    assert_eq!(std::fs::read_to_string(bench.path("beds.json")).unwrap(), "{");
}

#[test]
fn a_margin_that_leaves_nothing_of_a_bed_is_told_beside_its_field_with_the_way_out() {
    let mut bench = at_the_beds();
    let before = bench.recipe().clone();
    bench.type_into("margin", "110");
    let why = "margin and room around a piece take 110 mm on each side and leave nothing of a bed of 220 × 220 mm: make \
               them smaller, or the bed larger";
    assert_eq!(bench.texts("leave nothing of a bed"), [why]);
    assert_eq!((bench.value("margin").as_str(), bench.recipe()), ("110", &before), "it stays to be mended");
    let (field, told) = (
        bench.harness.get_by_role_and_label(Role::TextInput, "margin").rect(),
        bench.harness.get_by_label_contains("leave nothing of a bed").rect(),
    );
    assert!(told.top() - field.bottom() < 12.0, "right beneath: {field:?} {told:?}");
    bench.type_into("margin", "10");
    assert_eq!(bench.recipe().bed.margin_mm, 10.0);
    assert!(!bench.sees("leave nothing of a bed"));
    bench.type_into("bed width", "15");
    assert!(bench.sees("leave nothing of a bed of 15 × 220 mm") && bench.recipe().bed.size_mm()[0] == 220.0);
}
