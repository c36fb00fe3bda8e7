//! `cargo xtask test`: fetches what the tests need, then runs every check and every test.

use std::{
    env, fs,
    path::{Path, PathBuf},
};

use crate::{
    check, fuzz, packages,
    process::{cargo, run as run_program},
    python,
    steps::{StepError, Steps, Stopped},
    workspace,
};

/// Names the folder of real meshes that tests read, none of which is in the repository.
const MESHES: &str = "SEAMWRIGHT_MESHES";

/// Seconds that each fuzz target runs: long enough to find anew what was found in their first runs, and two minutes for
/// all of them.
const FUZZING_S: u32 = 13;

/// Runs everything; the first step that fails ends the command.
pub fn run(steps: &mut Steps) -> Result<(), Stopped> {
    steps.run("system packages", packages::ensure)?;
    steps.run("reference libraries", python::ensure)?;
    check::run(steps)?;
    let meshes = meshes_folder();
    if meshes.is_none() {
        steps.not_checked(format!("real meshes: {MESHES} names no folder, tests on real meshes do nothing"));
    }
    steps.run("build of all tests", || run_program(cargo().args(["test", "--workspace", "--no-run"])))?;
    let outcome = steps.run("tests", || run_tests(meshes.as_deref()));
    print_tables();
    outcome?;
    fuzz::run_all(steps, FUZZING_S)
}

/// The folder that the variable names, made absolute: tests run in the folder of their crate, not in ours.
fn meshes_folder() -> Option<PathBuf> {
    let folder = std::path::absolute(env::var_os(MESHES)?).ok()?;
    folder.is_dir().then_some(folder)
}

fn run_tests(meshes: Option<&Path>) -> Result<(), StepError> {
    let artefacts = workspace::artefacts();
    fs::create_dir_all(&artefacts).map_err(|error| format!("could not make {}: {error}", artefacts.display()))?;
    let mut command = cargo();
    command
        .args(["test", "--workspace", "--no-fail-fast"])
        .env("SEAMWRIGHT_PYTHON", python::interpreter())
        .env("SEAMWRIGHT_ARTEFACTS", artefacts)
        // Here everything that the tests need has been fetched: a test that can't run must fail, not excuse itself.
        .env("SEAMWRIGHT_TOOLS_REQUIRED", "1");
    match meshes {
        Some(folder) => command.env(MESHES, folder),
        None => command.env_remove(MESHES),
    };
    run_program(&mut command)
}

/// Shows the tables that tests wrote, which the test runner keeps to itself while tests pass.
fn print_tables() {
    let Ok(entries) = fs::read_dir(workspace::artefacts()) else { return };
    let mut paths: Vec<_> = entries.flatten().map(|entry| entry.path()).collect();
    paths.sort();
    for path in paths.iter().filter(|path| path.extension().is_some_and(|extension| extension == "txt")) {
        if let Ok(text) = fs::read_to_string(path) {
            eprintln!("\n{}", text.trim_end());
        }
    }
}
