//! The program: a verb goes to the command line; none opens the window.

use std::process::ExitCode;

use clap::Parser;
use seamwright::cli::{self, Arguments};

fn main() -> ExitCode {
    let Arguments { verb, file: _ } = Arguments::parse();
    match verb {
        Some(verb) => cli::run(&verb),
        None => ExitCode::SUCCESS,
    }
}
