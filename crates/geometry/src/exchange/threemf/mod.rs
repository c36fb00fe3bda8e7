//! Reading 3MF: the core specification 1.4.0 and the production extension (3MF Consortium).
//!
//! A package (`package.rs`) holds models; a model (`model.rs`, `parser.rs`, `elements.rs`) holds objects, which are meshes or put
//! together from others, and items, which place objects (`scene.rs`). quick-xml takes the XML apart and zip the package;
//! the crates for the whole format were looked at and not taken: they hold all of the XML's structure beside the mesh,
//! and say neither what they passed over nor how much they would read of a hostile file.

mod attributes;
mod elements;
mod model;
mod package;
mod parser;
mod scene;

use super::faces::Assembled;
use super::source::Source;
use super::{ReadProblem, Unit};
use crate::Progress;
use model::Model;
use package::Package;
use std::collections::HashMap;
use std::time::Instant;

/// Whether a file begins as a package does.
pub(super) fn begins(head: &[u8]) -> bool {
    head.starts_with(b"PK\x03\x04") || head.starts_with(b"PK\x05\x06")
}

/// Reads all that the build of the package's model places.
pub(super) fn read(
    source: &mut dyn Source,
    length: u64,
    progress: &Progress,
) -> Result<(Assembled, Unit), ReadProblem> {
    let mut package = Package::open(source, length)?;
    let start = package.start_part()?;
    let mut files = vec![Model::read(&mut package, &start, true, progress)?];
    let mut numbers = HashMap::from([(start, 0)]);
    // Only the root model may name others, so one round finds them all.
    for path in files[0].paths() {
        let path = package::resolved("/", &path);
        if !numbers.contains_key(&path) {
            numbers.insert(path.clone(), files.len());
            files.push(Model::read(&mut package, &path, false, progress)?);
        }
    }
    let begun = Instant::now();
    let unit = files[0].unit;
    let mut made = scene::place(files, &numbers, progress)?;
    made.merge_s = begun.elapsed().as_secs_f64();
    Ok((made, unit))
}

/// What is wrong with a place in a package.
fn told(part: &str, what: impl std::fmt::Display) -> ReadProblem {
    ReadProblem::Told(format!("in {part} of this 3MF file: {what}"))
}
