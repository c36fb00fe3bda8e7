//! The numbers behind the header of a PLY file, one after another.

use super::super::ReadProblem;
use super::super::source::Source;
use super::super::text::unexpected;
use super::header::{Element, Kind};
use std::io::Read;

/// Numbers, however they are written.
pub(super) trait Numbers {
    /// Reads one element: single numbers into `values`, those of lists to `listed` with the index of the property.
    fn element(
        &mut self,
        element: &Element,
        number: u64,
        values: &mut [f64],
        listed: impl FnMut(usize, f64),
    ) -> Result<(), ReadProblem>;

    /// Steps over all of an element at once, if that can be done; says whether it was.
    fn skip(&mut self, element: &Element) -> Result<bool, ReadProblem>;

    /// Bytes read so far.
    fn read(&self) -> u64;

    /// Bytes that were not asked for, blank ones of a text not counted.
    fn trailing(&mut self) -> Result<u64, ReadProblem>;
}

/// Bytes that are read at a time.
const BLOCK: usize = 1 << 18;

/// A stretch of the file in memory.
struct Window<'a> {
    source: &'a mut dyn Source,
    bytes: Vec<u8>,
    /// What lies before is used up.
    at: usize,
    read: u64,
}

impl<'a> Window<'a> {
    fn new(source: &'a mut dyn Source) -> Window<'a> {
        Window { source, bytes: Vec::new(), at: 0, read: 0 }
    }

    /// Makes the window longer; says whether there was more.
    fn more(&mut self) -> Result<bool, ReadProblem> {
        self.bytes.drain(..self.at);
        self.at = 0;
        let count = (&mut *self.source).take(BLOCK as u64).read_to_end(&mut self.bytes)?;
        self.read += count as u64;
        Ok(count > 0)
    }

    fn left(&self) -> &[u8] {
        &self.bytes[self.at..]
    }
}

/// Numbers in binary.
pub(super) struct Binary<'a> {
    window: Window<'a>,
    order: Order,
    length: u64,
}

/// Which byte of a number comes first.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Order {
    Little,
    Big,
}

impl<'a> Binary<'a> {
    pub(super) fn new(source: &'a mut dyn Source, order: Order, length: u64) -> Binary<'a> {
        Binary { window: Window::new(source), order, length }
    }

    fn value(&self, kind: Kind, bytes: &[u8]) -> f64 {
        macro_rules! number {
            ($kind:ty) => {
                bytes.first_chunk().map_or(f64::NAN, |bytes| {
                    let little = self.order == Order::Little;
                    f64::from(if little { <$kind>::from_le_bytes(*bytes) } else { <$kind>::from_be_bytes(*bytes) })
                })
            };
        }
        match kind {
            Kind::I8 => number!(i8),
            Kind::U8 => number!(u8),
            Kind::I16 => number!(i16),
            Kind::U16 => number!(u16),
            Kind::I32 => number!(i32),
            Kind::U32 => number!(u32),
            Kind::F32 => number!(f32),
            Kind::F64 => number!(f64),
        }
    }

    /// Makes sure that so many bytes lie ahead.
    fn need(&mut self, count: usize, element: &Element, number: u64) -> Result<(), ReadProblem> {
        while self.window.left().len() < count {
            // Never more is asked for than the file holds, whatever a list says of its length.
            let ahead = self.length.saturating_sub(self.window.read) + self.window.left().len() as u64;
            if ahead < count as u64 || !self.window.more()? {
                return Err(cut_short(element, number));
            }
        }
        Ok(())
    }
}

fn cut_short(element: &Element, number: u64) -> ReadProblem {
    ReadProblem::Promised { promised: element.count, of: element.name.clone(), found: number }
}

impl Numbers for Binary<'_> {
    fn element(
        &mut self,
        element: &Element,
        number: u64,
        values: &mut [f64],
        mut listed: impl FnMut(usize, f64),
    ) -> Result<(), ReadProblem> {
        for (i, property) in element.properties.iter().enumerate() {
            let Some(count) = property.list else {
                let bytes = property.kind.bytes();
                self.need(bytes, element, number)?;
                values[i] = self.value(property.kind, self.window.left());
                self.window.at += bytes;
                continue;
            };
            self.need(count.bytes(), element, number)?;
            let length = self.value(count, self.window.left());
            self.window.at += count.bytes();
            if length < 0.0 {
                return Err(negative_length(element, number));
            }
            let each = property.kind.bytes();
            let bytes = (length as usize).checked_mul(each).ok_or_else(|| cut_short(element, number))?;
            self.need(bytes, element, number)?;
            for value in self.window.left()[..bytes].chunks_exact(each) {
                listed(i, self.value(property.kind, value));
            }
            self.window.at += bytes;
        }
        Ok(())
    }

