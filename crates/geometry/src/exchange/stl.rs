//! Reading STL, binary and text.
//!
//! The two forms are told apart by the length, which a binary file states exactly (84 + 50·facets bytes; Library of
//! Congress, format description fdd000505), not by the word "solid", with which many binary files begin as well.

use super::{ReadError, ReadMesh, ReadProblem, ascii};
use crate::merge::{Facet, merge_exact};
use crate::{EdgeTable, Progress};
use std::fs::File;
use std::io::{BufReader, Cursor, Read, Seek, SeekFrom};
use std::path::Path;
use std::time::Instant;

/// Reads an STL file, binary or text, and merges bit-equal corners.
///
/// Binary: the colours that some programs keep in the attribute bytes and the stored normals are not used; bytes
/// behind the last promised facet are counted in [`ReadMesh::trailing_bytes`]. Text: see the rules of the format in
/// [`parse_stl`]. Facets with a coordinate that is not a finite number are set aside and counted.
///
/// Binary files are read by stl_io's facet iterator: 30 ms for 1 M facets, 0.11 s for 4 M on two cores. Its own merging
/// of corners is not used: it took twice as long as [`merge_exact`] or more in the same runs, on a busy machine
/// (`examples/mesh_speed.rs`).
///
/// Reports the fraction of bytes read to `progress` and stops when it is cancelled.
pub fn read_stl(path: &Path, progress: &Progress) -> Result<ReadMesh, ReadError> {
    let name = path.file_name().unwrap_or(path.as_os_str()).to_string_lossy();
    progress.stage(format!("reading {name}"));
    let read = || {
        let begun = Instant::now();
        let mut file = File::open(path)?;
        let status = file.metadata()?;
        if status.is_file() {
            return read_from(file, status.len(), begun, progress);
        }
        // A pipe or the like, whose length shows only at its end.
        let mut bytes = Vec::new();
        file.read_to_end(&mut bytes)?;
        read_from(Cursor::new(&bytes), bytes.len() as u64, begun, progress)
    };
    read().map_err(|problem| ReadError { path: path.to_owned(), problem })
}

/// As [`read_stl`], from bytes in memory.
///
/// Text files may be written in any letter case, with any line ends, several `solid` blocks after one another, and
/// anything in place of a facet's normal. Every facet must have exactly three vertices and every block its
/// `endsolid`, without which the file was cut short.
pub fn parse_stl(bytes: &[u8], progress: &Progress) -> Result<ReadMesh, ReadProblem> {
    read_from(Cursor::new(bytes), bytes.len() as u64, Instant::now(), progress)
}

/// Facets between two looks at the progress handle.
pub(super) const FACETS_PER_REPORT: usize = 1 << 16;

/// How much of the beginning is looked at to tell text from binary: a whole binary preamble and some facets.
const HEAD: u64 = 1024;
/// Header and facet count.
const PREAMBLE: u64 = 84;
/// Normal, three corners, attribute.
const RECORD: u64 = 50;

/// Facets as they come out of a file, those with odd coordinates sorted out.
#[derive(Debug, Default)]
pub(super) struct Facets {
    good: Vec<Facet>,
    total: usize,
    not_finite: usize,
    first_not_finite: Option<usize>,
}

impl Facets {
    pub(super) fn push(&mut self, facet: Facet) {
        if facet.as_flattened().iter().all(|x| x.is_finite()) {
            self.good.push(facet);
        } else {
            self.first_not_finite.get_or_insert(self.total);
            self.not_finite += 1;
        }
        self.total += 1;
    }

    pub(super) fn total(&self) -> usize {
        self.total
    }
}

enum Form {
    Text,
    Binary { promised: u64, trailing_bytes: u64 },
}

