//! The start sheet, the first job, the manual, and what is left of a breakdown.

use super::*;
use seamwright::app::first_job::JobStep;

/// A window with no model whose start sheet is there to be read.
fn started(folder: tempfile::TempDir) -> Bench {
    let mut bench = Bench::in_folder(folder);
    bench.until("the start sheet", |state| state.start.found.is_some());
    bench
}

/// A row of the start sheet, by how its name begins.
fn row(bench: &mut Bench, begins: &str) {
    let row = bench
        .harness
        .get_by(|node| node.role() == Role::Button && node.label().is_some_and(|label| label.starts_with(begins)));
    row.click();
    bench.settle();
}

#[test]
fn what_was_open_lately_is_listed_opened_again_and_missed_when_it_is_gone() {
    let mut bench = Bench::with_model();
    let project = bench.path("casket.seamwright.json");
    bench.ask(Action::Chosen(seamwright::app::Purpose::SaveAs, project.clone()));
    let Bench { folder, harness } = bench;
    drop(harness);

    let mut again = started(folder);
    assert!(again.sees("Lately on the bench"));
    assert!(again.sees("casket.stl: ") && again.sees("casket.seamwright.json: "));
    row(&mut again, "casket.seamwright.json: ");
    assert_eq!(again.recipe().name, "casket");
    assert!(!again.sees("Lately on the bench"), "the sheet makes room for the model");

    std::fs::remove_file(again.path("casket.stl")).unwrap();
    again.press(Modifiers::NONE, Key::F4);
    again.until("the list", |state| state.start.found.as_ref().is_some_and(|found| found.recents[1].bytes.is_none()));
    assert!(again.sees("not there any more: "));
    again.click("take off the list: casket.stl");
    again.until("the list", |state| state.start.found.as_ref().is_some_and(|found| found.recents.len() == 1));
    assert!(!again.sees("not there any more: "));
    again.press(Modifiers::NONE, Key::Escape);
    assert!(!again.sees("Lately on the bench"));
}

#[test]
fn a_damaged_list_of_recent_files_is_told_and_nothing_else_is_lost() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("recent.json"), "{").unwrap();
    let bench = started(folder);
    assert!(bench.sees("recent.json cannot be opened"));
    assert!(bench.sees("Demos: The Saltgate Sentinel"));
}

#[test]
fn a_demo_opens_as_a_copy_that_is_saved_elsewhere() {
    let mut bench = started(tempfile::tempdir().unwrap());
    row(&mut bench, "glaive: ");
    assert_eq!(bench.recipe().name, "glaive");
    assert!(bench.harness.state().state().document.path().is_none());
    assert!(!bench.harness.state().state().pieces().is_empty(), "its model is found");
    bench.press(CTRL, Key::S);
    assert!(bench.sees("Save the project"), "saving asks where");
    let proposed = PathBuf::from(bench.value("folder"));
    assert!(proposed.is_dir() && !proposed.join("glaive.stl").exists(), "not among the demos: {}", proposed.display());
}

#[test]
fn a_copy_of_a_demo_is_proposed_where_the_maker_saved_last_under_a_name_that_is_free() {
    let mut bench = started(tempfile::tempdir().unwrap());
    row(&mut bench, "helm: ");
    std::fs::create_dir(bench.path("costumes")).unwrap();
    bench.ask(Action::Chosen(seamwright::app::Purpose::SaveAs, bench.path("costumes/helm")));
    assert!(bench.path("costumes/helm.seamwright.json").is_file());
    bench.press(Modifiers::NONE, Key::F4);
    bench.until("the list", |state| state.start.found.is_some());
    row(&mut bench, "helm: ");
    bench.press(CTRL, Key::S);
    assert_eq!(Path::new(&bench.value("folder")), bench.path("costumes").canonicalize().unwrap());
    assert_eq!(bench.value("file"), "helm 2.seamwright.json");
}

