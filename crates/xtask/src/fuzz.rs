//! `cargo xtask fuzz`: runs the fuzz targets of the geometry, each for a while, and fails on a finding.
//!
//! The targets are a workspace of their own (`crates/geometry/fuzz`). They link LLVM's fuzzer, which the crate
//! `libfuzzer-sys` brings as source, and are instrumented by flags that the stable compiler takes: nothing is installed,
//! and no other toolchain is needed. What is learnt stays under `target/fuzz/corpus` for the next run.

use std::{
    fs::{self, File},
    path::{Path, PathBuf},
    process::Command,
};

use crate::{
    process::{cargo, output, run as run_program},
    steps::{StepError, Steps, Stopped},
    workspace,
};

/// All targets.
const TARGETS: &[&str] = &["cut", "profile", "bore", "section", "bodies", "stl", "model", "obj", "ply", "threemf"];

/// What libFuzzer learns from: edges taken and numbers compared (LLVM, "SanitizerCoverage").
const INSTRUMENTED: &str = "--cfg fuzzing -Cpasses=sancov-module -Cllvm-args=-sanitizer-coverage-level=4 \
                            -Cllvm-args=-sanitizer-coverage-inline-8bit-counters \
                            -Cllvm-args=-sanitizer-coverage-pc-table \
                            -Cllvm-args=-sanitizer-coverage-trace-compares";

/// How the targets run. An input that takes 10 s or 1 GiB is a finding, for a thousand bytes make some hundred facets;
/// longer inputs make more facets than are used.
const LIMITS: &[&str] = &["-timeout=10", "-rss_limit_mb=1024", "-max_len=1024"];

/// What to run.
#[derive(Clone, Debug, clap::Args)]
pub struct Options {
    /// Seconds that each target runs
    #[arg(long, default_value_t = 60)]
    seconds: u32,
    /// Targets to run: cut, profile, bore, section, bodies, stl, model, obj, ply, threemf [default: all]
    #[arg(long, value_delimiter = ',')]
    targets: Vec<String>,
}

/// Runs what was asked for.
pub fn run(steps: &mut Steps, options: &Options) -> Result<(), Stopped> {
    let wanted = |target: &&&str| options.targets.is_empty() || options.targets.iter().any(|t| t == **target);
    let targets: Vec<&str> = TARGETS.iter().filter(wanted).copied().collect();
    if let Some(unknown) = options.targets.iter().find(|t| !TARGETS.contains(&t.as_str())) {
        return steps.run("fuzzing", || Err(format!("there is no target `{unknown}`, only {}", TARGETS.join(", "))));
    }
    run_targets(steps, &targets, options.seconds)
}

/// Runs all targets, each for so many seconds.
pub fn run_all(steps: &mut Steps, seconds: u32) -> Result<(), Stopped> {
    run_targets(steps, TARGETS, seconds)
}

fn run_targets(steps: &mut Steps, targets: &[&str], seconds: u32) -> Result<(), Stopped> {
    if !cfg!(unix) {
        steps.not_checked("fuzzing: libFuzzer is built for Unix-like systems here");
        return Ok(());
    }
    let mut programs = PathBuf::new();
    steps.run("build of the fuzz targets", || {
        programs = build()?;
        Ok(())
    })?;
    for target in targets {
        steps.run(&format!("fuzzing: {target}"), || fuzz(&programs.join(target), target, seconds))?;
    }
    Ok(())
}

/// Builds all targets and gives the folder that they lie in.
fn build() -> Result<PathBuf, StepError> {
    let host = host()?;
    let mut command = cargo();
    command
        .args(["build", "--release", "--manifest-path", "crates/geometry/fuzz/Cargo.toml"])
        .arg("--target-dir")
        .arg(folder())
        // Named, so that build scripts and macros are not instrumented: they link no fuzzer.
        .args(["--target", &host])
        .env_remove("CARGO_ENCODED_RUSTFLAGS")
        .env("RUSTFLAGS", INSTRUMENTED);
    run_program(&mut command)?;
    Ok(folder().join(host).join("release"))
}

fn host() -> Result<String, StepError> {
    let told = output(Command::new(std::env::var_os("RUSTC").unwrap_or("rustc".into())).arg("-vV"))?;
    let host = told.lines().find_map(|line| line.strip_prefix("host: "));
    host.map(str::to_owned).ok_or_else(|| format!("rustc does not say which system it runs on:\n{told}"))
}

fn fuzz(program: &Path, target: &str, seconds: u32) -> Result<(), StepError> {
    let [corpus, findings, logs] = ["corpus", "findings", "logs"].map(|name| folder().join(name));
    let (corpus, findings) = (corpus.join(target), findings.join(target));
    if findings.is_dir() {
        // Those of earlier runs are in the tests by now, or come again.
        fs::remove_dir_all(&findings).map_err(failed("clear", &findings))?;
    }
    for folder in [&corpus, &findings, &logs] {
        fs::create_dir_all(folder).map_err(failed("make", folder))?;
    }
    let log = logs.join(format!("{target}.txt"));
    let mut command = fuzzer(program);
    command
        .arg(&corpus)
        .args(LIMITS)
        .arg(format!("-max_total_time={seconds}"))
        .arg(format!("-artifact_prefix={}/", findings.display()))
        .stderr(File::create(&log).map_err(failed("make", &log))?);
    let outcome = run_program(&mut command);
    let said = fs::read_to_string(&log).map_err(failed("read", &log))?;
    match outcome {
        Ok(()) => {
            eprintln!("{}", said.lines().rfind(|line| line.starts_with("Done")).unwrap_or("it did not say how often"));
            Ok(())
        }
        Err(error) => Err(format!("{error}\n{}", finding(program, &findings, &said))),
    }
}

/// What was found, with the code of a test.
fn finding(program: &Path, findings: &Path, said: &str) -> String {
    let complaint = said.lines().skip_while(|line| !line.contains("panicked") && !line.contains("ERROR")).take(3);
    let mut told = complaint.collect::<Vec<_>>().join("\n");
    let Some(input) = fs::read_dir(findings).ok().and_then(|mut entries| entries.next()?.ok()) else { return told };
    told += &format!("\ninput: {}\n", input.path().display());
    let code = findings.join("code.txt");
    _ = output(fuzzer(program).arg("-timeout=5").arg(input.path()).env("RUST_LIBFUZZER_DEBUG_PATH", &code));
    told + &fs::read_to_string(&code).unwrap_or_default()
}

/// The program on one thread, so that the same input always takes the same way.
fn fuzzer(program: &Path) -> Command {
    let mut command = Command::new(program);
    command.env("RAYON_NUM_THREADS", "1");
    command
}

/// Programs, inputs and findings.
fn folder() -> PathBuf {
    workspace::target().join("fuzz")
}

fn failed(verb: &str, path: &Path) -> impl Fn(std::io::Error) -> StepError {
    move |error| format!("could not {verb} {}: {error}", path.display())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_target_is_run() {
        let manifest = fs::read_to_string(workspace::root().join("crates/geometry/fuzz/Cargo.toml")).unwrap();
        let named = manifest.lines().filter_map(|line| line.strip_prefix("path = \"targets/")?.strip_suffix(".rs\""));
        assert_eq!(named.collect::<Vec<_>>(), TARGETS);
    }
}
