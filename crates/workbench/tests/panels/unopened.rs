//! What is said of a file that cannot be opened: where one begins or among the notes, until another one is opened.

use super::*;

/// So often is something written that holds these words.
fn times(bench: &Bench, words: &str) -> usize {
    bench.texts(words).len()
}

#[test]
fn a_model_that_is_none_is_told_among_the_notes_and_on_its_line_with_a_way_out() {
    let mut bench = Bench::new();
    let file = bench.path("torn.stl");
    std::fs::write(&file, "").unwrap();
    bench.drop_file(&file);
    let why = "torn.stl: the file is empty; export the model again";
    assert_eq!(bench.harness.query_all_by_label_contains("choose another model: ").count(), 1);
    assert!(times(&bench, why) >= 2, "{:?}", bench.texts("torn.stl"));
    assert!(!bench.sees("Nothing to note."));
    bench.press(Modifiers::NONE, Key::Num5);
    let link = bench.harness.get_by(|node| node.label().is_some_and(|label| label.starts_with("see the line")));
    link.click();
    bench.settle();
    assert_eq!(bench.harness.state().state().open_line, Some(seamwright::app::state::Line::Stock));
    let good = bench.model("casket.stl");
    bench.ask(Action::NewProjectFrom(good));
    assert!(!bench.sees("the file is empty"));
}

#[test]
fn a_file_that_is_gone_is_told_on_the_start_sheet_until_another_is_opened() {
    let mut bench = Bench::new();
    bench.ask(Action::OpenAny(bench.path("gone.stl")));
    assert!(bench.sees("gone.stl cannot be read") && bench.sees("Choose another file"));
    assert!(bench.sees("Lately on the bench"), "one begins anew there");
    let broken = bench.path("broken.seamwright.json");
    std::fs::write(&broken, "{").unwrap();
    bench.ask(Action::OpenAny(broken));
    assert!(bench.sees("broken.seamwright.json cannot be opened") && !bench.sees("gone.stl"));
    let good = bench.model("casket.stl");
    bench.ask(Action::OpenAny(good));
    assert!(!bench.sees("cannot be opened"));
}

#[test]
fn a_project_that_is_open_stays_and_the_note_of_a_bad_file_beside_it_is_taken_away() {
    let mut bench = Bench::with_model();
    let text = bench.path("shopping.txt");
    std::fs::write(&text, "glue").unwrap();
    bench.drop_file(&text);
    let dropped = bench.texts("shopping.txt is neither a project");
    bench.ask(Action::Chosen(seamwright::app::Purpose::Open, text));
    assert_eq!(bench.texts("shopping.txt is neither a project"), dropped, "the dialog says the same");
    assert!(bench.sees("3 Shells: 3, kept"), "the project is still there");
    let away = bench.harness.get_by(|node| node.label().is_some_and(|label| label.starts_with("dismiss: ")));
    away.click();
    bench.settle();
    assert!(!bench.sees("shopping.txt"));
}

#[test]
fn what_the_dialog_says_of_a_bad_file_is_what_opening_it_says() {
    for (name, holds) in
        [("empty.stl", ""), ("cut.ply", "ply\nformat ascii 1.0\n"), ("none.3mf", "PK"), ("a.obj", "v 1\n")]
    {
        let mut bench = Bench::new();
        std::fs::write(bench.path(name), holds).unwrap();
        bench.press(CTRL, Key::O);
        bench.type_into("folder", &bench.folder.path().display().to_string());
        bench.click(name);
        let end = Instant::now() + Duration::from_secs(30);
        while bench.sees("looking into it…") {
            assert!(Instant::now() < end, "{name}: nothing is told");
            std::thread::sleep(Duration::from_millis(5));
            bench.harness.step();
        }
        bench.harness.step();
        let asked = seamwright::app::glance::glance(&bench.path(name), &seamwright_geometry::Progress::new());
        let seen = asked.unwrap().unwrap().words();
        assert!(bench.sees(&seen), "{name}: {seen}");
        bench.click("open it");
        let failure = bench.harness.state().state().outcome.as_ref().and_then(|outcome| outcome.failure.clone());
        assert!(failure.is_some_and(|failure| failure.text.ends_with(&seen)), "{name}: {seen}");
    }
}

#[test]
fn models_of_every_format_and_name_are_listed_and_opened() {
    let mut bench = Bench::new();
    // The window has the system's fonts; a test has none for these scripts.
    bench.harness.ctx.set_missing_glyph_policy(egui::MissingGlyphPolicy::Tofu);
    let mesh = solids::cuboid(Point::origin(), Point::new(30.0, 40.0, 50.0));
    let long =
        "the very long name of a left pauldron with all its rivets and straps as it was exported in the autumn.obj";
    for name in ["兜の前立て.stl", long, "Ärmel.ply", "наплечник.3mf"] {
        let piece = Piece { name: "part", mesh: &mesh, colour: None };
        let file = bench.path(name);
        write(&file, Format::of_name(&file).unwrap(), &[piece], Overwrite::Refuse).unwrap();
    }
    for i in 0..3000 {
        std::fs::write(bench.path(&format!("model {i}.stl")), "").unwrap();
    }
    for name in ["兜の前立て.stl", long, "Ärmel.ply", "наплечник.3mf"] {
        bench.ask(Action::NewNow);
        bench.press(CTRL, Key::O);
        bench.type_into("folder", &bench.folder.path().display().to_string());
        let rows = bench.harness.query_all_by(|node| node.label().is_some_and(|label| label.ends_with(".stl"))).count();
        assert!((5..40).contains(&rows), "{rows}: rows out of sight cost nothing");
        bench.type_into("file", name);
        assert_eq!(bench.harness.state().state().part_bounds().unwrap().size().z, 50.0, "{name}");
    }
}

#[test]
fn what_holds_no_model_neither_takes_the_place_of_the_open_project_nor_comes_into_it() {
    let mut bench = Bench::with_model();
    bench.new_cut();
    let project = bench.path("casket.seamwright.json");
    bench.ask(Action::Chosen(seamwright::app::Purpose::SaveAs, project.clone()));
    let before = bench.recipe().clone();
    let letter = bench.path("letter.stl");
    std::fs::write(&letter, "dear aunt,\nthe glue has dried").unwrap();
    let ways: [fn(PathBuf) -> Action; 4] = [Action::NewProjectFrom, Action::UseAsStock, Action::UseBeside, |file| {
        Action::Chosen(seamwright::app::Purpose::Open, file)
    }];
    for way in ways {
        bench.ask(way(letter.clone()));
        assert!(bench.sees("letter.stl cannot be read: ") && bench.sees("Choose another file"));
        assert_eq!(*bench.recipe(), before);
        let document = &bench.harness.state().state().document;
        assert_eq!((document.path(), document.is_unsaved()), (Some(project.as_path()), false));
        bench.ask(Action::DismissUnopened);
    }
    // One that holds a model comes in its place.
    let other = bench.model("reliquary.stl");
    bench.ask(Action::NewProjectFrom(other));
    assert_eq!((bench.recipe().name.as_str(), bench.recipe().cuts.len()), ("reliquary", 0));
}
