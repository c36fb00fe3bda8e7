//! Names that are longer than their place push nothing out of the window, and are kept whole.

use super::*;
use egui::{Rect, vec2};

const NAME: &str = "helm of the sea guardian, third attempt with wider visor and lower crest";
const COSTUME: &str = "The Saltgate Sentinel at the autumn festival of the harbour town, second cast";
const CUT: &str = "brow, along the second riveted band from the left behind the ear";

/// As a window of 1280 × 720 pixels shows at twice the usual size.
fn small_window() -> Bench {
    let mut bench = Bench::with_model();
    bench.harness.set_size(vec2(640.0, 360.0));
    bench.ask(Action::Edit(Edit::SetCostume(COSTUME.into())));
    bench.ask(Action::Edit(Edit::SetName(NAME.into())));
    let plane = seamwright_project::CutPlane::square(Axis::Z, 90.0);
    let (part, form, scope) = (PartId::MAIN, CutForm::Flat, Scope::All);
    bench.ask(Action::Edit(Edit::AddCut { name: CUT.into(), part, plane, form, scope }));
    bench
}

fn rect(bench: &Bench, label: &str) -> Rect {
    bench.harness.get_by_label(label).rect()
}

#[test]
fn long_names_push_nothing_out_of_a_small_window() {
    let mut bench = small_window();
    let row = ["name of the costume", "name of the part", "save", "undo", "redo", "history", "open", "commands"];
    let rects = row.map(|label| rect(&bench, label));
    for (pair, names) in rects.windows(2).zip(row.windows(2)) {
        assert!(pair[0].right() <= pair[1].left() + 0.5, "{names:?} lie on each other: {rects:?}");
    }
    assert!(rects.iter().all(|rect| rect.right() <= 640.0 && rect.width() > 20.0), "{rects:?}");

    bench.open_line("5 Cuts");
    if bench.harness.query_by_label(CUT).is_none() {
        bench.open_line("5 Cuts");
    }
    let bench_rect = rect(&bench, seamwright::bench::ACCESSIBLE_NAME);
    assert!(bench_rect.width() > 0.4 * 640.0, "the bench keeps its share: {bench_rect:?}");
    assert!(rect(&bench, CUT).right() < bench_rect.left(), "the cut's name stays on the card, and is known whole");
}

#[test]
fn every_button_of_the_head_stays_in_a_window_however_narrow() {
    let mut bench = small_window();
    // From the usual window down to the smallest one at twice the size of writing.
    for width in [1280.0, 900.0, 760.0, 640.0, 560.0, 500.0, 440.0] {
        bench.harness.set_size(vec2(width, 360.0));
        bench.settle();
        let row = ["name of the costume", "name of the part", "save", "undo", "redo", "history", "open", "commands"];
        let rects = row.map(|label| match label {
            // What it takes back may follow.
            "undo" => bench
                .harness
                .get_by(|node| {
                    node.role() == Role::Button && node.label().is_some_and(|label| label.starts_with("undo"))
                })
                .rect(),
            label => rect(&bench, label),
        });
        for (i, a) in rects.iter().enumerate() {
            assert!(a.left() >= 0.0 && a.right() <= width && a.width() > 20.0, "{} at {width}: {a:?}", row[i]);
            assert!(rects[i + 1..].iter().all(|b| !a.shrink(0.5).intersects(b.shrink(0.5))), "{width}: {rects:?}");
        }
        assert!(rects.iter().all(|rect| rect.bottom() < 80.0), "{width}: {rects:?}");
    }
    bench.click("history");
    assert!(bench.sees("call it helm"), "the list of steps opens");
}

#[test]
fn names_in_wide_letters_push_nothing_out_either() {
    let mut bench = small_window();
    // Much wider than those of the names above: what undo takes back is told in them.
    bench.ask(Action::Edit(Edit::SetCostume(String::new())));
    bench.ask(Action::Edit(Edit::SetName("ШЛЕМ СТОРОЖА СОЛЁНЫХ ВОРОТ, ЩЕДРО РАСШИРЕННЫЙ".repeat(2))));
    for width in [1600.0, 1280.0, 1100.0, 980.0] {
        bench.harness.set_size(vec2(width, 700.0));
        bench.settle();
        let undo = bench
            .harness
            .get_by(|node| node.role() == Role::Button && node.label().is_some_and(|label| label.starts_with("undo")));
        let (save, redo) = (rect(&bench, "save"), rect(&bench, "redo"));
        let undo = undo.rect();
        assert!(save.right() <= undo.left() && undo.right() <= redo.left(), "{width}: {save:?} {undo:?} {redo:?}");
    }
}

#[test]
fn a_shortened_name_is_not_taken_for_another_and_is_typed_over_whole() {
    let mut bench = small_window();
    let field =
        |bench: &Bench| bench.harness.get_by_role_and_label(Role::TextInput, "name of the part").rect().center();
    assert_eq!(bench.value("name of the part"), NAME, "who reads the screen aloud is told all of it");
    let at = field(&bench);
    bench.harness.drag_at(at);
    bench.harness.drop_at(at);
    bench.settle();
    bench.press(Modifiers::NONE, Key::Enter);
    assert_eq!(bench.recipe().name, NAME, "entered and left, it is as it was");

    bench.harness.set_size(vec2(1280.0, 800.0));
    bench.open_line("7 Lays");
    let long = "the small printer in the cellar beside the washing machine";
    bench.type_into("bed name", long);
    assert_eq!(bench.recipe().bed_name, long);
    bench.type_into("bed name", "small");
    assert_eq!(bench.recipe().bed_name, "small", "all of the long name was typed over");
}

#[test]
fn a_step_with_a_long_title_is_told_whole_where_the_pointer_rests() {
    let mut bench = small_window();
    bench.press(Modifiers::NONE, Key::F2);
    let step = bench.harness.get_by(|node| node.label().is_some_and(|label| label.contains("call it helm"))).rect();
    assert!(step.right() <= 640.0, "{step:?}");
    bench.harness.hover_at(step.center());
    bench.settle();
    std::thread::sleep(Duration::from_millis(600));
    bench.settle();
    assert!(bench.sees(&format!("call it {NAME}\n")), "{:?}", bench.texts("call it"));
}
