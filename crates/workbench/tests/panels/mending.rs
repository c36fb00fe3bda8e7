//! What is found at a close look, what is mended, and how the line of the model tells it.

use super::*;

/// A box whose lid is missing, and a rod of 6 × 6 mm through its floor.
fn open_box(bench: &Bench) -> PathBuf {
    let mut cup = solids::cuboid(Point::new(0.0, 0.0, 0.0), Point::new(40.0, 40.0, 30.0));
    cup.triangles.retain(|face| face.iter().any(|v| cup.vertices[*v as usize].z < 15.0));
    let rod = solids::cuboid(Point::new(17.0, 17.0, -20.0), Point::new(23.0, 23.0, 10.0));
    let file = bench.path("cup.stl");
    write_stl(&file, &solids::joined(&[&cup, &rod]), "cup", Overwrite::Refuse).unwrap();
    file
}

fn with_open_box() -> Bench {
    let mut bench = Bench::new();
    let file = open_box(&bench);
    bench.ask(Action::OpenAny(file));
    bench
}

#[test]
fn what_the_mends_closed_is_told_as_closed_with_what_the_file_had() {
    let mut bench = with_open_box();
    assert!(bench.sees("Not closed: 4 open edges. Pieces may stay open there"));
    bench.click("look closely");
    bench.click("mend: fill holes");
    assert!(bench.sees("closed after mending: every edge joins two faces"));
    assert!(bench.sees("in the file: 4 open edges") && !bench.sees("Not closed"));
    bench.open_line("3 Shells");
    assert!(bench.sees("closed by mending") && !bench.sees("mm, open"));
    bench.press(CTRL, Key::Z);
    assert!(bench.sees("mm, open"));
}

#[test]
fn each_shell_tells_for_itself_whether_it_was_closed_and_the_model_tells_which_is_open() {
    let mut bench = Bench::new();
    // Two cups: one lacks its lid, a flat hole; the other its lid and the side at its left, a bent one.
    let cup = |x_mm: f64, lacks: &dyn Fn(&Point) -> bool, lid: f64| {
        let mut cup = solids::cuboid(Point::new(x_mm, 0.0, 0.0), Point::new(x_mm + 40.0, 40.0, 30.0));
        let corner = |v: &u32| cup.vertices[*v as usize];
        let kept: Vec<[u32; 3]> = cup.triangles.clone();
        let gone = |face: &[u32; 3]| face.iter().all(|v| corner(v).z == lid) || face.iter().all(|v| lacks(&corner(v)));
        let kept = kept.into_iter().filter(|face| !gone(face)).collect();
        cup.triangles = kept;
        cup
    };
    let (flat, bent) = (cup(0.0, &|_| false, 30.0), cup(100.0, &|p| p.x == 100.0, 30.0));
    let file = bench.path("cups.stl");
    write_stl(&file, &solids::joined(&[&flat, &bent]), "cups", Overwrite::Refuse).unwrap();
    bench.ask(Action::OpenAny(file));
    let step = seamwright_geometry::mend::MendStep::FillHoles { most_edges: 200, curved: false };
    bench.ask(Action::Edit(Edit::SetMends(vec![seamwright_project::Mend { step, enabled: true }])));
    assert!(
        bench.sees("Still not closed after mending: shell 2 of 2 is open (in the file:"),
        "{:?}",
        bench.texts("closed")
    );
    bench.open_line("3 Shells");
    let told = |bench: &Bench, words: &str| bench.texts(words).len();
    assert_eq!((told(&bench, "closed by mending"), told(&bench, "still open after mending")), (1, 1));
    bench.ask(Action::Edit(Edit::DropShells([1].into())));
    bench.open_line("1 Stock");
    assert!(bench.sees("closed after mending: every edge joins two faces") && !bench.sees("Still not closed"));
}

#[test]
fn the_list_of_findings_outlives_a_mend_and_strikes_out_what_it_was_for() {
    let mut bench = with_open_box();
    bench.click("look closely");
    let found = bench.texts("1 hole, the longest");
    assert_eq!(found.len(), 1, "{found:?}");
    assert!(bench.sees("mend: fill holes") && !bench.sees("As found before the last mends"));
    bench.click("mend: fill holes");
    assert!(bench.sees("As found before the last mends:"), "the list is still there");
    assert!(bench.sees("1 hole, the longest") && !bench.sees("mend: fill holes"), "what was mended asks no more");
    bench.click("look again");
    assert!(!bench.sees("1 hole, the longest") && !bench.sees("As found before"));
}

#[test]
fn mends_that_had_nothing_to_do_are_one_line() {
    let mut bench = with_open_box();
    bench.click("mend all that is safe");
    let mends = bench.recipe().mends.len();
    assert!(mends > 2);
    assert!(bench.sees(&format!("{mends} mends had nothing to do")), "{:?}", bench.texts("nothing to do"));
    let undo = bench.texts("undo ");
    assert!(undo.iter().all(|words| words.chars().count() < 70), "a button is not as wide as a sentence: {undo:?}");
    bench.click("take away");
    assert!(bench.recipe().mends.is_empty());
}

#[test]
fn room_is_offered_by_the_names_of_the_list_of_shells() {
    let mut bench = with_open_box();
    bench.click("look closely");
    assert!(bench.sees("cut shell 2 out of shell 1"));
    bench.click("cut shell 1 out of shell 2");
    assert_eq!((bench.recipe().reliefs[0].shell, bench.recipe().reliefs[0].by), (1, 0));
}
