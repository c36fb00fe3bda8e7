//! Saved files are files like any other.
#![cfg(unix)]

use std::ffi::OsStr;
use std::fs::{self, Permissions};
use std::os::unix::ffi::OsStrExt;
use std::os::unix::fs::{PermissionsExt, symlink};
use std::path::Path;

use seamwright_project::{Recipe, store};

fn mode(path: &Path) -> u32 {
    fs::metadata(path).unwrap().permissions().mode() & 0o777
}

#[test]
fn a_new_file_is_as_readable_as_any_new_file() {
    let folder = tempfile::tempdir().unwrap();
    let (path, any) = (folder.path().join("helm.seamwright.json"), folder.path().join("any"));
    fs::write(&any, "").unwrap();
    for name in ["first", "second"] {
        store::save(&path, &Recipe::new(name)).unwrap();
        assert_eq!(mode(&path), mode(&any));
    }
    store::autosave(&path, &Recipe::new("third")).unwrap();
    assert_eq!(mode(&store::backup_path(&path)), mode(&any));
    assert_eq!(mode(&store::autosave_path(&path)), mode(&any));
}

#[test]
fn a_replaced_file_stays_as_readable_as_it_was() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("helm.seamwright.json");
    store::save(&path, &Recipe::new("first")).unwrap();
    for wanted in [0o600, 0o664, 0o666] {
        fs::set_permissions(&path, Permissions::from_mode(wanted)).unwrap();
        store::save(&path, &Recipe::new(format!("{wanted:o}"))).unwrap();
        assert_eq!(mode(&path), wanted);
    }
}

#[test]
fn a_file_marked_as_read_only_stays() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("helm.seamwright.json");
    store::save(&path, &Recipe::new("first")).unwrap();
    fs::set_permissions(&path, Permissions::from_mode(0o444)).unwrap();
    let error = store::save(&path, &Recipe::new("second")).unwrap_err().to_string();
    assert!(error.contains("read-only"), "{error}");
    assert_eq!(store::open(&path).unwrap().name, "first");
}

#[test]
fn a_link_to_a_project_stays_a_link() {
    let folder = tempfile::tempdir().unwrap();
    let (real, link) = (folder.path().join("real.seamwright.json"), folder.path().join("link.seamwright.json"));
    store::save(&real, &Recipe::new("first")).unwrap();
    symlink(&real, &link).unwrap();
    store::save(&link, &Recipe::new("second")).unwrap();
    assert!(fs::symlink_metadata(&link).unwrap().is_symlink());
    assert_eq!(store::open(&real).unwrap().name, "second");
    assert_eq!(store::open(&store::backup_path(&link)).unwrap().name, "first");
}

#[test]
fn a_source_whose_name_is_no_text_is_refused_with_a_way_out() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join(OsStr::from_bytes(b"h\xe4lm.stl"));
    fs::write(&file, "solid").unwrap();
    let error = store::describe_source(&file, folder.path()).unwrap_err().to_string();
    assert!(error.contains("rename it"), "{error}");
}
