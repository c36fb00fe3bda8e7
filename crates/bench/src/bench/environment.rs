//! The Python environment with the libraries that are measured beside ours.

use std::path::PathBuf;

use xtask::{python, steps::StepError, workspace};

/// Makes the environment, or keeps it where it already holds the pinned versions.
pub fn ensure() -> Result<(), StepError> {
    python::ensure_in(&folder(), &scripts().join("requirements.txt"))
}

/// Its interpreter.
pub fn interpreter() -> PathBuf {
    folder().join("bin/python")
}

/// The script that does a job by a library.
pub fn script() -> PathBuf {
    scripts().join("measure.py")
}

fn scripts() -> PathBuf {
    workspace::root().join("tests/reference/speed")
}

fn folder() -> PathBuf {
    super::folder().join("python")
}
