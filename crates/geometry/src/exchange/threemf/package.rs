//! The package around a 3MF model: parts in a zip file, and the relations that say which of them is the model
//! (Open Packaging Conventions, ECMA-376 part 2, as far as the core specification asks for them).

use super::attributes::{Attributes, text};
use super::told;
use crate::exchange::ReadProblem;
use crate::exchange::source::Source;
use quick_xml::encoding::DecodingReader;
use quick_xml::events::Event;
use std::io::{self, BufRead, BufReader, Read};
use zip::ZipArchive;
use zip::result::ZipError;

/// The relation from the package to its model.
const MODEL: &str = "http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel";

/// All parts together may be so many times as long as the file they are packed in. Models pack to between a fifth and a
/// tenth (those of the test folder); deflate can do a thousandth, which is what hostile files do (our own choice, no
/// source).
const MOST_TIMES_PACKED: u64 = 100;

/// Parts may be so long together in any case, bytes: small files pack well (our own choice, no source).
const ALWAYS_ALLOWED: u64 = 64 << 20;

/// Longest list of relations, bytes (our own choice, no source: those seen have less than a thousandth of it).
const LONGEST_RELATIONS: u64 = 1 << 20;

pub(super) struct Package<'a> {
    zip: ZipArchive<&'a mut dyn Source>,
    /// Bytes that parts may still have.
    allowance: u64,
}

impl<'a> Package<'a> {
    pub(super) fn open(source: &'a mut dyn Source, length: u64) -> Result<Package<'a>, ReadProblem> {
        let zip = ZipArchive::new(source).map_err(|error| problem("the package", error))?;
        Ok(Package { zip, allowance: length.saturating_mul(MOST_TIMES_PACKED).max(ALWAYS_ALLOWED) })
    }

    /// The name of the part that is the model.
    pub(super) fn start_part(&mut self) -> Result<String, ReadProblem> {
        const RELATIONS: &str = "/_rels/.rels";
        if self.index(RELATIONS).is_none() {
            return Err(ReadProblem::Told(
                "this is a zip file and no 3MF file: it has no part /_rels/.rels; choose another file".to_owned(),
            ));
        }
        let mut relations = String::new();
        let part = self.part(RELATIONS)?;
        part.take(LONGEST_RELATIONS).read_to_string(&mut relations).map_err(|error| told(RELATIONS, error))?;
        let mut reader = quick_xml::Reader::from_str(&relations);
        loop {
            match reader.read_event().map_err(|error| told(RELATIONS, error))? {
                Event::Eof => break,
                Event::DocType(_) => return Err(told(RELATIONS, NO_DTD)),
                Event::Start(element) | Event::Empty(element) => {
                    if element.local_name().as_ref() != "Relationship" {
                        continue;
                    }
                    let (mut kind, mut target) = (None, None);
                    for attribute in Attributes::new(element.attributes_raw()) {
                        let (name, value) = attribute.map_err(|what| told(RELATIONS, what))?;
                        match name {
                            "Type" => kind = Some(value),
                            "Target" => target = Some(text(value).map_err(|what| told(RELATIONS, what))?),
                            _ => {}
                        }
                    }
                    if let (Some(MODEL), Some(target)) = (kind, target) {
                        return Ok(resolved("/", &target));
                    }
                }
                _ => {}
            }
        }
        Err(ReadProblem::Told(
            "this package is no 3MF file: /_rels/.rels names no 3D model; choose another file".to_owned(),
        ))
    }

    /// Opens a part, whose text comes in UTF-8, be it that or UTF-16 in the package: the two that the core specification
    /// allows, told apart by the byte order mark (XML 1.0, appendix F). What it gives is bounded, and an error says so.
    pub(super) fn part(&mut self, name: &str) -> Result<impl BufRead, ReadProblem> {
        let index = self.index(name).ok_or_else(|| {
            ReadProblem::Told(format!("this 3MF file names a part {name} and does not hold it; export the model again"))
        })?;
        let file = self.zip.by_index(index).map_err(|error| problem(name, error))?;
        let bounded = BufReader::with_capacity(1 << 17, Bounded { source: file, left: &mut self.allowance });
        Ok(DecodingReader::new(bounded))
    }

    /// The length of a part as the package states it, which nothing may rely on.
    pub(super) fn stated_length(&mut self, name: &str) -> u64 {
        let index = self.index(name);
        index.and_then(|index| self.zip.by_index_raw(index).ok().map(|file| file.size())).unwrap_or(0)
    }

    /// Names of parts are equal in any letter case.
    fn index(&self, part: &str) -> Option<usize> {
        let name = part.trim_start_matches('/');
        self.zip.index_for_name(name).or_else(|| {
            let mut names = self.zip.file_names_raw();
            names.position(|other| other.trim_ascii_start().eq_ignore_ascii_case(name.as_bytes()))
        })
    }
}

/// Why no document type is taken.
pub(super) const NO_DTD: &str = "it holds a document type definition, which 3MF forbids; export the model again";

/// The name of a part as a relation or path gives it: from the root if it begins with a slash, with `%20` and the like
/// resolved.
pub(super) fn resolved(folder: &str, target: &str) -> String {
    let whole = if target.starts_with('/') { target.to_owned() } else { format!("{folder}{target}") };
    let mut bytes = Vec::with_capacity(whole.len());
    let mut rest = whole.as_bytes();
    while let Some((&first, behind)) = rest.split_first() {
        let code = behind.get(..2).and_then(|digits| std::str::from_utf8(digits).ok());
        match code.filter(|_| first == b'%').and_then(|code| u8::from_str_radix(code, 16).ok()) {
            Some(byte) => {
                bytes.push(byte);
                rest = &behind[2..];
            }
            None => {
                bytes.push(first);
                rest = behind;
            }
        }
    }
    String::from_utf8_lossy(&bytes).into_owned()
}

fn problem(part: &str, error: ZipError) -> ReadProblem {
    match error {
        ZipError::Io(error) => error.into(),
        ZipError::CompressionMethodNotSupported(method) => {
            told(part, format!("it is packed by method {method}, and 3MF knows deflate alone; export the model again"))
        }
        error => told(part, format!("the zip file is damaged ({error}); copy or export it again")),
    }
}

/// Lets through so many bytes and no more.
struct Bounded<'a, R> {
    source: R,
    left: &'a mut u64,
}

impl<R: Read> Read for Bounded<'_, R> {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        let count = self.source.read(buffer)?;
        *self.left = self.left.checked_sub(count as u64).ok_or_else(|| {
            io::Error::other(format!("it unpacks to more than {MOST_TIMES_PACKED} times the size of the file"))
        })?;
        Ok(count)
    }
}
