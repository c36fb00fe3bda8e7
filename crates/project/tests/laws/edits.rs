//! Single edits.

use seamwright_geometry::Bed;
use seamwright_project::{
    Axis, CutForm, CutId, CutPlane, Edit, EditError, MeasureId, Measured, PartId, Recipe, Scope, Size, SourceFile,
    Stance, UNNAMED, Unit,
};

fn with_cuts(names: &[&str]) -> Recipe {
    names.iter().fold(Recipe::new("part"), |recipe, name| {
        let edit = Edit::AddCut {
            name: (*name).into(),
            part: PartId::MAIN,
            plane: CutPlane::square(Axis::Z, 10.0),
            form: CutForm::Flat,
            scope: Scope::All,
        };
        edit.apply(&recipe).unwrap()
    })
}

fn distance(from_mm: [f64; 3], to_mm: [f64; 3]) -> Measured {
    Measured::Distance { from_mm, to_mm }
}

fn names(recipe: &Recipe) -> Vec<&str> {
    recipe.cuts.iter().map(|cut| cut.name.as_str()).collect()
}

#[test]
fn edits_that_make_no_sense_say_what_is_wrong() {
    let recipe = with_cuts(&["brow"]);
    let nowhere = CutPlane::square(Axis::X, f64::INFINITY);
    let spinning = CutPlane { tilt_deg: [f64::NAN, 0.0], ..CutPlane::square(Axis::X, 0.0) };
    let edge_on = CutPlane { tilt_deg: [90.0, -90.0], ..CutPlane::square(Axis::X, 0.0) };
    let measure = |from, to| Edit::AddMeasure { part: PartId::MAIN, what: distance(from, to) };
    let inch = |factor| Edit::SetSize(Size { unit: Unit::Inch, factor });
    for (edit, word) in [
        (Edit::SetName("  ".into()), "letter"),
        (Edit::RenameCut { cut: CutId(1), name: String::new() }, "letter"),
        (Edit::RemoveCut(CutId(2)), "no cut 2"),
        (Edit::MoveCut { cut: CutId(7), to: 0 }, "no cut 7"),
        (Edit::SetCutEnabled { cut: CutId(0), enabled: true }, "no cut 0"),
        (Edit::SetCutPlane { cut: CutId(1), plane: nowhere }, "finite"),
        (
            Edit::AddCut {
                name: String::new(),
                part: PartId::MAIN,
                plane: spinning,
                form: CutForm::Flat,
                scope: Scope::All,
            },
            "finite",
        ),
        (Edit::SetCutPlane { cut: CutId(1), plane: edge_on }, "another axis"),
        (measure([1.0; 3], [1.0; 3]), "the same"),
        (measure([1.0; 3], [1.0, 2.0, f64::NAN]), "finite"),
        (Edit::AddMeasure { part: PartId(3), what: distance([0.0; 3], [1.0; 3]) }, "no loose part 3"),
        (Edit::RemoveMeasure(MeasureId(1)), "no measure 1"),
        (inch(0.0), "not by 0"),
        (inch(-2.0), "not by -2"),
        (inch(f64::NAN), "not by NaN"),
        (inch(f64::MAX), "positive"),
        (Edit::SetBed(Bed::rectangle(220.0, 220.0, -1.0)), "height"),
        (Edit::SetBed(Bed { margin_mm: 110.0, ..Bed::rectangle(220.0, 300.0, 250.0) }), "margin and room"),
    ] {
        let error = edit.apply(&recipe).expect_err(&format!("{edit:?}")).to_string();
        assert!(error.contains(word), "{error}");
    }
}

#[test]
fn a_project_without_identities_left_takes_no_more_cuts() {
    let recipe = Recipe { next_cut: CutId::LAST, ..with_cuts(&["brow"]) };
    let edit = Edit::AddCut {
        name: String::new(),
        part: PartId::MAIN,
        plane: CutPlane::square(Axis::X, 1.0),
        form: CutForm::Flat,
        scope: Scope::All,
    };
    let full = edit.apply(&recipe).unwrap();
    assert_eq!(full.cuts[1].id, CutId::LAST);
    assert_eq!(edit.apply(&full), Err(EditError::NoCutIdLeft));
}

