//! `cargo xtask <command>`: everything a developer or CI runs, beyond plain `cargo build`.

use std::{path::PathBuf, process::ExitCode};

use clap::{Parser, Subcommand};
use xtask::{bench, check, demo_models, fuzz, manual_pictures, steps::Steps, test};

/// That of the program, so that benchmarks measure what the maker gets.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

fn main() -> ExitCode {
    match Arguments::parse().command {
        Command::Test => Steps::run_all("test", test::run),
        Command::Check => Steps::run_all("check", check::run),
        Command::Bench(options) => Steps::run_all("bench", |steps| bench::run(steps, &options)),
        Command::BenchJob => match bench::answer_job(None) {
            Ok(()) => ExitCode::SUCCESS,
            Err(error) => {
                eprintln!("{error}");
                ExitCode::FAILURE
            }
        },
        Command::Fuzz(options) => Steps::run_all("fuzz", |steps| fuzz::run(steps, &options)),
        Command::ManualPictures => Steps::run_all("manual-pictures", manual_pictures::run),
        Command::DemoModels { triangles, out } => {
            Steps::run_all("demo-models", |steps| demo_models::run(steps, triangles, out))
        }
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
    Bench(bench::Options),
    /// Do one job of the bench, read from standard input: what it calls itself with.
    #[command(hide = true)]
    BenchJob,
    /// Run the fuzz targets of the geometry for a while each.
    Fuzz(fuzz::Options),
    /// Make the pictures of the manual anew.
    ManualPictures,
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
