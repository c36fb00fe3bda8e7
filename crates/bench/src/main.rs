//! The demo models, and the speed of the geometry beside general-purpose libraries. Called by `cargo xtask`.

use std::{path::PathBuf, process::ExitCode};

use clap::{Parser, Subcommand};
use seamwright_bench::{bench, demo_models};
use xtask::steps::Steps;

/// That of the program, so that benchmarks measure what the maker gets.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

fn main() -> ExitCode {
    match Arguments::parse().command {
        Command::Bench(options) => Steps::run_all("bench", |steps| bench::run(steps, &options)),
        Command::BenchJob => match bench::answer_job(None) {
            Ok(()) => ExitCode::SUCCESS,
            Err(error) => {
                eprintln!("{error}");
                ExitCode::FAILURE
            }
        },
        Command::DemoModels { triangles, out } => {
            Steps::run_all("demo-models", |steps| demo_models::run(steps, triangles, out))
        }
    }
}

/// The demo models of Seamwright, and its speed.
#[derive(Debug, Parser)]
#[command(name = "cargo xtask", bin_name = "cargo xtask")]
struct Arguments {
    #[command(subcommand)]
    command: Command,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// Time the geometry beside general-purpose libraries and write crates/geometry/BENCHMARKS.md.
    Bench(bench::Options),
    /// Do one job of the bench, read from standard input: what it calls itself with.
    #[command(hide = true)]
    BenchJob,
    /// Make the models of the demo projects anew.
    DemoModels {
        /// About how many triangles each model gets [default: as many as are committed]
        #[arg(long)]
        triangles: Option<usize>,
        /// The folder to write to [default: demo-projects]
        #[arg(long)]
        out: Option<PathBuf>,
    },
}