fn read_from(
    mut source: impl Read + Seek,
    length: u64,
    begun: Instant,
    progress: &Progress,
) -> Result<ReadMesh, ReadProblem> {
    progress.check()?;
    let mut head = Vec::new();
    source.by_ref().take(HEAD).read_to_end(&mut head)?;
    source.seek(SeekFrom::Start(0))?;
    let (facets, trailing_bytes) = match form(&head, length)? {
        Form::Text => (ascii::facets(BufReader::with_capacity(1 << 16, source), length, progress)?, 0),
        Form::Binary { promised, trailing_bytes } => (binary_facets(source, promised, progress)?, trailing_bytes),
    };
    let read_s = begun.elapsed().as_secs_f64();
    if facets.total == 0 {
        return Err(ReadProblem::NoFacets);
    }
    if facets.good.is_empty() {
        return Err(ReadProblem::NothingFinite { facets: facets.total });
    }
    progress.check()?;
    progress.report(1.0);

    let begun = Instant::now();
    let merged = merge_exact(&facets.good)
        .map_err(|_| ReadProblem::TooLarge { limit: u64::from(u32::MAX - 1), of: "vertices" })?;
    Ok(ReadMesh {
        mesh: merged.mesh,
        facets: facets.total,
        set_aside_not_finite: facets.not_finite,
        first_not_finite: facets.first_not_finite,
        collapsed: merged.collapsed,
        trailing_bytes,
        read_s,
        merge_s: begun.elapsed().as_secs_f64(),
    })
}

fn form(head: &[u8], length: u64) -> Result<Form, ReadProblem> {
    if length == 0 {
        return Err(ReadProblem::Empty);
    }
    // A text file has no zero bytes; a binary one has some in the first kilobyte: the highest byte of any count
    // below 16.7 million facets, and attributes.
    let text = !head.contains(&0);
    let count = head.get(80..84).and_then(|bytes| bytes.try_into().ok()).map(u32::from_le_bytes).map(u64::from);
    match count {
        Some(promised) if length == PREAMBLE + promised * RECORD => Ok(Form::Binary { promised, trailing_bytes: 0 }),
        _ if text && ascii::begins(head) => Ok(Form::Text),
        None => Err(ReadProblem::NotAMesh),
        Some(_) if text && head.iter().all(|b| !b.is_ascii_control() || b.is_ascii_whitespace()) => {
            Err(ReadProblem::NotAMesh)
        }
        Some(promised) => {
            // The file may have grown since its length was asked for.
            let room = length.saturating_sub(PREAMBLE);
            if room < promised * RECORD {
                return Err(ReadProblem::Truncated { promised, found: room / RECORD });
            }
            Ok(Form::Binary { promised, trailing_bytes: room - promised * RECORD })
        }
    }
}

fn binary_facets(source: impl Read + Seek, promised: u64, progress: &Progress) -> Result<Facets, ReadProblem> {
    let promised = usize::try_from(promised).unwrap_or(usize::MAX);
    if promised > EdgeTable::MAX_FACES {
        return Err(ReadProblem::TooLarge { limit: EdgeTable::MAX_FACES as u64, of: "facets" });
    }
    // The length of the file has been checked against the promise, so this is no more than the file's own size.
    let mut facets = Facets { good: Vec::with_capacity(promised), ..Facets::default() };
    let mut source = Unsolid { source, at: 0 };
    for facet in stl_io::create_stl_reader(&mut source)? {
        facets.push(facet?.vertices.map(|corner| corner.0));
        if facets.total.is_multiple_of(FACETS_PER_REPORT) {
            progress.check()?;
            progress.report(facets.total as f64 / promised as f64);
        }
    }
    Ok(facets)
}

/// A binary file with a line end in place of the first byte of its header: stl_io takes a file whose first
/// line begins with "solid " for text, and reads up to the first line end, wherever that is, to find out.
struct Unsolid<R> {
    source: R,
    at: u64,
}

impl<R: Read> Read for Unsolid<R> {
    fn read(&mut self, buffer: &mut [u8]) -> std::io::Result<usize> {
        let count = self.source.read(buffer)?;
        if self.at == 0 && count > 0 {
            buffer[0] = b'\n';
        }
        self.at += count as u64;
        Ok(count)
    }
}

impl<R: Seek> Seek for Unsolid<R> {
    fn seek(&mut self, to: SeekFrom) -> std::io::Result<u64> {
        self.at = self.source.seek(to)?;
        Ok(self.at)
    }
}