#[test]
fn no_saving_writes_over_a_demo_unasked() {
    let folder = tempfile::tempdir().unwrap();
    let demos = folder.path().join("demos");
    std::fs::create_dir(&demos).unwrap();
    let source = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-projects");
    for file in ["helm.seamwright.json", "helm.stl"] {
        std::fs::copy(source.join(file), demos.join(file)).unwrap();
    }
    let demo = demos.join("helm.seamwright.json");
    let before = std::fs::read(&demo).unwrap();
    let mut bench = Bench::with_demos_in(folder, demos.clone());
    // Opened as a file, and not from the start sheet.
    bench.ask(Action::OpenAny(demo.clone()));
    bench.ask(Action::Edit(Edit::SetName("visor".into())));
    bench.press(CTRL, Key::S);
    assert!(bench.sees("Save the project") && bench.value("file") == "visor.seamwright.json");
    bench.type_into("folder", &demos.display().to_string());
    bench.type_into("file", "helm");
    assert!(bench.sees("Replace the demo?"));
    bench.click("keep it");
    assert!(bench.sees("Save the project"), "another place is asked for");
    bench.click("cancel");
    assert_eq!(std::fs::read(&demo).unwrap(), before);
    bench.ask(Action::Chosen(seamwright::app::Purpose::SaveAs, demo.clone()));
    bench.click("replace it");
    assert_ne!(std::fs::read(&demo).unwrap(), before, "whoever says so may");
}

#[test]
fn the_first_job_goes_on_as_its_steps_are_done() {
    let mut bench = started(tempfile::tempdir().unwrap());
    bench.click("show me how: a first job");
    let step = |bench: &Bench| bench.harness.state().state().first_job.as_ref().map(|job| job.step);
    bench.until("the helm", |state| state.first_job.as_ref().is_some_and(|job| job.step == JobStep::Look));
    assert_eq!(bench.recipe().name, "helm");
    let done = |bench: &mut Bench, of: JobStep| {
        assert_eq!(step(bench), Some(of), "it waits for its reader");
        assert!(bench.sees("Done. Go on when you like."));
        bench.click("go on");
        assert!(!bench.sees("Done. Go on"));
    };
    bench.press(Modifiers::ALT, Key::Num1);
    done(&mut bench, JobStep::Look);
    assert!(bench.sees("Set your bed") && bench.sees("3 of 7"));
    bench.press(Modifiers::NONE, Key::Num7);
    bench.press(Modifiers::NONE, Key::Num5);
    done(&mut bench, JobStep::Bed);
    assert!(bench.sees("Press S, then click on the crown"));
    let before = bench.harness.state().state().pieces().len();
    bench.press(Modifiers::NONE, Key::S);
    bench.click_bench([0.0, -100.0]);
    let pieces = bench.harness.state().state().pieces();
    assert_eq!(pieces.len(), before + 1, "one piece is parted into two");
    assert!(pieces.iter().all(|piece| !piece.is_crumb()));
    assert!(!bench.sees("Done. Go on"), "its arrow is still to be dragged");
    let cut = bench.recipe().cuts.last().unwrap().clone();
    let plane = cut.plane.with_offset_mm(cut.plane.offset_mm() + 2.0);
    bench.ask(Action::Edit(Edit::SetCutPlane { cut: cut.id, plane }));
    done(&mut bench, JobStep::Cut);
    bench.press(Modifiers::NONE, Key::Escape);
    bench.click("A1");
    done(&mut bench, JobStep::Verdicts);
    bench.press(Modifiers::NONE, Key::E);
    done(&mut bench, JobStep::Apart);
    bench.press(CTRL, Key::K);
    assert_eq!(bench.value("new folder"), "helm kit", "a folder of its own is proposed");
    let folder = bench.path("a/helm kit");
    bench.type_into("folder", &folder.display().to_string());
    assert!(!folder.exists(), "nothing is made before it is said");
    bench.click("make it and use it");
    bench.until("the kit", |state| state.kit.is_some());
    assert!(folder.join("helm-manifest.json").exists());
    done(&mut bench, JobStep::Kit);
    assert_eq!(step(&bench), Some(JobStep::Done));
    bench.click("put the card away");
    assert_eq!(step(&bench), None);
}

