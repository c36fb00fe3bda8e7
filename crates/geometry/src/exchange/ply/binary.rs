//! The numbers of binary PLY: one worker cuts whole elements off the file, all others take them apart.

use super::super::blocks::for_each_block;
use super::super::faces::{FaceRun, Faces, VertexRun};
use super::super::source::Source;
use super::header::{Element, Property};
use super::layout::{Layout, Reach};
use super::number::{Order, index, number, whole};
use super::{Body, FaceNumbers, ReadProblem, VertexNumbers, check_count, cut_short, negative_length};
use crate::Progress;
use std::io::{Read, SeekFrom};

/// Bytes that are worked on at a time: they and what is made of them lie in the cache, and there are enough of them that
/// handing them out costs nothing.
const BLOCK: usize = 1 << 19;

pub(super) struct Binary<'a> {
    source: &'a mut dyn Source,
    order: Order,
    length: u64,
    read: u64,
    /// What was read behind the last whole element.
    rest: Vec<u8>,
}

/// Whole elements.
#[derive(Debug, Default)]
struct Block {
    bytes: Vec<u8>,
    /// Number of the first, counted from 0.
    first: u64,
    count: u64,
}

impl<'a> Binary<'a> {
    /// Reads from where the source is, behind the header; `length` bytes are there.
    pub(super) fn new(source: &'a mut dyn Source, length: u64, order: Order) -> Binary<'a> {
        Binary { source, order, length, read: 0, rest: Vec::new() }
    }

    /// Fills in the elements from number `first` on, at least one; says how far through the file that came.
    fn next(
        &mut self,
        element: &Element,
        layout: &Layout,
        first: u64,
        block: &mut Block,
    ) -> Result<Option<f64>, ReadProblem> {
        if first == element.count {
            return Ok(None);
        }
        block.first = first;
        let Block { bytes, count, .. } = block;
        bytes.clear();
        bytes.append(&mut self.rest);
        *count = 0;
        let (mut end, mut wanted) = (0, BLOCK as u64);
        loop {
            self.more(wanted, bytes)?;
            let left = element.count - first - *count;
            let stopped = match layout.stride() {
                Some(stride) => {
                    *count = left.min((bytes.len() / stride) as u64);
                    end = *count as usize * stride;
                    Reach::Beyond(stride as u64)
                }
                None => cut(layout, left, bytes, &mut end, count),
            };
            if *count > 0 {
                break;
            }
            match stopped {
                Reach::Negative => return Err(negative_length(element, first)),
                // Never more is asked for than the file holds, whatever a list says of its length.
                Reach::Beyond(least) if least > bytes.len() as u64 + self.length.saturating_sub(self.read) => {
                    return Err(cut_short(element, first));
                }
                Reach::Beyond(least) => wanted = least.saturating_sub(bytes.len() as u64) + BLOCK as u64,
                Reach::Whole(_) => {}
            }
        }
        self.rest.extend_from_slice(&bytes[end..]);
        bytes.truncate(end);
        Ok(Some((self.read - self.rest.len() as u64) as f64 / self.length.max(1) as f64))
    }

    /// Reads up to so many bytes more; none where the file ends.
    fn more(&mut self, wanted: u64, bytes: &mut Vec<u8>) -> Result<(), ReadProblem> {
        let wanted = wanted.min(self.length.saturating_sub(self.read));
        let found = (&mut *self.source).take(wanted).read_to_end(bytes)? as u64;
        self.read += found;
        if found < wanted {
            // It was longer when it was opened.
            self.length = self.read;
        }
        Ok(())
    }

    /// Takes all of an element apart, block by block, on all cores.
    fn each_block<T: Send>(
        &mut self,
        element: &Element,
        layout: &Layout,
        progress: &Progress,
        work: impl Fn(&Block) -> Result<T, ReadProblem> + Sync,
    ) -> Result<Vec<T>, ReadProblem> {
        let mut first = 0;
        let next = |block: &mut Block| {
            let fraction = self.next(element, layout, first, block)?;
            first += if fraction.is_some() { block.count } else { 0 };
            Ok(fraction)
        };
        for_each_block(next, |block| work(block), progress)
    }
}

/// Goes over the whole elements that `bytes` hold from `end` on, `left` at most, and says why it stopped.
fn cut(layout: &Layout, left: u64, bytes: &[u8], end: &mut usize, count: &mut u64) -> Reach {
    let mut reach = Reach::Whole(0);
    while *count < left {
        reach = layout.reach(&bytes[*end..]);
        let Reach::Whole(length) = reach else { break };
        *end += length as usize;
        *count += 1;
    }
    reach
}

impl Body for Binary<'_> {
    fn smallest(&self, property: &Property) -> u64 {
        property.list.unwrap_or(property.kind).bytes() as u64
    }

