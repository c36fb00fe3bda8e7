//! The machine, its load and the day, for the head of the tables.

use std::fs;
use std::process::Command;

use serde::{Deserialize, Serialize};

use xtask::{process::output, workspace};

/// Where and when it was measured, and what.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Machine {
    /// The day, like 2026-01-31.
    pub date: String,
    /// The last commit, and whether something in the geometry has been changed since.
    pub commit: String,
    /// Model of the processor.
    pub processor: String,
    /// Cores that we may use.
    pub cores: usize,
    /// Memory, GiB.
    pub memory_gib: f64,
    /// Load average over one minute when the measurements began.
    pub load_at_start: String,
}

impl Machine {
    /// This one, now. What can't be found out is said to be unknown.
    pub fn now() -> Machine {
        Machine {
            date: said_by("date", &["+%F"]),
            commit: commit(),
            processor: line_of("/proc/cpuinfo", "model name").unwrap_or_else(unknown),
            cores: std::thread::available_parallelism().map_or(1, usize::from),
            memory_gib: memory_gib().unwrap_or(f64::NAN),
            load_at_start: load(),
        }
    }
}

/// The load average over one minute.
pub fn load() -> String {
    let load = fs::read_to_string("/proc/loadavg").ok();
    load.and_then(|load| load.split_whitespace().next().map(str::to_owned)).unwrap_or_else(unknown)
}

fn commit() -> String {
    let commit = said_by("git", &["rev-parse", "--short", "HEAD"]);
    let changes = said_by("git", &["status", "--porcelain", "--", "crates/geometry/src"]);
    if changes.is_empty() { commit } else { format!("{commit}, with changes not yet committed") }
}

fn said_by(program: &str, arguments: &[&str]) -> String {
    let said = output(Command::new(program).args(arguments).current_dir(workspace::root()));
    said.map_or_else(|_| unknown(), |said| said.trim().to_owned())
}

fn memory_gib() -> Option<f64> {
    let kib = line_of("/proc/meminfo", "MemTotal")?;
    Some(kib.split_whitespace().next()?.parse::<f64>().ok()? / f64::from(1 << 20))
}

fn line_of(path: &str, name: &str) -> Option<String> {
    let text = fs::read_to_string(path).ok()?;
    let line = text.lines().find_map(|line| line.strip_prefix(name))?;
    Some(line.split_once(':')?.1.trim().to_owned())
}

fn unknown() -> String {
    "unknown".to_owned()
}
