//! The numbers of text PLY, one after another: line breaks between them mean nothing.

use super::super::faces::{FaceRun, Faces, VertexRun};
use super::super::source::Source;
use super::super::text::unexpected;
use super::header::{Element, Kind, Property};
use super::{Body, FaceNumbers, Index, ReadProblem, VertexNumbers, check_count, cut_short, negative_length};
use crate::Progress;
use std::io::Read;

/// Bytes that are read at a time.
const BLOCK: usize = 1 << 18;

/// Elements between two looks at the progress handle.
const ELEMENTS_PER_REPORT: u64 = 1 << 15;

/// Elements whose numbers are handed on together.
const RUN: usize = 1 << 16;

pub(super) struct Text<'a> {
    source: &'a mut dyn Source,
    length: u64,
    read: u64,
    /// A stretch of the file.
    bytes: Vec<u8>,
    /// What lies before is used up.
    at: usize,
    line: u64,
}

impl<'a> Text<'a> {
    /// Reads from where the source is, behind the header; `line` is the number of the first line.
    pub(super) fn new(source: &'a mut dyn Source, length: u64, line: u64) -> Text<'a> {
        Text { source, length, read: 0, bytes: Vec::new(), at: 0, line }
    }

    /// Makes the stretch in memory longer; says whether there was more.
    fn more(&mut self) -> Result<bool, ReadProblem> {
        self.bytes.drain(..self.at);
        self.at = 0;
        let count = (&mut *self.source).take(BLOCK as u64).read_to_end(&mut self.bytes)?;
        self.read += count as u64;
        Ok(count > 0)
    }

    /// Length of the next word, which then lies ahead; none at the end.
    fn word(&mut self) -> Result<Option<usize>, ReadProblem> {
        loop {
            while let Some(&b) = self.bytes.get(self.at).filter(|b| b.is_ascii_whitespace()) {
                self.line += u64::from(b == b'\n');
                self.at += 1;
            }
            let mut looked_at = 0;
            while self.at < self.bytes.len() {
                let left = &self.bytes[self.at..];
                if let Some(end) = left[looked_at..].iter().position(u8::is_ascii_whitespace) {
                    return Ok(Some(looked_at + end));
                }
                looked_at = left.len();
                if !self.more()? {
                    return Ok(Some(looked_at));
                }
            }
            if !self.more()? {
                return Ok(None);
            }
        }
    }

    fn value(&mut self, element: &Element, number: u64) -> Result<f64, ReadProblem> {
        let length = self.word()?.ok_or_else(|| cut_short(element, number))?;
        let word = &self.bytes[self.at..][..length];
        let value = fast_float2::parse(word).map_err(|_| ReadProblem::Line {
            line: self.line,
            what: unexpected("a number with a decimal point", word),
        })?;
        self.at += length;
        Ok(value)
    }

    /// Reads one element: single numbers into `values`, those of lists to `listed` with the index of the property.
    fn element(
        &mut self,
        element: &Element,
        number: u64,
        progress: &Progress,
        values: &mut [f64],
        mut listed: impl FnMut(usize, f64),
    ) -> Result<(), ReadProblem> {
        if number.is_multiple_of(ELEMENTS_PER_REPORT) {
            progress.check()?;
            progress.report(self.read as f64 / self.length.max(1) as f64);
        }
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
}

impl Body for Text<'_> {
    /// A digit and a space; the last may stand without.
    fn smallest(&self, _: &Property) -> u64 {
        2
    }

    fn vertices(
        &mut self,
        element: &Element,
        wanted: &VertexNumbers,
        faces: &mut Faces,
        progress: &Progress,
    ) -> Result<(), ReadProblem> {
        let mut values = vec![0.0; element.properties.len()];
        let mut run = Vec::new();
        for number in 0..element.count {
            self.element(element, number, progress, &mut values, |_, _| ())?;
            run.push(wanted.place.map(|property| values[property]));
            faces.colours.extend(wanted.colour.map(|colour| colour.of(|property| values[property])));
            if run.len() == RUN {
                faces.vertices.push(VertexRun::of(std::mem::take(&mut run))?);
            }
        }
        faces.vertices.push(VertexRun::of(run)?);
        Ok(())
    }

    fn faces(
        &mut self,
        element: &Element,
        wanted: &FaceNumbers,
        faces: &mut Faces,
        progress: &Progress,
    ) -> Result<(), ReadProblem> {
        let mut values = vec![0.0; element.properties.len()];
        let mut run = FaceRun::default();
        let mut polygon: Vec<f64> = Vec::new();
        for number in 0..element.count {
            polygon.clear();
            self.element(element, number, progress, &mut values, |property, value| {
                if property == wanted.list {
                    polygon.push(value);
                }
            })?;
            wanted.push(number, polygon.iter().map(|&index| Index::Number(index)), &mut run)?;
            run.colours.extend(wanted.colour.map(|colour| colour.of(|property| values[property])));
            if run.len() >= RUN {
                faces.runs.push(std::mem::take(&mut run));
            }
        }
        faces.runs.push(run);
        check_count(faces)
    }

    fn skip(&mut self, element: &Element, progress: &Progress) -> Result<(), ReadProblem> {
        let mut values = vec![0.0; element.properties.len()];
        for number in 0..element.count {
            self.element(element, number, progress, &mut values, |_, _| ())?;
        }
        Ok(())
    }

    fn trailing(&mut self) -> Result<u64, ReadProblem> {
        let mut trailing = 0;
        while let Some(length) = self.word()? {
            trailing += length as u64;
            self.at += length;
        }
        Ok(trailing)
    }
}
