//! The program: a verb goes to the command line; none opens the window.

use std::path::Path;
use std::process::ExitCode;

use clap::Parser;
use seamwright::cli::{self, Arguments};
use seamwright::window;

/// Keeps freed memory at hand for a while and asks for large pages: with the system's own allocator, half the time of a
/// cut goes into getting fresh pages for its result.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

fn main() -> ExitCode {
    let Arguments { verb, file, .. } = Arguments::parse();
    match verb {
        Some(verb) => cli::run(&verb),
        None => open_window(file.as_deref()),
    }
}

fn open_window(file: Option<&Path>) -> ExitCode {
    match window::run(file) {
        Ok(()) => ExitCode::SUCCESS,
        Err(no_window) => {
            eprintln!("error: {no_window}");
            ExitCode::from(cli::exit::BAD)
        }
    }
}
