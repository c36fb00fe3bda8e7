//! Reading OBJ.
//!
//! The format has no standard body; what is read here is what its many writers agree on: `v`, `f`, `o`, `g`, with
//! polygons, indices that count back from the end, lines continued by a backslash, and colours behind coordinates.
//! Read here and not by a crate (tobj was looked at), because faces of several meshes, errors with their line, and
//! reading by all cores are wanted.

use super::blocks::for_each_block;
use super::faces::{Assembled, FaceRun, Faces, VertexRun, assemble};
use super::source::Source;
use super::text::{TextBlock, TextBlocks, Words, unexpected};
use super::{ReadProblem, Remark};
use crate::{Progress, TooManyVertices};
use std::collections::HashMap;

/// Whether a file begins as an OBJ does: text, most of whose lines begin with a word of the format.
pub(super) fn begins(head: &[u8]) -> bool {
    let head = super::text::without_mark(head);
    let (mut known, mut unknown) = (0, 0);
    // The last line may be cut off.
    let whole = memchr::memrchr(b'\n', head).map_or(head, |end| &head[..end]);
    for line in whole.split(|&b| b == b'\n' || b == b'\r') {
        match Words::new(line).next() {
            None => {}
            Some(b"v" | b"vn" | b"vt" | b"f" | b"o" | b"g" | b"mtllib" | b"usemtl" | b"s") => known += 1,
            Some(_) => unknown += 1,
        }
    }
    !head.contains(&0) && known > unknown
}

/// Reads all faces. Parts are told apart by the names of objects and groups.
pub(super) fn read(source: &mut dyn Source, length: u64, progress: &Progress) -> Result<Assembled, ReadProblem> {
    let mut text = TextBlocks::new(source, length, BLOCK, |line| line.last() != Some(&b'\\'));
    let blocks = for_each_block(move |block| text.next(block), Block::of, progress)?;
    let mut counts = [0; Passed::COUNT];
    let (mut faces, mut names) = (Faces::default(), Names::default());
    let (mut vertices, mut first_unknown) = (0_usize, None);
    let mut faces_before = 0;
    for (mut block, run) in blocks {
        let count = run.len();
        let coloured = !block.colours.is_empty();
        if coloured || !faces.colours.is_empty() {
            faces.colours.resize(vertices, NO_COLOUR);
            faces.colours.extend(&block.colours);
            faces.colours.resize(vertices + count, NO_COLOUR);
        }
        faces.runs.push(block.faces(vertices, faces_before, &mut names)?);
        faces_before += faces.runs.last().map_or(0, FaceRun::len) as u64;
        vertices += count;
        if u32::try_from(vertices).is_err() {
            return Err(TooManyVertices.into());
        }
        faces.vertices.push(run);
        counts.iter_mut().zip(block.passed).for_each(|(sum, count)| *sum += count);
        first_unknown = first_unknown.or(block.first_unknown);
    }
    faces.names = names.names;
    let mut made = assemble(faces, progress)?;
    made.remarks.extend(remarks(&counts, first_unknown));
    Ok(made)
}

/// Bytes of text that are worked on at a time: they and what is made of them lie in the cache, and there are enough of
/// them that handing them out costs nothing.
const BLOCK: usize = 1 << 19;

/// Stands for vertices without a colour among others that have one.
const NO_COLOUR: [u8; 4] = [255; 4];

/// What is passed over and counted.
#[derive(Clone, Copy, Debug)]
enum Passed {
    Lines,
    Materials,
    Curved,
    Unknown,
}

impl Passed {
    const COUNT: usize = 4;
}

