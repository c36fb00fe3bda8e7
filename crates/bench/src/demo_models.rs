//! `cargo xtask demo-models`: makes the models of the demo projects anew.

use std::path::{Path, PathBuf};

use xtask::{
    steps::{Steps, Stopped},
    workspace,
};

use crate::demo::write_models;

/// Writes the models into `out`, by default where the demo projects expect them, with about `triangles` triangles
/// each, by default as many as are committed.
pub fn run(steps: &mut Steps, triangles: Option<usize>, out: Option<PathBuf>) -> Result<(), Stopped> {
    let out = out.unwrap_or_else(|| workspace::root().join("demo-projects"));
    steps.run("demo models", || {
        let files = write_models(&out, triangles).map_err(|error| format!("{}: {error}", out.display()))?;
        files.iter().for_each(|file| announce(file));
        Ok(())
    })
}

fn announce(file: &Path) {
    eprintln!("wrote {}", file.display());
}