    fn skip(&mut self, element: &Element) -> Result<bool, ReadProblem> {
        let Some(stride) = element.stride() else { return Ok(false) };
        let mut left = u128::from(element.count) * stride as u128;
        while left > 0 {
            if self.window.left().is_empty() && !self.window.more()? {
                let missing = left.div_ceil(stride as u128) as u64;
                return Err(cut_short(element, element.count.saturating_sub(missing)));
            }
            let step = left.min(self.window.left().len() as u128);
            self.window.at += step as usize;
            left -= step;
        }
        Ok(true)
    }

    fn read(&self) -> u64 {
        self.window.read
    }

    fn trailing(&mut self) -> Result<u64, ReadProblem> {
        Ok(self.length.saturating_sub(self.window.read) + self.window.left().len() as u64)
    }
}

fn negative_length(element: &Element, number: u64) -> ReadProblem {
    ReadProblem::Told(format!("{} {} has a list of negative length; export the model again", element.name, number + 1))
}

/// Numbers in text.
pub(super) struct Text<'a> {
    window: Window<'a>,
    line: u64,
}

impl<'a> Text<'a> {
    /// `line` is the number of the first line.
    pub(super) fn new(source: &'a mut dyn Source, line: u64) -> Text<'a> {
        Text { window: Window::new(source), line }
    }

    /// Length of the next word, which then lies ahead; none at the end.
    fn word(&mut self) -> Result<Option<usize>, ReadProblem> {
        loop {
            while let Some(&b) = self.window.bytes.get(self.window.at).filter(|b| b.is_ascii_whitespace()) {
                self.line += u64::from(b == b'\n');
                self.window.at += 1;
            }
            let mut looked_at = 0;
            while self.window.at < self.window.bytes.len() {
                if let Some(end) = self.window.left()[looked_at..].iter().position(u8::is_ascii_whitespace) {
                    return Ok(Some(looked_at + end));
                }
                looked_at = self.window.left().len();
                if !self.window.more()? {
                    return Ok(Some(looked_at));
                }
            }
            if !self.window.more()? {
                return Ok(None);
            }
        }
    }

    fn value(&mut self, element: &Element, number: u64) -> Result<f64, ReadProblem> {
        let length = self.word()?.ok_or_else(|| cut_short(element, number))?;
        let word = &self.window.left()[..length];
        let value = fast_float2::parse(word).map_err(|_| ReadProblem::Line {
            line: self.line,
            what: unexpected("a number with a decimal point", word),
        })?;
        self.window.at += length;
        Ok(value)
    }
}

impl Numbers for Text<'_> {
    fn element(
        &mut self,
        element: &Element,
        number: u64,
        values: &mut [f64],
        mut listed: impl FnMut(usize, f64),
    ) -> Result<(), ReadProblem> {
        for (i, property) in element.properties.iter().enumerate() {
            let value = self.value(element, number)?;
            if property.list.is_none() {
                // What is said to be of 32 bits is rounded to them, as the binary form of the same file would be.
                values[i] = if property.kind == Kind::F32 { f64::from(value as f32) } else { value };
                continue;
            }
            if value < 0.0 {
                return Err(negative_length(element, number));
            }
            for _ in 0..value as u64 {
                listed(i, self.value(element, number)?);
            }
        }
        Ok(())
    }

    fn skip(&mut self, _: &Element) -> Result<bool, ReadProblem> {
        Ok(false)
    }

    fn read(&self) -> u64 {
        self.window.read
    }

    fn trailing(&mut self) -> Result<u64, ReadProblem> {
        let mut trailing = 0;
        while let Some(length) = self.word()? {
            trailing += length as u64;
            self.window.at += length;
        }
        Ok(trailing)
    }
}