fn remarks(counts: &[u64; Passed::COUNT], first_unknown: Option<u64>) -> Vec<Remark> {
    let said = |passed: Passed, what: String| {
        let count = counts[passed as usize];
        (count > 0).then_some(Remark { count, what })
    };
    let line = first_unknown.unwrap_or_default();
    [
        said(Passed::Lines, "lines and points are no surface: passed over".to_owned()),
        said(Passed::Materials, "uses of materials: passed over, only colours of vertices are read".to_owned()),
        said(Passed::Curved, "statements about curved surfaces: passed over, only flat faces are read".to_owned()),
        said(Passed::Unknown, format!("lines are not understood, the first of them line {line}: passed over")),
    ]
    .into_iter()
    .flatten()
    .collect()
}

/// What a block of text holds. Its faces may name vertices of other blocks.
#[derive(Debug, Default)]
struct Block {
    vertices: Vec<[f64; 3]>,
    /// Of as many vertices as come before the last coloured one.
    colours: Vec<[u8; 4]>,
    corners: Vec<u32>,
    ends: Vec<u32>,
    /// Whether corners count from where the block begins, as signed numbers; of as many as come before the last such.
    relative: Vec<bool>,
    names: Vec<(usize, Name)>,
    passed: [u64; Passed::COUNT],
    first_unknown: Option<u64>,
}

#[derive(Debug)]
enum Name {
    Object(String),
    Group(String),
}

impl Block {
    /// All but the vertices, and these.
    fn of(text: &mut TextBlock) -> Result<(Block, VertexRun), ReadProblem> {
        let mut block = Block::default();
        text.each_line(Some(b'\\'), |number, line| {
            block.line(line, number).map_err(|what| ReadProblem::Line { line: number, what })
        })?;
        // Many blocks are kept until all are read.
        let mut vertices = std::mem::take(&mut block.vertices);
        vertices.shrink_to_fit();
        block.corners.shrink_to_fit();
        block.ends.shrink_to_fit();
        Ok((block, VertexRun::of(vertices)?))
    }

    fn line(&mut self, line: &[u8], number: u64) -> Result<(), String> {
        let mut words = Words::new(line);
        let Some(keyword) = words.next() else { return Ok(()) };
        match keyword {
            b"v" => self.vertex(words)?,
            b"f" | b"fo" => self.face(words)?,
            b"o" => self.names.push((self.ends.len(), Name::Object(words.joined()))),
            b"g" => self.names.push((self.ends.len(), Name::Group(words.joined()))),
            b"vn" | b"vt" | b"vp" | b"s" | b"mtllib" => {}
            b"usemtl" => self.pass(Passed::Materials),
            b"l" | b"p" => self.pass(Passed::Lines),
            b"curv" | b"curv2" | b"surf" | b"cstype" | b"deg" | b"bmat" | b"step" | b"parm" | b"trim" | b"hole"
            | b"scrv" | b"sp" | b"end" | b"con" => self.pass(Passed::Curved),
            _ if self.vertices.is_empty() && self.ends.is_empty() && keyword.contains(&0) => {
                return Err(unexpected("a line of an OBJ file", keyword));
            }
            _ => {
                self.first_unknown.get_or_insert(number);
                self.pass(Passed::Unknown);
            }
        }
        Ok(())
    }

    fn pass(&mut self, passed: Passed) {
        self.passed[passed as usize] += 1;
    }

    /// `v x y z`, `v x y z w` (the weight of rational curves, not used), `v x y z r g b` or `v x y z r g b a`.
    fn vertex(&mut self, words: Words) -> Result<(), String> {
        let (mut numbers, mut count) = ([0.0; 7], 0);
        for word in words {
            let Some(place) = numbers.get_mut(count) else { break };
            *place = fast_float2::parse(word).map_err(|_| unexpected("a number with a decimal point", word))?;
            count += 1;
        }
        if count < 3 {
            return Err(format!("a vertex has {count} coordinates where it needs 3; export the model again"));
        }
        self.vertices.push([numbers[0], numbers[1], numbers[2]]);
        if count >= 6 {
            self.colours.resize(self.vertices.len() - 1, NO_COLOUR);
            let alpha = if count == 7 { numbers[6] } else { 1.0 };
            self.colours.push([numbers[3], numbers[4], numbers[5], alpha].map(|share| (share * 255.0).round() as u8));
        }
        Ok(())
    }

