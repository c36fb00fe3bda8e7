//! Paths of sources as seen from the project's folder.

use std::fs;
use std::path::Path;

use seamwright_project::{SourceFile, store};

fn resolve(path: String, folder: &Path) -> std::path::PathBuf {
    store::resolve_source(&SourceFile { path, bytes: 0, sha256: String::new() }, folder)
}

#[test]
fn a_relative_path_leads_back_to_the_file() {
    let root = tempfile::tempdir().unwrap();
    let at = |path: &str| root.path().join(path);
    for folder in ["a/b c/d", "e", "models"] {
        fs::create_dir_all(at(folder)).unwrap();
    }
    for file in ["models/helm.stl", "a/ö #1.stl", "a/b c/d/..stl", "x.stl", "e/back\\slash.stl"] {
        fs::write(at(file), file).unwrap();
        for folder in ["", "a", "a/b c", "a/b c/d", "e", "models", "models/../e", "a/./b c/"] {
            let path = store::relative_path(&at(file), &at(folder));
            assert!(Path::new(&path).is_relative(), "{path}");
            assert_eq!(fs::read_to_string(resolve(path.clone(), &at(folder))).unwrap(), file, "{path} in {folder}");
        }
    }
    assert_eq!(store::relative_path(&at("models/helm.stl"), &at("e")), "../models/helm.stl");
    assert_eq!(store::relative_path(&at("a/../x.stl"), root.path()), "x.stl");
}

#[test]
fn a_file_that_is_not_there_keeps_a_path_of_its_own() {
    let root = tempfile::tempdir().unwrap();
    let at = |path: &str| root.path().join(path);
    fs::create_dir_all(at("a/b")).unwrap();
    for (file, folder, expected) in [
        ("a/gone.stl", "a/b", "../gone.stl"),
        ("a/b/../gone.stl", "a", "gone.stl"),
        ("a/none/../gone.stl", "a", "gone.stl"),
        ("none/gone.stl", "a/b", "../../none/gone.stl"),
        ("gone.stl", "none/../a", "../gone.stl"),
    ] {
        assert_eq!(store::relative_path(&at(file), &at(folder)), expected, "{file} from {folder}");
    }
}

#[test]
fn odd_paths_do_not_panic() {
    for file in ["", "/", "..", ".", "../..", "//", "a/../../.."] {
        for folder in ["", "/", "..", ".", "/none/such"] {
            let _ = resolve(store::relative_path(Path::new(file), Path::new(folder)), Path::new(folder));
        }
    }
}

#[test]
fn an_absolute_source_path_stays_absolute() {
    assert_eq!(resolve("/models/helm.stl".into(), Path::new("/projects")), Path::new("/models/helm.stl"));
}

#[cfg(unix)]
#[test]
fn a_linked_folder_leads_to_the_same_file() {
    let root = tempfile::tempdir().unwrap();
    let at = |path: &str| root.path().join(path);
    fs::create_dir_all(at("real/deep/projects")).unwrap();
    std::os::unix::fs::symlink(at("real/deep/projects"), at("link")).unwrap();
    for file in ["helm.stl", "real/helm.stl", "link/helm.stl"] {
        let gone = store::relative_path(&at(file), &at("link"));
        fs::write(at(file), file).unwrap();
        assert_eq!(fs::read_to_string(resolve(gone, &at("link"))).unwrap(), file);
        let there = store::relative_path(&at(file), &at("link"));
        assert_eq!(fs::read_to_string(resolve(there, &at("link"))).unwrap(), file);
        fs::remove_file(at(file)).unwrap();
    }
}
