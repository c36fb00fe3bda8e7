//! Line 8: the kit, where it goes on this machine, and what lies there already.

use super::*;

#[test]
fn the_folder_of_a_kit_is_offered_again_another_day_and_is_not_in_the_project() {
    let mut bench = Bench::with_model();
    let project = bench.path("casket.seamwright.json");
    bench.ask(Action::Chosen(seamwright::app::Purpose::SaveAs, project.clone()));
    let elsewhere = bench.path("prints/for the stall");
    bench.ask(Action::WriteKit { folder: elsewhere.clone(), replace: false });
    bench.press(CTRL, Key::S);
    let Bench { folder, harness } = bench;
    drop(harness);

    let mut again = Bench::in_folder(folder);
    again.ask(Action::OpenAny(project.clone()));
    again.open_line("8 Kit");
    assert!(again.sees("for the stall, written just now"), "{:?}", again.texts("pieces in"));
    again.press(CTRL, Key::K);
    assert_eq!(Path::new(&again.value("folder")), elsewhere.canonicalize().unwrap());
    assert!(!std::fs::read_to_string(&project).unwrap().contains("for the stall"), "paths of a machine stay on it");
}

#[test]
fn a_kit_made_before_the_project_had_a_file_is_remembered_once_it_has_one() {
    let mut bench = Bench::with_model();
    let elsewhere = bench.path("prints");
    bench.ask(Action::WriteKit { folder: elsewhere.clone(), replace: false });
    let project = bench.path("casket.seamwright.json");
    bench.ask(Action::Chosen(seamwright::app::Purpose::SaveAs, project.clone()));
    bench.ask(Action::NewNow);
    bench.ask(Action::OpenAny(project));
    bench.press(CTRL, Key::K);
    assert_eq!(Path::new(&bench.value("folder")), elsewhere.canonicalize().unwrap());
}

#[test]
fn files_that_a_larger_kit_left_are_named_now_and_when_the_project_is_opened_again() {
    let mut bench = Bench::with_model();
    let project = bench.path("casket.seamwright.json");
    bench.ask(Action::Chosen(seamwright::app::Purpose::SaveAs, project.clone()));
    let folder = bench.path("kit");
    bench.ask(Action::WriteKit { folder: folder.clone(), replace: false });
    bench.open_line("8 Kit");
    assert!(!bench.sees("earlier kit"), "nothing was there before");
    bench.ask(Action::Edit(Edit::DropShells([2].into())));
    assert_eq!(bench.harness.state().state().pieces().len(), 1);
    bench.ask(Action::WriteKit { folder: folder.clone(), replace: true });
    let told = "1 file of an earlier kit lies there too and belongs to no piece of this one: A2.stl";
    assert!(bench.sees(told), "{:?}", bench.texts("earlier kit"));
    assert!(bench.sees("1 file of an earlier kit lies there too, see line 8"), "wherever the maker is");
    bench.press(CTRL, Key::S);
    bench.ask(Action::OpenAny(project.clone()));
    bench.open_line("8 Kit");
    assert!(bench.sees(told), "{:?}", bench.texts("earlier kit"));
    std::fs::remove_file(folder.join("A2.stl")).unwrap();
    bench.ask(Action::OpenAny(project));
    bench.open_line("8 Kit");
    assert!(!bench.sees("belongs to no piece"), "what was deleted is no news");
}

#[test]
fn a_folder_of_other_files_is_asked_about_once_and_a_new_one_in_it_is_offered_first() {
    let mut bench = Bench::with_model();
    let letters = bench.path("letters");
    std::fs::create_dir(&letters).unwrap();
    std::fs::write(letters.join("to my aunt.txt"), "dear").unwrap();
    bench.ask(Action::WriteKit { folder: letters.clone(), replace: false });
    assert!(bench.sees("Write the kit among other files?"));
    assert!(bench.sees("letters holds other files already: to my aunt.txt."), "{:?}", bench.texts("letters"));
    assert_eq!(std::fs::read_dir(&letters).unwrap().count(), 1, "nothing was written");
    bench.click("into a new folder in it, casket kit");
    assert!(letters.join("casket kit/manifest.json").is_file());
    bench.ask(Action::WriteKit { folder: letters.clone(), replace: false });
    bench.click("elsewhere");
    assert!(bench.sees("Choose a folder for the kit"));
    bench.click("cancel");
    bench.ask(Action::WriteKit { folder: letters.clone(), replace: false });
    bench.click("among them");
    assert!(letters.join("manifest.json").is_file());
    bench.ask(Action::WriteKit { folder: letters, replace: false });
    assert!(bench.sees("Write over an earlier kit?"), "a folder that holds a kit is no strange one");
}