    /// `f` and for each corner `v`, `v/vt`, `v//vn` or `v/vt/vn`, of which the first number counts.
    fn face(&mut self, words: Words) -> Result<(), String> {
        for word in words {
            let digits = memchr::memchr(b'/', word).map_or(word, |end| &word[..end]);
            let (negative, digits) = match digits.strip_prefix(b"-") {
                Some(digits) => (true, digits),
                None => (false, digits.strip_prefix(b"+").unwrap_or(digits)),
            };
            let index = number(digits).ok_or_else(|| unexpected("the index of a vertex", word))?;
            if negative {
                let back = i32::try_from(self.vertices.len()).ok().zip(i32::try_from(index).ok());
                let relative = back.and_then(|(count, index)| count.checked_sub(index));
                self.relative.resize(self.corners.len(), false);
                self.relative.push(true);
                self.corners.push(relative.ok_or_else(|| unexpected("the index of a vertex", word))? as u32);
            } else {
                self.corners.push(index - 1);
            }
        }
        self.ends.push(u32::try_from(self.corners.len()).map_err(|_| "too many corners for one block".to_owned())?);
        Ok(())
    }

    /// Hands over the faces, with vertices counted through the file and parts by number.
    fn faces(&mut self, vertices_before: usize, faces_before: u64, names: &mut Names) -> Result<FaceRun, ReadProblem> {
        let mut run = FaceRun { corners: std::mem::take(&mut self.corners), ..FaceRun::default() };
        for (i, corner) in run.corners.iter_mut().enumerate().filter(|(i, _)| self.relative.get(*i) == Some(&true)) {
            let index = vertices_before as i64 + i64::from(*corner as i32);
            *corner = u32::try_from(index).map_err(|_| ReadProblem::Element {
                element: "face",
                number: faces_before + self.ends.partition_point(|&end| end as usize <= i) as u64 + 1,
                what: format!("counts back to {} before the first vertex; export the model again", -index),
            })?;
        }
        if !self.ends.iter().enumerate().all(|(i, &end)| end as usize == 3 * (i + 1)) {
            run.ends = std::mem::take(&mut self.ends);
        }
        // Numbered only once a face follows, so that names without faces make no part.
        let mut from = 0;
        for (face, name) in std::mem::take(&mut self.names) {
            if face > from {
                run.parts.push((from, names.part()));
                from = face;
            }
            names.change(name);
        }
        if run.len() > from {
            run.parts.push((from, names.part()));
        }
        Ok(run)
    }
}

/// The parts so far, and which one is at hand.
#[derive(Debug, Default)]
struct Names {
    object: String,
    group: String,
    at_hand: Option<u32>,
    names: Vec<String>,
    numbers: HashMap<String, u32>,
}

impl Names {
    fn change(&mut self, name: Name) {
        match name {
            Name::Object(name) => self.object = name,
            Name::Group(name) => self.group = name,
        }
        self.at_hand = None;
    }

    fn part(&mut self) -> u32 {
        if let Some(part) = self.at_hand {
            return part;
        }
        let name = match (self.object.as_str(), self.group.as_str()) {
            (name, "" | "default") | ("", name) => name.to_owned(),
            (object, group) if object == group => object.to_owned(),
            (object, group) => format!("{object} / {group}"),
        };
        let part = *self.numbers.entry(name).or_insert_with_key(|name| {
            self.names.push(name.clone());
            self.names.len() as u32 - 1
        });
        self.at_hand = Some(part);
        part
    }
}

/// An index of at least 1.
fn number(digits: &[u8]) -> Option<u32> {
    let digit = |&b: &u8| b.is_ascii_digit().then(|| u32::from(b - b'0'));
    if digits.is_empty() {
        return None;
    }
    let number = digits.iter().try_fold(0_u32, |n, b| n.checked_mul(10)?.checked_add(digit(b)?))?;
    (number > 0).then_some(number)
}
