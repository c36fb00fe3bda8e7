//! Licences, bans, sources and known security advisories of every dependency, against `.cargo/deny.toml`.

use std::{path::PathBuf, process::Command};

use crate::{
    process::{cargo, find_program, output, run},
    steps::{StepError, Steps, Stopped},
    workspace,
};

/// The version that is built where cargo-deny is not at hand (about two minutes on two cores).
const CARGO_DENY_VERSION: &str = "0.20.2";

/// Runs cargo-deny. The advisory database is a git repository which is not reachable everywhere: its absence is said
/// and is no failure.
pub fn check(steps: &mut Steps) -> Result<(), Stopped> {
    steps.run("cargo-deny", ensure)?;
    steps.run("licences, bans and sources of dependencies", || {
        run(cargo_deny().args(["check", "licenses", "bans", "sources"]))
    })?;
    match output(cargo_deny().args(["fetch", "db"])) {
        Ok(_) => steps.run("advisories", || run(cargo_deny().args(["check", "--disable-fetch", "advisories"]))),
        Err(reason) => {
            let reason = reason.trim().lines().last().unwrap_or_default();
            steps.not_checked(format!("advisories against dependencies: the database can't be fetched ({reason})"));
            Ok(())
        }
    }
}

fn ensure() -> Result<(), StepError> {
    let program = program();
    if program.is_file() {
        eprintln!("found {}", program.display());
        return Ok(());
    }
    let install = ["install", "--quiet", "--locked", "--version", CARGO_DENY_VERSION, "cargo-deny", "--root"];
    run(cargo().args(install).arg(tools()))
}

fn cargo_deny() -> Command {
    let mut command = Command::new(program());
    command.current_dir(workspace::root());
    command
}

/// The one on the search path, otherwise the one that we build for ourselves.
fn program() -> PathBuf {
    find_program("cargo-deny").unwrap_or_else(|| tools().join("bin/cargo-deny"))
}

fn tools() -> PathBuf {
    workspace::target().join("tools")
}
