//! Reading STL, binary and text.
//!
//! The two forms are told apart by the length, which a binary file states exactly (84 + 50·facets bytes; Library of
//! Congress, format description fdd000505), not by the word "solid", with which many binary files begin as well.

use super::faces::merging;
use super::source::{Source, head, with_source};
use super::{ReadError, ReadMesh, ReadProblem, ascii, binary};
use crate::Progress;
use crate::merge::{FACETS_PER_RUN, Facet, Merged, Run, RunMerger, TooManyVertices, join_runs};
use std::io::{Cursor, SeekFrom};
use std::path::Path;
use std::time::Instant;

/// Reads an STL file, binary or text, and merges bit-equal corners.
///
/// Binary: the colours that some programs keep in the attribute bytes and the stored normals are not used; bytes
/// behind the last promised facet are counted in [`ReadMesh::trailing_bytes`]. Text: see the rules of the format in
/// [`parse_stl`]. Facets with a coordinate that is not a finite number are set aside and counted.
///
/// Binary files are read in blocks, each merged by itself while the next is read; [`ReadMesh::merge_s`] is only the time
/// to put the blocks together.
///
/// Reports the fraction of bytes read to `progress` and stops when it is cancelled.
pub fn read_stl(path: &Path, progress: &Progress) -> Result<ReadMesh, ReadError> {
    let name = path.file_name().unwrap_or(path.as_os_str()).to_string_lossy();
    progress.stage(format!("reading {name}"));
    with_source(path, |source, length, begun| read_from(source, length, Shortage::Refuse, begun, progress))
        .map_err(|problem| ReadError { path: path.to_owned(), problem })
}

/// What to do with a binary file that holds fewer facets than it promises.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Shortage {
    /// Refuse it.
    Refuse,
    /// Keep the whole facets, if they are at least half of those promised: with fewer, it is likelier that the bytes
    /// are no STL file at all (our own choice, no source).
    KeepWhatIsWhole,
}

/// As [`read_stl`], from bytes in memory.
///
/// Text files may be written in any letter case, with any line ends, several `solid` blocks after one another, and
/// anything in place of a facet's normal. Every facet must have exactly three vertices and every block its
/// `endsolid`, without which the file was cut short.
pub fn parse_stl(bytes: &[u8], progress: &Progress) -> Result<ReadMesh, ReadProblem> {
    read_from(&mut Cursor::new(bytes), bytes.len() as u64, Shortage::Refuse, Instant::now(), progress)
}

/// Header and facet count.
const PREAMBLE: u64 = 84;
/// Normal, three corners, attribute.
pub(super) const RECORD: u64 = 50;

/// Facets as they come out of a file, those with odd coordinates sorted out and the others merged in runs.
#[derive(Debug, Default)]
pub(super) struct Facets {
    runs: Vec<Run>,
    total: usize,
    not_finite: usize,
    first_not_finite: Option<usize>,
}

impl Facets {
    /// How many there are, those set aside included.
    pub(super) fn total(&self) -> usize {
        self.total
    }

    /// As one mesh.
    pub(super) fn merged(self, progress: &Progress) -> Result<Merged, ReadProblem> {
        join_runs(self.runs, merging(progress))
    }

    /// These, and those that follow in the file.
    pub(super) fn and(mut self, next: Facets) -> Facets {
        self.runs.extend(next.runs);
        self.first_not_finite = self.first_not_finite.or(next.first_not_finite.map(|first| self.total + first));
        self.total += next.total;
        self.not_finite += next.not_finite;
        self
    }
}

/// Collects [`Facets`] one after another.
#[derive(Debug, Default)]
pub(super) struct Collector {
    facets: Facets,
    merger: RunMerger,
}

impl Collector {
    pub(super) fn push(&mut self, facet: Facet) -> Result<(), TooManyVertices> {
        if facet.as_flattened().iter().all(|x| x.is_finite()) {
            self.merger.push(&facet)?;
        } else {
            self.facets.first_not_finite.get_or_insert(self.facets.total);
            self.facets.not_finite += 1;
        }
        self.facets.total += 1;
        if self.merger.len() == FACETS_PER_RUN {
            self.facets.runs.push(self.merger.take());
        }
        Ok(())
    }

