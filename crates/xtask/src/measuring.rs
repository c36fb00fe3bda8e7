//! `cargo xtask bench` and `cargo xtask demo-models`: built when they are wanted, optimised, and started.

use std::{ffi::OsString, process::ExitCode};

use crate::process::cargo;

/// Starts the command of the package `seamwright-bench`. What went wrong, that has said.
pub fn run(command: &str, arguments: &[OsString]) -> ExitCode {
    let mut started = cargo();
    started.args(["run", "--quiet", "--release", "--package", "seamwright-bench", "--", command]).args(arguments);
    match started.status() {
        Ok(status) if status.success() => ExitCode::SUCCESS,
        Ok(_) => ExitCode::FAILURE,
        Err(error) => {
            eprintln!("could not start cargo: {error}");
            ExitCode::FAILURE
        }
    }
}
