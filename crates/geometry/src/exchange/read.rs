//! Reading a mesh file of any format.

use super::source::{Source, head, with_source};
use super::stl::{self, Shortage};
use super::{Format, ModelFile, Part, ReadError, ReadMesh, ReadProblem, Remark, obj, ply, threemf};
use crate::Progress;
use std::io::Cursor;
use std::path::Path;
use std::time::Instant;

/// How a file is to be read.
#[derive(Clone, Copy, Debug, Default)]
#[non_exhaustive]
pub struct ReadOptions {
    /// The format to assume where the bytes leave a doubt; the ending of the file's name if not given.
    pub format: Option<Format>,
}

/// Reads a mesh file.
///
/// The format is found by looking into the file; the ending of its name decides only where the bytes leave a doubt.
/// What can be kept is kept: triangles with coordinates that are not finite are set aside, a binary STL file that was
/// cut short gives the facets that are whole (if they are at least half), and all such things are told in
/// [`ModelFile::remarks`] or counted beside it. What can't be given a meaning is refused with its place.
///
/// Files are gone through in blocks: the whole is never in memory beside the mesh. Reports the fraction of bytes read
/// to `progress` and stops when it is cancelled.
pub fn read(path: &Path, options: &ReadOptions, progress: &Progress) -> Result<ModelFile, ReadError> {
    let name = path.file_name().unwrap_or(path.as_os_str()).to_string_lossy();
    progress.stage(format!("reading {name}"));
    let options = ReadOptions { format: options.format.or_else(|| Format::of_name(path)) };
    with_source(path, |source, length, begun| read_from(source, length, begun, &options, progress))
        .map_err(|problem| ReadError { path: path.to_owned(), problem })
}

/// As [`read`], from bytes in memory.
pub fn parse(bytes: &[u8], options: &ReadOptions, progress: &Progress) -> Result<ModelFile, ReadProblem> {
    read_from(&mut Cursor::new(bytes), bytes.len() as u64, Instant::now(), options, progress)
}

fn read_from(
    source: &mut dyn Source,
    length: u64,
    begun: Instant,
    options: &ReadOptions,
    progress: &Progress,
) -> Result<ModelFile, ReadProblem> {
    progress.check()?;
    if length == 0 {
        return Err(ReadProblem::Empty);
    }
    let head = head(source)?;
    let format = format(&head, length).or(options.format).ok_or(ReadProblem::NoKnownFormat)?;
    if format == Format::Stl {
        return stl::read_from(source, length, Shortage::KeepWhatIsWhole, begun, progress).and_then(from_stl);
    }
    let (assembled, unit) = match format {
        Format::Ply => (ply::read(source, length, progress)?, None),
        Format::ThreeMf => threemf::read(source, length, progress).map(|(made, unit)| (made, Some(unit)))?,
        _ => (obj::read(source, length, progress)?, None),
    };
    if assembled.facets == 0 {
        return Err(ReadProblem::NoFacets);
    }
    if assembled.not_finite == assembled.facets {
        return Err(ReadProblem::NothingFinite { facets: assembled.facets });
    }
    if assembled.parts.is_empty() {
        return Err(ReadProblem::NothingLeft { facets: assembled.facets });
    }
    progress.check()?;
    progress.report(1.0);
    Ok(ModelFile {
        format,
        unit,
        parts: assembled.parts,
        facets: assembled.facets,
        set_aside_not_finite: assembled.not_finite,
        first_not_finite: assembled.first_not_finite,
        collapsed: assembled.collapsed,
        remarks: assembled.remarks,
        read_s: begun.elapsed().as_secs_f64() - assembled.merge_s,
        merge_s: assembled.merge_s,
    })
}

/// The format of a file that begins so, as far as that can be told.
fn format(head: &[u8], length: u64) -> Option<Format> {
    if stl::is_stl(head, length) {
        Some(Format::Stl)
    } else if threemf::begins(head) {
        Some(Format::ThreeMf)
    } else if ply::begins(head) {
        Some(Format::Ply)
    } else if obj::begins(head) {
        Some(Format::Obj)
    } else {
        None
    }
}

fn from_stl(read: ReadMesh) -> Result<ModelFile, ReadProblem> {
    if read.mesh.triangles.is_empty() {
        return Err(ReadProblem::NothingLeft { facets: read.facets });
    }
    let remark = |count: u64, what: &str| (count > 0).then(|| Remark { count, what: what.to_owned() });
    let remarks = [
        remark(read.trailing_bytes, "bytes behind the last facet mean nothing: passed over"),
        remark(
            read.missing_facets,
            "facets are promised and not there, the file was cut short: copy or export it again",
        ),
    ];
    Ok(ModelFile {
        format: Format::Stl,
        unit: None,
        parts: vec![Part { mesh: read.mesh, ..Part::default() }],
        facets: read.facets,
        set_aside_not_finite: read.set_aside_not_finite,
        first_not_finite: read.first_not_finite,
        collapsed: read.collapsed,
        remarks: remarks.into_iter().flatten().collect(),
        read_s: read.read_s,
        merge_s: read.merge_s,
    })
}