    fn vertices(
        &mut self,
        element: &Element,
        wanted: &VertexNumbers,
        faces: &mut Faces,
        progress: &Progress,
    ) -> Result<(), ReadProblem> {
        let (layout, order) = (Layout::of(element, self.order), self.order);
        let kind = |property: usize| element.properties[property].kind;
        let work = |block: &Block| {
            let mut places = Vec::with_capacity(block.count as usize);
            let mut colours = Vec::with_capacity(if wanted.colour.is_some() { block.count as usize } else { 0 });
            let (mut rest, mut begins) = (&block.bytes[..], Vec::new());
            while !rest.is_empty() {
                let length = layout.stretches(rest, &mut begins);
                let value = |property| number(kind(property), order, &rest[layout.place(property, &begins)..]);
                places.push(wanted.place.map(value));
                colours.extend(wanted.colour.map(|colour| colour.of(value)));
                rest = &rest[length..];
            }
            Ok((VertexRun::of(places)?, colours))
        };
        for (run, colours) in self.each_block(element, &layout, progress, work)? {
            faces.vertices.push(run);
            faces.colours.extend(colours);
        }
        Ok(())
    }

    fn faces(
        &mut self,
        element: &Element,
        wanted: &FaceNumbers,
        faces: &mut Faces,
        progress: &Progress,
    ) -> Result<(), ReadProblem> {
        let (layout, order) = (Layout::of(element, self.order), self.order);
        let list = &element.properties[wanted.list];
        let count = list.list.unwrap_or(list.kind);
        let work = |block: &Block| {
            let mut run = FaceRun { corners: Vec::with_capacity(3 * block.count as usize), ..FaceRun::default() };
            let (mut rest, mut begins, mut number_of) = (&block.bytes[..], Vec::new(), block.first);
            while !rest.is_empty() {
                let length = layout.stretches(rest, &mut begins);
                let head = &rest[layout.place(wanted.list, &begins)..];
                let bytes = whole(count, order, head) as usize * list.kind.bytes();
                let indices = head[count.bytes()..][..bytes].chunks_exact(list.kind.bytes());
                wanted.push(number_of, indices.map(|bytes| index(list.kind, order, bytes)), &mut run)?;
                let value = |property: usize| {
                    number(element.properties[property].kind, order, &rest[layout.place(property, &begins)..])
                };
                run.colours.extend(wanted.colour.map(|colour| colour.of(value)));
                rest = &rest[length..];
                number_of += 1;
            }
            Ok(run)
        };
        faces.runs.extend(self.each_block(element, &layout, progress, work)?);
        check_count(faces)
    }

    fn skip(&mut self, element: &Element, progress: &Progress) -> Result<(), ReadProblem> {
        let layout = Layout::of(element, self.order);
        let Some(stride) = layout.stride() else {
            return self.each_block(element, &layout, progress, |_| Ok(())).map(drop);
        };
        let there = self.rest.len() as u64 + self.length.saturating_sub(self.read);
        let Some(bytes) = element.count.checked_mul(stride as u64).filter(|&bytes| bytes <= there) else {
            return Err(cut_short(element, there / stride as u64));
        };
        let of_rest = bytes.min(self.rest.len() as u64);
        self.rest.drain(..of_rest as usize);
        self.read += bytes - of_rest;
        self.source.seek(SeekFrom::Current(i64::try_from(bytes - of_rest).unwrap_or(i64::MAX)))?;
        Ok(())
    }

    fn trailing(&mut self) -> Result<u64, ReadProblem> {
        Ok(self.rest.len() as u64 + self.length.saturating_sub(self.read))
    }
}
