//! `cargo xtask bench`: times the geometry beside general-purpose libraries doing the same work, in one run on one
//! machine, and writes the tables.
//!
//! Every measurement runs in a process of its own, ours too, one after another. Each is given a job and
//! prints an answer: the times of its runs, its memory, and figures of what it made (volumes, lengths), by which the
//! tables tell whether all did the same work. Times are never asserted.
//!
//! The model is the demo helm, made at the wanted sizes and kept under `target/bench`; delete that folder after changing
//! the model.

mod contender;
mod environment;
mod job;
mod machine;
mod memory;
mod memory_table;
mod model;
mod own;
mod own_fit;
mod own_stock;
mod plan;
mod plots;
mod readme;
mod results;
mod rod;
mod spoilt;
mod table;

pub use memory::Counting;
pub use own::answer_job;

use std::fs;
use std::path::{Path, PathBuf};

use machine::Machine;
use model::Model;
use results::Results;
use xtask::process::{cargo, run as run_program};
use xtask::steps::{StepError, Steps, Stopped};
use xtask::workspace;

/// What to measure.
#[derive(Clone, Debug, clap::Args)]
pub struct Options {
    /// Sizes of the model in triangles, like 250000, 100k or 4m [default: 100k,1m,5m; with --quick 100k]
    #[arg(long, value_delimiter = ',', value_parser = model::parse_size)]
    sizes: Vec<usize>,
    /// Few runs, and the tables are printed only: to see that it works
    #[arg(long)]
    quick: bool,
    /// Only the work whose title holds these words, and print the tables only
    #[arg(long, default_value = "")]
    only: String,
    /// Only the work whose title holds these words, put in the place of what the last whole run had of it
    #[arg(long, conflicts_with_all = ["quick", "only", "again"])]
    renew: Option<String>,
    /// Measure nothing: make the tables and plots of the last run anew (with --quick of the last quick one)
    #[arg(long)]
    again: bool,
}

impl Options {
    /// Whether this is only for a look.
    fn is_passing(&self) -> bool {
        self.quick || !self.only.is_empty()
    }

    fn sizes(&self) -> Vec<usize> {
        match (self.sizes.as_slice(), self.quick) {
            ([], true) => vec![100_000],
            ([], false) => vec![100_000, 1_000_000, 5_000_000],
            (sizes, _) => sizes.to_vec(),
        }
    }
}

/// Measures everything, prints the tables and, unless quick, writes them where they are kept.
pub fn run(steps: &mut Steps, options: &Options) -> Result<(), Stopped> {
    if options.again {
        return steps.run("tables and plots", || write(&last_results(options.is_passing())?, options.is_passing()));
    }
    if cfg!(debug_assertions) {
        return steps.run("release build", || Err("unoptimised times would say nothing: cargo xtask bench".into()));
    }
    steps.run("libraries", environment::ensure)?;
    steps.run("twin that counts memory", || {
        run_program(cargo().args([
            "build",
            "--quiet",
            "--release",
            "--package",
            "seamwright-bench",
            "--bin",
            contender::COUNTING,
        ]))
    })?;
    let mut models = Vec::new();
    steps.run("models", || {
        for size in options.sizes() {
            models.push(Model::ensure(size)?);
        }
        Ok(())
    })?;
    let mut results = Results::new(Machine::now());
    let only = options.renew.as_ref().unwrap_or(&options.only);
    steps.run("measurements", || {
        plan::measure_all(&models, options.quick, only, &mut results)?;
        plan::measure_fits(options.quick, only, &mut results)
    })?;
    if let Some(words) = &options.renew {
        let renewed = || {
            let mut whole = last_results(false)?;
            whole.renew(results, words);
            write(&whole, false)
        };
        return steps.run("tables and plots", renewed);
    }
    if !options.only.is_empty() {
        // Plots of everything would be of nothing.
        return steps.run("tables", || {
            println!("{}", table::markdown(&results));
            Ok(())
        });
    }
    steps.run("tables and plots", || write(&results, options.is_passing()))
}

/// The tables and plots. Those of a quick run are for a look and stay under `target`.
fn write(results: &Results, quick: bool) -> Result<(), StepError> {
    let text = table::markdown(results);
    println!("{text}");
    let raw = serde_json::to_string_pretty(results).map_err(|error| error.to_string())?;
    put(results_file(quick), &raw)?;
    let geometry = workspace::root().join("crates/geometry");
    let plots_folder = if quick { folder().join("plots-quick") } else { geometry.join("plots") };
    plots::draw_all(results, &plots_folder)?;
    let readme = workspace::root().join("README.md");
    let with_speed = readme::with_speed(&read(&readme)?, results)?;
    if quick {
        return put(folder().join("README-quick.md"), &with_speed);
    }
    put(readme, &with_speed)?;
    put(geometry.join("BENCHMARKS.md"), &text)
}

fn last_results(quick: bool) -> Result<Results, StepError> {
    let file = results_file(quick);
    serde_json::from_str(&read(&file)?).map_err(|error| format!("{}: {error}", file.display()))
}

fn results_file(quick: bool) -> PathBuf {
    folder().join(if quick { "results-quick.json" } else { "results.json" })
}

fn read(path: &Path) -> Result<String, StepError> {
    fs::read_to_string(path).map_err(|error| format!("could not read {}: {error}", path.display()))
}

fn put(path: PathBuf, text: &str) -> Result<(), StepError> {
    fs::write(&path, text).map_err(|error| format!("could not write {}: {error}", path.display()))?;
    eprintln!("wrote {}", path.display());
    Ok(())
}

/// Models, the libraries and raw results.
fn folder() -> PathBuf {
    workspace::target().join("bench")
}
