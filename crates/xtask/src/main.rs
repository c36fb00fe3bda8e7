//! `cargo xtask <command>`: everything a developer or CI runs, beyond plain `cargo build`.

use std::{ffi::OsString, process::ExitCode};

use clap::{Parser, Subcommand};
use xtask::{check, fuzz, manual_pictures, measuring, steps::Steps, test};

fn main() -> ExitCode {
    match Arguments::parse().command {
        Command::Test => Steps::run_all("test", test::run),
        Command::Check => Steps::run_all("check", check::run),
        Command::Bench(passed) => measuring::run("bench", &passed.arguments),
        Command::Fuzz(options) => Steps::run_all("fuzz", |steps| fuzz::run(steps, &options)),
        Command::ManualPictures => Steps::run_all("manual-pictures", manual_pictures::run),
        Command::DemoModels(passed) => measuring::run("demo-models", &passed.arguments),
    }
}

/// Developer commands of Seamwright.
#[derive(Debug, Parser)]
#[command(name = "cargo xtask", bin_name = "cargo xtask")]
struct Arguments {
    #[command(subcommand)]
    command: Command,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// Fetch what the tests need, then run every check and every test.
    Test,
    /// Format, lints, documentation, licences and sources of dependencies.
    Check,
    /// Time the geometry beside general-purpose libraries and write crates/geometry/BENCHMARKS.md.
    Bench(Passed),
    /// Run the fuzz targets of the geometry for a while each.
    Fuzz(fuzz::Options),
    /// Make the pictures of the manual anew.
    ManualPictures,
    /// Make the models of the demo projects anew.
    DemoModels(Passed),
}

/// Passed on as it stands, `--help` too.
#[derive(Debug, clap::Args)]
#[command(disable_help_flag = true)]
struct Passed {
    #[arg(trailing_var_arg = true, allow_hyphen_values = true)]
    arguments: Vec<OsString>,
}
