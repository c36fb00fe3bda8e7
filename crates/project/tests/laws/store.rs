//! Saving and opening: nothing is lost.

use std::fs;
use std::path::Path;

use proptest::prelude::*;
use seamwright_project::{Recipe, store};

fn names_in(folder: &Path) -> Vec<String> {
    let mut names: Vec<String> =
        fs::read_dir(folder).unwrap().map(|e| e.unwrap().file_name().into_string().unwrap()).collect();
    names.sort();
    names
}

#[test]
fn saving_keeps_the_file_of_before() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("helm.seamwright.json");
    for name in ["first", "second", "third"] {
        store::save(&path, &Recipe::new(name)).unwrap();
    }
    assert_eq!(store::open(&path).unwrap().name, "third");
    assert_eq!(store::open(&store::backup_path(&path)).unwrap().name, "second");
    assert_eq!(names_in(folder.path()), ["helm.seamwright.json", "helm.seamwright.json.before"]);
}

#[test]
fn saving_twice_without_a_change_keeps_the_version_before() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("helm.seamwright.json");
    for name in ["first", "second", "second"] {
        store::save(&path, &Recipe::new(name)).unwrap();
    }
    assert_eq!(store::open(&store::backup_path(&path)).unwrap().name, "first");
}

#[test]
fn a_damaged_file_does_not_push_out_the_last_good_one() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("helm.seamwright.json");
    store::save(&path, &Recipe::new("first")).unwrap();
    store::save(&path, &Recipe::new("second")).unwrap();
    fs::write(&path, "{\"format\": \"seamwri").unwrap();
    let error = store::open(&path).unwrap_err().to_string();
    assert!(error.contains("helm.seamwright.json.before") && error.contains("line 1"), "{error}");
    store::save(&path, &Recipe::new("third")).unwrap();
    assert_eq!(store::open(&path).unwrap().name, "third");
    assert_eq!(store::open(&store::backup_path(&path)).unwrap().name, "first");
}

#[test]
fn a_file_of_a_newer_version_is_kept_when_it_is_replaced() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("helm.seamwright.json");
    let newer = r#"{"format": "seamwright-project", "version": 999}"#;
    fs::write(&path, newer).unwrap();
    store::save(&path, &Recipe::new("older")).unwrap();
    assert_eq!(fs::read_to_string(store::backup_path(&path)).unwrap(), newer);
}

#[test]
fn unsaved_work_is_offered_until_it_is_saved_or_declined() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("helm.seamwright.json");
    let (saved, unsaved) = (Recipe::new("saved"), Recipe::new("unsaved"));
    store::save(&path, &saved).unwrap();
    assert_eq!(store::recoverable(&path), None);
    store::autosave(&path, &saved).unwrap();
    assert_eq!(store::recoverable(&path), None, "it is what the file holds");
    store::autosave(&path, &unsaved).unwrap();
    assert_eq!(store::recoverable(&path), Some(unsaved.clone()));
    assert_eq!(store::open(&path).unwrap(), saved, "the file itself is untouched");
    store::discard_autosave(&path);
    assert_eq!(store::recoverable(&path), None);
    store::autosave(&path, &unsaved).unwrap();
    store::save(&path, &Recipe::new("later")).unwrap();
    assert_eq!(store::recoverable(&path), None);
    fs::write(store::autosave_path(&path), "half a fi").unwrap();
    assert_eq!(store::recoverable(&path), None);
}

#[test]
fn unsaved_work_is_offered_where_the_file_itself_is_damaged() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("helm.seamwright.json");
    fs::write(&path, "").unwrap();
    store::autosave(&path, &Recipe::new("unsaved")).unwrap();
    assert_eq!(store::recoverable(&path).unwrap().name, "unsaved");
}

#[test]
fn a_folder_that_cannot_be_written_gives_an_error_with_a_way_out() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("notes.txt");
    fs::write(&file, "mine").unwrap();
    for path in [file.join("helm.seamwright.json"), folder.path().join("none/helm.seamwright.json")] {
        for result in [store::save(&path, &Recipe::new("helm")), store::autosave(&path, &Recipe::new("helm"))] {
            let error = result.unwrap_err().to_string();
            assert!(error.contains("helm.seamwright.json") && error.contains("choose another folder"), "{error}");
        }
        assert!(store::open(&path).unwrap_err().to_string().contains("cannot be read"));
        assert_eq!(store::recoverable(&path), None);
    }
    assert_eq!(fs::read_to_string(&file).unwrap(), "mine");
    assert_eq!(names_in(folder.path()), ["notes.txt"]);
}

#[test]
fn a_folder_of_the_same_name_stays() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("helm.seamwright.json");
    fs::create_dir(&path).unwrap();
    fs::write(path.join("inside"), "mine").unwrap();
    assert!(store::save(&path, &Recipe::new("helm")).is_err());
    assert!(store::open(&path).is_err());
    assert_eq!(names_in(folder.path()), ["helm.seamwright.json"]);
    assert_eq!(fs::read_to_string(path.join("inside")).unwrap(), "mine");
}

proptest! {
    #[test]
    fn no_bytes_make_opening_panic(bytes in prop::collection::vec(any::<u8>(), 0..300)) {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("any.seamwright.json");
        fs::write(&path, &bytes).unwrap();
        let error = store::open(&path).unwrap_err().to_string();
        prop_assert!(error.contains("any.seamwright.json"), "{}", error);
    }
}

#[test]
fn text_that_is_not_utf_8_is_refused_with_its_place() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("helm.seamwright.json");
    let mut bytes = seamwright_project::saved::to_json(&Recipe::new("h@lm")).into_bytes();
    let at = bytes.iter().position(|b| *b == b'@').unwrap();
    // An "ä" in Latin-1.
    bytes[at] = 0xe4;
    fs::write(&path, bytes).unwrap();
    let error = store::open(&path).unwrap_err().to_string();
    assert!(error.contains(&format!("byte {at}")) && error.contains("UTF-8"), "{error}");
}