    /// Facets so far.
    pub(super) fn total(&self) -> usize {
        self.facets.total
    }

    pub(super) fn finish(mut self) -> Facets {
        self.facets.runs.push(self.merger.take());
        self.facets
    }
}

enum Form {
    Text,
    Binary { facets: u64, trailing_bytes: u64, missing: u64 },
}

pub(super) fn read_from(
    source: &mut dyn Source,
    length: u64,
    shortage: Shortage,
    begun: Instant,
    progress: &Progress,
) -> Result<ReadMesh, ReadProblem> {
    progress.check()?;
    let head = head(source)?;
    let (facets, trailing_bytes, missing) = match form(&head, length, shortage)? {
        Form::Text => (ascii::facets(source, length, progress)?, 0, 0),
        Form::Binary { facets, trailing_bytes, missing } => {
            source.seek(SeekFrom::Start(PREAMBLE))?;
            (binary::facets(source, facets, progress)?, trailing_bytes, missing)
        }
    };
    let read_s = begun.elapsed().as_secs_f64();
    if facets.total == 0 {
        return Err(ReadProblem::NoFacets);
    }
    if facets.not_finite == facets.total {
        return Err(ReadProblem::NothingFinite { facets: facets.total });
    }
    progress.check()?;

    let begun = Instant::now();
    let (total, not_finite, first_not_finite) = (facets.total, facets.not_finite, facets.first_not_finite);
    let merged = facets.merged(progress)?;
    progress.report(1.0);
    Ok(ReadMesh {
        mesh: merged.mesh,
        facets: total,
        set_aside_not_finite: not_finite,
        first_not_finite,
        collapsed: merged.collapsed,
        trailing_bytes,
        missing_facets: missing,
        read_s,
        merge_s: begun.elapsed().as_secs_f64(),
    })
}

/// Whether these are the first bytes of an STL file of this length, beyond doubt.
pub(super) fn is_stl(head: &[u8], length: u64) -> bool {
    match form(head, length, Shortage::Refuse) {
        Ok(Form::Text) => true,
        Ok(Form::Binary { trailing_bytes, .. }) => trailing_bytes == 0,
        Err(_) => false,
    }
}

fn form(head: &[u8], length: u64, shortage: Shortage) -> Result<Form, ReadProblem> {
    if length == 0 {
        return Err(ReadProblem::Empty);
    }
    // A text file has no zero bytes; a binary one has some in the first kilobyte: the highest byte of any count
    // below 16.7 million facets, and attributes.
    let text = !head.contains(&0);
    let count = head.get(80..84).and_then(|bytes| bytes.try_into().ok()).map(u32::from_le_bytes).map(u64::from);
    match count {
        Some(promised) if length == PREAMBLE + promised * RECORD => {
            Ok(Form::Binary { facets: promised, trailing_bytes: 0, missing: 0 })
        }
        _ if text && ascii::begins(head) => Ok(Form::Text),
        None => Err(ReadProblem::NotAMesh),
        Some(_) if text && head.iter().all(|b| !b.is_ascii_control() || b.is_ascii_whitespace()) => {
            Err(ReadProblem::NotAMesh)
        }
        Some(promised) => {
            // The file may have grown since its length was asked for.
            let room = length.saturating_sub(PREAMBLE);
            let found = room / RECORD;
            if found >= promised {
                Ok(Form::Binary { facets: promised, trailing_bytes: room - promised * RECORD, missing: 0 })
            } else if shortage == Shortage::KeepWhatIsWhole && found >= promised - promised / 2 {
                Ok(Form::Binary { facets: found, trailing_bytes: 0, missing: promised - found })
            } else {
                Err(ReadProblem::Truncated { promised, found })
            }
        }
    }
}
