//! The header of a PLY file.

use super::super::ReadProblem;
use super::super::source::Source;
use super::super::text::unexpected;
use std::io::{Read, SeekFrom};

/// How the numbers behind the header are written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Form {
    Text,
    LittleEndian,
    BigEndian,
}

/// A kind of number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Kind {
    I8,
    U8,
    I16,
    U16,
    I32,
    U32,
    F32,
    F64,
}

impl Kind {
    fn of(name: &[u8]) -> Option<Kind> {
        Some(match name {
            b"char" | b"int8" => Kind::I8,
            b"uchar" | b"uint8" => Kind::U8,
            b"short" | b"int16" => Kind::I16,
            b"ushort" | b"uint16" => Kind::U16,
            b"int" | b"int32" => Kind::I32,
            b"uint" | b"uint32" => Kind::U32,
            b"float" | b"float32" => Kind::F32,
            b"double" | b"float64" => Kind::F64,
            _ => return None,
        })
    }

    pub(super) fn bytes(self) -> usize {
        match self {
            Kind::I8 | Kind::U8 => 1,
            Kind::I16 | Kind::U16 => 2,
            Kind::I32 | Kind::U32 | Kind::F32 => 4,
            Kind::F64 => 8,
        }
    }

    pub(super) fn is_whole(self) -> bool {
        !matches!(self, Kind::F32 | Kind::F64)
    }
}

/// One number of an element, or a list of them.
#[derive(Clone, Debug)]
pub(super) struct Property {
    pub(super) name: String,
    pub(super) kind: Kind,
    /// For a list, the kind of the number that says how long it is.
    pub(super) list: Option<Kind>,
}

/// Things of one kind.
#[derive(Clone, Debug)]
pub(super) struct Element {
    pub(super) name: String,
    pub(super) count: u64,
    pub(super) properties: Vec<Property>,
}

impl Element {
    /// Which property holds the one number of one of these names.
    pub(super) fn scalar(&self, names: &[&str]) -> Option<usize> {
        self.properties.iter().position(|p| p.list.is_none() && names.contains(&p.name.as_str()))
    }

    /// Which property holds the list of one of these names.
    pub(super) fn list(&self, names: &[&str]) -> Option<usize> {
        self.properties.iter().position(|p| p.list.is_some() && names.contains(&p.name.as_str()))
    }

    /// Where its colour is, if it has one.
    pub(super) fn colour(&self) -> Option<Colour> {
        let at = |name: &str| {
            let at = self.scalar(&[name, &format!("diffuse_{name}")])?;
            Some((at, !self.properties[at].kind.is_whole()))
        };
        Some(Colour { channels: [at("red")?, at("green")?, at("blue")?], alpha: at("alpha") })
    }
}

/// Which numbers of an element are its colour, and whether each is a share of 1 rather than of 255.
#[derive(Clone, Copy, Debug)]
pub(super) struct Colour {
    channels: [(usize, bool); 3],
    alpha: Option<(usize, bool)>,
}

impl Colour {
    /// The colour, where `value` gives the number of a property.
    pub(super) fn of(&self, value: impl Fn(usize) -> f64) -> [u8; 4] {
        let channel =
            |(at, is_share): (usize, bool)| (if is_share { value(at) * 255.0 } else { value(at) }).round() as u8;
        let [r, g, b] = self.channels.map(channel);
        [r, g, b, self.alpha.map_or(255, channel)]
    }
}

#[derive(Clone, Debug)]
pub(super) struct Header {
    pub(super) form: Form,
    pub(super) elements: Vec<Element>,
    /// Its length.
    pub(super) bytes: u64,
    /// Lines in it.
    pub(super) lines: u64,
}

/// No header is longer, in bytes (our own choice, no source: headers seen have less than a thousandth of it). It bounds
/// what is read before the bytes make sense.
const LONGEST: u64 = 1 << 20;

impl Header {
    /// Reads the header; the source is then behind it.
    pub(super) fn read(source: &mut dyn Source, length: u64) -> Result<Header, ReadProblem> {
        let mut text = Vec::new();
        (&mut *source).take(LONGEST).read_to_end(&mut text)?;
        let mut header = Header { form: Form::Text, elements: Vec::new(), bytes: 0, lines: 0 };
        let (mut has_form, mut at) = (false, 0);
        loop {
            let Some(end) = text[at..].iter().position(|&b| b == b'\n' || b == b'\r') else {
                let what = if length > LONGEST { "is too long" } else { "has no end" };
                return Err(ReadProblem::Told(format!(
                    "the header of this PLY file {what}, there is no \"end_header\" in its {} lines: it was cut short; copy or export it again",
                    header.lines
                )));
            };
            let line = &text[at..at + end];
            let both = text[at + end..].starts_with(b"\r\n");
            at += end + if both { 2 } else { 1 };
            header.lines += 1;
            let number = header.lines;
            let fault = |what| ReadProblem::Line { line: number, what };
            let words: Vec<&[u8]> = line.split(u8::is_ascii_whitespace).filter(|word| !word.is_empty()).collect();
            match words[..] {
                [b"end_header"] => break,
                [b"format", form, _] => {
                    has_form = true;
                    header.form = match form {
                        b"ascii" => Form::Text,
                        b"binary_little_endian" => Form::LittleEndian,
                        b"binary_big_endian" => Form::BigEndian,
                        _ => {
                            return Err(fault(unexpected(
                                "\"ascii\" or \"binary_little_endian\" or \"binary_big_endian\"",
                                form,
                            )));
                        }
                    };
                }
                [b"element", name, count] => {
                    let parsed = std::str::from_utf8(count).ok().and_then(|count| count.parse().ok());
                    let count = parsed.ok_or_else(|| fault(unexpected("a count", count)))?;
                    let name = String::from_utf8_lossy(name).into_owned();
                    header.elements.push(Element { name, count, properties: Vec::new() });
                }
                [b"property", b"list", count, kind, name] => {
                    let count = Kind::of(count).filter(|kind| kind.is_whole());
                    let count = count.ok_or_else(|| fault(unexpected("a kind of whole number", words[2])))?;
                    header.property(kind, name, Some(count)).map_err(fault)?;
                }
                [b"property", kind, name] => header.property(kind, name, None).map_err(fault)?,
                [] | [b"ply"] | [b"comment" | b"obj_info", ..] => {}
                _ => return Err(fault(unexpected("a line of a PLY header", line))),
            }
        }
        if !has_form {
            return Err(ReadProblem::Told(
                "the header of this PLY file names no format; export the model again".to_owned(),
            ));
        }
        header.bytes = at as u64;
        source.seek(SeekFrom::Start(header.bytes))?;
        Ok(header)
    }

    fn property(&mut self, kind: &[u8], name: &[u8], list: Option<Kind>) -> Result<(), String> {
        let kind = Kind::of(kind).ok_or_else(|| unexpected("a kind of number", kind))?;
        let element =
            self.elements.last_mut().ok_or("a property stands before the first element; export the model again")?;
        element.properties.push(Property { name: String::from_utf8_lossy(name).into_owned(), kind, list });
        Ok(())
    }
}
