//! Tables and pictures that tests leave for a person to look at.

use std::{env, fs, path::PathBuf};

/// The folder for them, made if it is not there: what `SEAMWRIGHT_ARTEFACTS` names, else `target/ci-artefacts`.
pub fn folder() -> PathBuf {
    let folder = match env::var_os("SEAMWRIGHT_ARTEFACTS") {
        Some(folder) => PathBuf::from(folder),
        None => super::root().join("target/ci-artefacts"),
    };
    fs::create_dir_all(&folder).expect("the folder for artefacts can be made");
    folder
}

/// Writes a text there.
pub fn write(name: &str, text: &str) {
    fs::write(folder().join(name), text).expect("an artefact can be written");
}
