//! An open project and its file.

use std::fs;
use std::path::{Path, PathBuf};

use seamwright_project::{Document, Edit, Recipe, store};

/// A document with a model, in a folder of its own.
fn document(folder: &Path) -> Document {
    fs::create_dir_all(folder.join("models")).unwrap();
    fs::write(folder.join("models/helm.stl"), "the model").unwrap();
    let mut document = Document::new(Recipe::new("helm"));
    let source = store::describe_source(&folder.join("models/helm.stl"), &document.folder()).unwrap();
    document.apply(&Edit::SetStock(source)).unwrap();
    document
}

fn rename(document: &mut Document, name: &str) {
    document.apply(&Edit::SetName(name.into())).unwrap();
}

fn model_of(recipe: &Recipe, folder: &Path) -> String {
    fs::read_to_string(store::resolve_source(recipe.stock.as_ref().unwrap(), folder)).unwrap_or_default()
}

fn in_folder(folder: &Path, path: &str) -> PathBuf {
    let path = folder.join(path);
    fs::create_dir_all(path.parent().unwrap()).unwrap();
    path
}

#[test]
fn saving_elsewhere_still_finds_the_model_in_every_step() {
    let folder = tempfile::tempdir().unwrap();
    let mut document = document(folder.path());
    assert_eq!(model_of(document.recipe(), &document.folder()), "the model");
    rename(&mut document, "visor");
    rename(&mut document, "jaw");
    document.undo();
    for place in ["one/helm.seamwright.json", "two/deep/helm.seamwright.json", "helm.seamwright.json"] {
        let path = in_folder(folder.path(), place);
        document.save(Some(&path)).unwrap();
        assert_eq!(document.path(), Some(path.as_path()));
        assert!(!document.is_unsaved());
        let steps = document.history().steps();
        assert_eq!(steps.len(), 4);
        assert!(steps[1..].iter().all(|step| model_of(&step.recipe, &document.folder()) == "the model"));
        let opened = Document::open(&path).unwrap();
        assert_eq!(opened.recipe(), document.recipe());
        assert_eq!(model_of(opened.recipe(), &opened.folder()), "the model");
    }
    assert_eq!(document.recipe().stock.as_ref().unwrap().path, "models/helm.stl");
    document.redo();
    assert!(document.is_unsaved());
}

#[test]
fn a_save_that_fails_changes_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let mut document = document(folder.path());
    let path = in_folder(folder.path(), "a/helm.seamwright.json");
    document.save(Some(&path)).unwrap();
    rename(&mut document, "visor");
    let before = document.recipe().clone();
    assert!(document.save(Some(&folder.path().join("models/helm.stl/helm.seamwright.json"))).is_err());
    assert_eq!((document.path(), document.recipe(), document.is_unsaved()), (Some(path.as_path()), &before, true));
    assert_eq!(model_of(document.recipe(), &document.folder()), "the model");
    document.save(None).unwrap();
    assert_eq!(store::open(&path).unwrap(), before);
}

#[test]
fn a_project_without_a_file_asks_for_one() {
    let mut document = Document::new(Recipe::new("helm"));
    assert!(!document.is_unsaved());
    assert!(document.save(None).unwrap_err().to_string().contains("no file yet"));
    rename(&mut document, "visor");
    assert!(document.is_unsaved());
}

#[test]
fn undo_back_to_what_was_saved_leaves_nothing_unsaved() {
    let folder = tempfile::tempdir().unwrap();
    let mut document = document(folder.path());
    document.save(Some(&folder.path().join("helm.seamwright.json"))).unwrap();
    rename(&mut document, "visor");
    assert!(document.is_unsaved());
    document.undo();
    assert!(!document.is_unsaved());
    document.undo();
    assert!(document.is_unsaved());
}

#[test]
fn unsaved_work_without_a_file_is_kept_at_the_spare_place_and_finds_its_model() {
    let folder = tempfile::tempdir().unwrap();
    let spare = in_folder(folder.path(), "state/unsaved");
    let mut document = document(folder.path());
    document.autosave(&spare).unwrap();
    let left = store::recoverable(&spare).unwrap();
    assert_eq!(model_of(&left, spare.parent().unwrap()), "the model");
}

#[test]
fn autosave_follows_the_work() {
    let folder = tempfile::tempdir().unwrap();
    let (path, spare) = (folder.path().join("helm.seamwright.json"), folder.path().join("spare"));
    let mut document = document(folder.path());
    document.save(Some(&path)).unwrap();
    let kept = || store::recoverable(&path).map(|recipe| recipe.name);
    document.autosave(&spare).unwrap();
    assert_eq!(kept(), None);
    rename(&mut document, "visor");
    document.autosave(&spare).unwrap();
    assert_eq!(kept().as_deref(), Some("visor"));

    // Taken back: there is nothing to recover.
    document.undo();
    document.autosave(&spare).unwrap();
    assert_eq!(kept(), None);
    assert!(!store::autosave_path(&path).exists());

    // Saving forgets it, and the same work is kept again when undo brings it back.
    document.redo();
    document.autosave(&spare).unwrap();
    rename(&mut document, "jaw");
    document.save(None).unwrap();
    assert_eq!(kept(), None);
    document.undo();
    document.autosave(&spare).unwrap();
    assert_eq!(kept().as_deref(), Some("visor"));
    assert!(!spare.exists());
}

#[test]
fn recovered_work_is_one_step_that_undo_takes_back() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("helm.seamwright.json");
    store::save(&path, &Recipe::new("saved")).unwrap();
    store::autosave(&path, &Recipe::new("unsaved")).unwrap();
    let mut document = Document::open(&path).unwrap();
    document.recover(store::recoverable(&path).unwrap());
    assert_eq!((document.recipe().name.as_str(), document.is_unsaved()), ("unsaved", true));
    assert_eq!(document.history().undo_title(), Some("recover unsaved work"));
    assert!(document.undo());
    assert_eq!((document.recipe().name.as_str(), document.is_unsaved()), ("saved", false));
}

#[test]
fn a_copy_finds_the_model_has_no_file_and_leaves_the_first_one_alone() {
    let folder = tempfile::tempdir().unwrap();
    let mut first = document(folder.path());
    let path = in_folder(folder.path(), "deep/helm.seamwright.json");
    first.save(Some(&path)).unwrap();
    let before = fs::read(&path).unwrap();
    let mut copy = Document::copy_of(&path, |recipe| recipe.name = "visor".into()).unwrap();
    assert_eq!((copy.path(), copy.is_unsaved(), copy.recipe().name.as_str()), (None, false, "visor"));
    assert_eq!(model_of(copy.recipe(), &copy.folder()), "the model");
    rename(&mut copy, "jaw");
    assert!(copy.is_unsaved() && copy.save(None).is_err());
    copy.save(Some(&in_folder(folder.path(), "mine/jaw.seamwright.json"))).unwrap();
    assert_eq!(model_of(copy.recipe(), &copy.folder()), "the model");
    assert_eq!(fs::read(&path).unwrap(), before);
}