#[test]
fn a_cut_without_a_name_is_called_by_its_number() {
    let recipe = with_cuts(&["brow", " ", " crest "]);
    assert_eq!(names(&recipe), ["brow", "cut 2", "crest"]);
}

#[test]
fn a_moved_cut_goes_no_further_than_the_end() {
    let recipe = with_cuts(&["one", "two", "three"]);
    let moved = |cut, to| Edit::MoveCut { cut: CutId(cut), to }.apply(&recipe).unwrap();
    assert_eq!(names(&moved(1, 1)), ["two", "one", "three"]);
    assert_eq!(names(&moved(3, 0)), ["three", "one", "two"]);
    assert_eq!(names(&moved(1, usize::MAX)), ["two", "three", "one"]);
    assert_eq!(moved(2, 1), recipe);
}

#[test]
fn another_model_keeps_its_shells_and_a_found_one_stays_as_it_was() {
    let dropped = Edit::SetShellKept { shell: 1, kept: false }.apply(&with_cuts(&["brow"])).unwrap();
    let source = SourceFile { path: "b.stl".into(), bytes: 1, sha256: "0".repeat(64) };
    let other = Edit::SetStock(source.clone()).apply(&dropped).unwrap();
    assert!(other.dropped_shells.is_empty());
    let found = Edit::RelocateStock(source).apply(&dropped).unwrap();
    assert_eq!(found, Recipe { stock: found.stock.clone(), ..dropped });
}

#[test]
fn measures_follow_the_model_and_leave_with_it() {
    let add = |what| Edit::AddMeasure { part: PartId::MAIN, what };
    let girth = Measured::Girth { at_mm: [10.0, 0.0, 5.0], normal: [1.0, 0.0, 0.0], along_mm: 100.0, taut_mm: 90.0 };
    let recipe = add(distance([0.0, 0.0, 0.0], [0.0, 30.0, 40.0])).apply(&Recipe::new("part")).unwrap();
    let recipe = add(girth).apply(&recipe).unwrap();
    assert_eq!(recipe.measures.iter().map(|measure| measure.id.0).collect::<Vec<_>>(), [1, 2]);
    let larger = Edit::SetSize(Size { unit: Unit::Millimetre, factor: 2.0 }).apply(&recipe).unwrap();
    assert_eq!(larger.measures.iter().map(|measure| measure.what.value()).collect::<Vec<_>>(), [100.0, 200.0]);
    let mirrored = Edit::SetStance(Stance { mirrored: Some(Axis::X), ..Stance::default() }).apply(&recipe).unwrap();
    assert_eq!(mirrored.measures[1].what.places()[0].x, -10.0);
    let less = Edit::RemoveMeasure(MeasureId(1)).apply(&recipe).unwrap();
    let again = add(distance([0.0; 3], [1.0; 3])).apply(&less).unwrap();
    assert_eq!(again.measures.iter().map(|measure| measure.id.0).collect::<Vec<_>>(), [2, 3], "none is used twice");
    let source = SourceFile { path: "other.stl".into(), bytes: 1, sha256: "0".repeat(64) };
    assert!(Edit::SetStock(source).apply(&recipe).unwrap().measures.is_empty(), "of another model they say nothing");
}

#[test]
fn a_project_without_a_name_of_its_own_is_called_as_its_model() {
    let source = |path: &str| SourceFile { path: path.into(), bytes: 1, sha256: "0".repeat(64) };
    let opened = Edit::SetStock(source("models/blade.v2.stl")).apply(&Recipe::new(UNNAMED)).unwrap();
    assert_eq!(opened.name, "blade.v2");
    let another = Edit::SetStock(source("shield.obj")).apply(&opened).unwrap();
    assert_eq!(another.name, "shield", "nobody named it since");
    let named = Edit::SetName("aegis".into()).apply(&another).unwrap();
    assert_eq!(Edit::SetStock(source("blade.stl")).apply(&named).unwrap().name, "aegis");
}
