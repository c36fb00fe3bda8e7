//! `cargo xtask <command>`: everything a developer or CI runs, beyond plain `cargo build`.

use std::process::ExitCode;

use clap::{Parser, Subcommand};
use xtask::{check, steps::Steps, test};

fn main() -> ExitCode {
    match Arguments::parse().command {
        Command::Test => Steps::run_all("test", test::run),
        Command::Check => Steps::run_all("check", check::run),
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
}
