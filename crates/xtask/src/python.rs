//! The Python environment with the reference libraries that our cuts are compared to.

use std::{
    fs,
    path::{Path, PathBuf},
    process::Command,
};

use crate::{process::run, steps::StepError, workspace};

/// Makes the environment under `target`, or keeps it where it already holds the pinned versions.
pub fn ensure() -> Result<(), StepError> {
    ensure_in(&folder(), &workspace::root().join("tests/reference/requirements.txt"))
}

/// Makes an environment in `folder` with what `requirements` pins, or keeps it where it already holds that.
pub fn ensure_in(folder: &Path, requirements: &Path) -> Result<(), StepError> {
    let wanted = fs::read_to_string(requirements).map_err(failed("read", requirements))?;
    let stamp = folder.join("installed.txt");
    if fs::read_to_string(&stamp).is_ok_and(|installed| installed == wanted) {
        eprintln!("the reference libraries are there");
        return Ok(());
    }
    run(Command::new("python3").args(["-m", "venv", "--clear"]).arg(folder))?;
    run(Command::new(folder.join("bin/python"))
        .args([
            "-m",
            "pip",
            "install",
            "--quiet",
            "--disable-pip-version-check",
            "--only-binary=:all:",
            "--requirement",
        ])
        .arg(requirements))?;
    fs::write(&stamp, wanted).map_err(failed("write", &stamp))
}

/// The interpreter of that environment.
pub fn interpreter() -> PathBuf {
    folder().join("bin/python")
}

fn folder() -> PathBuf {
    workspace::target().join("python")
}

fn failed(verb: &str, path: &Path) -> impl Fn(std::io::Error) -> StepError {
    move |error| format!("could not {verb} {}: {error}", path.display())
}