#[test]
fn the_first_job_holds_nothing_up_and_is_left_at_any_time() {
    let mut bench = started(tempfile::tempdir().unwrap());
    bench.click("show me how: a first job");
    bench.until("the helm", |state| state.first_job.as_ref().is_some_and(|job| job.step == JobStep::Look));
    bench.click("go on");
    bench.click("go on");
    bench.click("back");
    assert!(bench.sees("Set your bed"));
    bench.new_cut();
    assert_eq!(bench.recipe().cuts.len(), 5, "four were there, and a step that is not asked for is done all the same");
    bench.click("leave the first job");
    assert!(bench.harness.state().state().first_job.is_none() && bench.recipe().cuts.len() == 5);
}

#[test]
fn the_manual_is_searched_and_turned_to() {
    let mut bench = Bench::with_model();
    bench.press(Modifiers::NONE, Key::F1);
    assert!(bench.sees("The job, from model to kit"));
    bench.harness.event(egui::Event::Text("cotton smokes".into()));
    bench.settle();
    assert!(bench.sees("No cotton gloves"));
    assert!(!bench.sees("The job, from model to kit"));
    bench.harness.get_by_role_and_label(Role::Link, "Safety").click();
    bench.settle();
    assert!(bench.sees("Before you print, glue, sand and wear"));
    bench.click("Commands");
    assert!(bench.sees("cut through points"));
    bench.press(Modifiers::NONE, Key::Escape);
    assert!(bench.harness.state().state().manual.is_none());
}

#[test]
fn a_breakdown_of_an_earlier_run_is_told_once() {
    let folder = tempfile::tempdir().unwrap();
    let reports = folder.path().join("reports");
    std::fs::create_dir_all(&reports).unwrap();
    std::fs::write(reports.join("new-report-7-0.txt"), "what broke").unwrap();
    let mut bench = started(folder);
    assert!(bench.sees("The program broke down the last time.") && bench.sees("It was sent nowhere"));
    bench.click("dismiss");
    let Bench { folder, harness } = bench;
    drop(harness);
    let again = started(folder);
    assert!(!again.sees("broke down") && again.path("reports/report-7-0.txt").exists());
}

#[test]
fn a_file_is_told_of_before_it_is_opened() {
    let mut bench = Bench::new();
    bench.model("casket.stl");
    bench.press(CTRL, Key::O);
    bench.type_into("folder", &bench.folder.path().display().to_string());
    bench.click("casket.stl");
    let end = Instant::now() + Duration::from_secs(30);
    while !bench.sees("faces, 300 × 290 × 180 mm") {
        assert!(Instant::now() < end, "nothing is told");
        std::thread::sleep(Duration::from_millis(5));
        bench.harness.step();
    }
}

#[test]
fn the_first_job_brings_the_line_that_it_asks_for_into_sight() {
    let mut bench = started(tempfile::tempdir().unwrap());
    bench.click("show me how: a first job");
    bench.until("the helm", |state| state.first_job.as_ref().is_some_and(|job| job.step == JobStep::Look));
    let foot = |bench: &Bench| bench.harness.get_by_label(seamwright::bench::ACCESSIBLE_NAME).rect().bottom();
    let shown = |bench: &mut Bench, role: Role, begins: &str| {
        (0..30).for_each(|_| bench.harness.step());
        let node = bench
            .harness
            .get_by(|node| node.role() == role && node.label().is_some_and(|label| label.starts_with(begins)));
        let rect = node.rect();
        assert!(rect.top() > 0.0 && rect.bottom() <= foot(bench), "{begins}: {rect:?} of {}", foot(bench));
    };
    bench.click("go on");
    shown(&mut bench, Role::Button, "7 Lays");
    bench.open_line("7 Lays");
    shown(&mut bench, Role::TextInput, "bed width");
    shown(&mut bench, Role::TextInput, "bed depth");
    for _ in 0..4 {
        bench.click("go on");
    }
    assert!(bench.sees("Write the kit") && bench.sees("7 of 7"));
    shown(&mut bench, Role::Button, "8 Kit");
    bench.open_line("8 Kit");
    shown(&mut bench, Role::Button, "write the kit");
}
