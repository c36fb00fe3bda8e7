//! Things outside the repository that some tests need. `cargo xtask test` fetches them; under plain `cargo test` they
//! may be missing, and then the test says so instead of passing in silence.

use std::{env, path::PathBuf};

/// The Python with the reference libraries, named by `SEAMWRIGHT_PYTHON`.
pub fn python() -> Option<PathBuf> {
    let python = env::var_os("SEAMWRIGHT_PYTHON").map(PathBuf::from);
    required(python, "SEAMWRIGHT_PYTHON names no Python with the reference libraries")
}

/// A program on the search path.
pub fn program(name: &str) -> Option<PathBuf> {
    let path = env::var_os("PATH").unwrap_or_default();
    let found = env::split_paths(&path).map(|folder| folder.join(name)).find(|file| file.is_file());
    required(found, &format!("the program {name} is not installed"))
}

/// The folder of real meshes, named by `SEAMWRIGHT_MESHES`: no part of the repository, so never required.
pub fn meshes() -> Option<PathBuf> {
    let folder = env::var_os("SEAMWRIGHT_MESHES").map(PathBuf::from).filter(|folder| folder.is_dir());
    if folder.is_none() {
        super::say("NOT TESTED: real meshes (SEAMWRIGHT_MESHES names no folder)");
    }
    folder
}

fn required(found: Option<PathBuf>, complaint: &str) -> Option<PathBuf> {
    if found.is_none() {
        let advice = "`cargo xtask test` fetches what is needed";
        assert!(env::var_os("SEAMWRIGHT_TOOLS_REQUIRED").is_none(), "{complaint}; {advice}");
        super::say(&format!("NOT TESTED: {complaint}; {advice}"));
    }
    found
}
