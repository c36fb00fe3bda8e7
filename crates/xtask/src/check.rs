//! `cargo xtask check`: format, lints, documentation, and what we depend on.

use crate::{
    dependencies,
    process::{cargo, run as run_program},
    steps::{Steps, Stopped},
};

/// Runs all checks; the first that fails ends the command.
pub fn run(steps: &mut Steps) -> Result<(), Stopped> {
    steps.run("rustfmt", || run_program(cargo().args(["fmt", "--all", "--check"])))?;
    steps.run("clippy", || {
        run_program(cargo().args(["clippy", "--workspace", "--all-targets", "--", "--deny", "warnings"]))
    })?;
    steps.run("documentation", || {
        run_program(cargo().args(["doc", "--workspace", "--no-deps"]).env("RUSTDOCFLAGS", "--deny warnings"))
    })?;
    dependencies::check(steps)
}
