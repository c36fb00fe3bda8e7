//! Where bytes come from: a file, or memory.

use super::ReadProblem;
use std::fs::File;
use std::io::{Cursor, Read, Seek, SeekFrom};
use std::path::Path;
use std::time::Instant;

/// Bytes that can be gone through more than once, by one worker after another.
pub(super) trait Source: Read + Seek + Send {}

impl<S: Read + Seek + Send> Source for S {}

/// Opens a file and calls `read` with its bytes, their number, and the time of opening.
pub(super) fn with_source<T>(
    path: &Path,
    read: impl FnOnce(&mut dyn Source, u64, Instant) -> Result<T, ReadProblem>,
) -> Result<T, ReadProblem> {
    let begun = Instant::now();
    let mut file = File::open(path)?;
    let status = file.metadata()?;
    if status.is_file() {
        return read(&mut file, status.len(), begun);
    }
    // A pipe or the like, whose length shows only at its end.
    let mut bytes = Vec::new();
    file.read_to_end(&mut bytes)?;
    let length = bytes.len() as u64;
    read(&mut Cursor::new(bytes), length, begun)
}

/// How much of the beginning is looked at to tell formats apart: a binary STL's preamble and some facets, or some lines
/// of any text.
const HEAD: u64 = 1024;

/// The first bytes; the source is then at its beginning again.
pub(super) fn head(source: &mut dyn Source) -> Result<Vec<u8>, ReadProblem> {
    let mut head = Vec::new();
    source.seek(SeekFrom::Start(0))?;
    source.take(HEAD).read_to_end(&mut head)?;
    source.seek(SeekFrom::Start(0))?;
    Ok(head)
}
