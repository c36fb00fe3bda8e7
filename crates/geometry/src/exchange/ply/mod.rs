//! Reading PLY, text and binary.
//!
//! A header tells which elements follow, how many of each, and of what numbers each is made (G. Turk, "The PLY polygon
//! file format", 1994). Only vertices and faces are kept; all else is stepped over by what the header says of it.

mod binary;
mod header;
mod layout;
mod number;
mod text;

use super::faces::{Assembled, FaceRun, Faces, assemble};
use super::source::Source;
use super::{ReadProblem, Remark};
use crate::{EdgeTable, Progress, TooManyVertices};
use binary::Binary;
use header::{Colour, Element, Form, Header, Property};
use number::Order;
use text::Text;

/// Whether a file begins as a PLY does.
pub(super) fn begins(head: &[u8]) -> bool {
    head.strip_prefix(b"ply").is_some_and(|rest| matches!(rest.first(), Some(b'\n' | b'\r' | b' ' | b'\t')))
}

/// Reads all vertices and faces; strips of triangles as well.
pub(super) fn read(source: &mut dyn Source, length: u64, progress: &Progress) -> Result<Assembled, ReadProblem> {
    let header = Header::read(source, length)?;
    let length = length.saturating_sub(header.bytes);
    match header.form {
        Form::Text => read_body(Text::new(source, length, header.lines + 1), &header, length, progress),
        Form::LittleEndian => read_body(Binary::new(source, length, Order::Little), &header, length, progress),
        Form::BigEndian => read_body(Binary::new(source, length, Order::Big), &header, length, progress),
    }
}

/// What stands behind the header, however its numbers are written. Elements come in the order of the header.
trait Body {
    /// Bytes that a property takes at least.
    fn smallest(&self, property: &Property) -> u64;

    /// Reads vertices.
    fn vertices(
        &mut self,
        element: &Element,
        wanted: &VertexNumbers,
        faces: &mut Faces,
        progress: &Progress,
    ) -> Result<(), ReadProblem>;

    /// Reads faces, or strips of them.
    fn faces(
        &mut self,
        element: &Element,
        wanted: &FaceNumbers,
        faces: &mut Faces,
        progress: &Progress,
    ) -> Result<(), ReadProblem>;

    /// Steps over elements that nobody asked for.
    fn skip(&mut self, element: &Element, progress: &Progress) -> Result<(), ReadProblem>;

    /// Bytes behind the last element, blank ones of a text not counted.
    fn trailing(&mut self) -> Result<u64, ReadProblem>;
}

fn read_body(mut body: impl Body, header: &Header, length: u64, progress: &Progress) -> Result<Assembled, ReadProblem> {
    let mut faces = Faces::default();
    let mut remarks = Vec::new();
    let mut seen = [false; 2];
    for element in &header.elements {
        progress.check()?;
        // As many as the file has room for.
        let each: u64 = element.properties.iter().map(|property| body.smallest(property)).sum();
        let fits = (length + 1).checked_div(each).unwrap_or(if element.count == 0 { 0 } else { u64::MAX });
        if element.count > fits {
            return Err(ReadProblem::Promised { promised: element.count, of: element.name.clone(), found: fits });
        }
        match element.name.as_str() {
            "vertex" if !seen[0] => {
                seen[0] = true;
                body.vertices(element, &VertexNumbers::of(element)?, &mut faces, progress)?;
            }
            "face" if !seen[1] => {
                seen[1] = true;
                body.faces(element, &FaceNumbers::of(element, false)?, &mut faces, progress)?;
            }
            "tristrips" => body.faces(element, &FaceNumbers::of(element, true)?, &mut faces, progress)?,
            name => {
                if !element.properties.is_empty() {
                    body.skip(element, progress)?;
                }
                if element.count > 0 {
                    let what = format!("elements {name:?} are neither vertices nor faces: passed over");
                    remarks.push(Remark { count: element.count, what });
                }
            }
        }
    }
    let trailing = body.trailing()?;
    if trailing > 0 {
        let what = "bytes behind the last element mean nothing: passed over".to_owned();
        remarks.push(Remark { count: trailing, what });
    }
    let mut made = assemble(faces, progress)?;
    made.remarks.extend(remarks);
    Ok(made)
}

/// Which numbers of a vertex are wanted.
#[derive(Clone, Copy, Debug)]
struct VertexNumbers {
    /// The properties x, y and z.
    place: [usize; 3],
    colour: Option<Colour>,
}

impl VertexNumbers {
    fn of(element: &Element) -> Result<VertexNumbers, ReadProblem> {
        if u32::try_from(element.count).is_err() {
            return Err(TooManyVertices.into());
        }
        let [Some(x), Some(y), Some(z)] = ["x", "y", "z"].map(|name| element.scalar(&[name])) else {
            return Err(ReadProblem::Told(
                "the vertices of this PLY file have no x, y and z; export the model again".to_owned(),
            ));
        };
        Ok(VertexNumbers { place: [x, y, z], colour: element.colour() })
    }
}

/// Which numbers of a face are wanted.
#[derive(Clone, Copy, Debug)]
struct FaceNumbers {
    /// The property with the list of vertices.
    list: usize,
    colour: Option<Colour>,
    /// Whether the list is strips of triangles.
    strips: bool,
}

impl FaceNumbers {
    fn of(element: &Element, strips: bool) -> Result<FaceNumbers, ReadProblem> {
        let Some(list) = element.list(&["vertex_indices", "vertex_index"]) else {
            return Err(ReadProblem::Told(format!(
                "the elements {:?} of this PLY file have no list of vertex indices; export the model again",
                element.name
            )));
        };
        Ok(FaceNumbers { list, colour: element.colour().filter(|_| !strips), strips })
    }

    /// Adds the face, or strip, of this number, whose list is `indices`.
    fn push(&self, number: u64, indices: impl Iterator<Item = Index>, run: &mut FaceRun) -> Result<(), ReadProblem> {
        let vertex = |index: Index| {
            index.vertex().ok_or_else(|| ReadProblem::Element {
                element: "face",
                number: number + 1,
                what: format!("names vertex {index}, counted from 0, which no vertex can be; export the model again"),
            })
        };
        if self.strips {
            return push_strips(indices, vertex, run);
        }
        let before = run.corners.len();
        for index in indices {
            run.corners.push(vertex(index)?);
        }
        end_face(run, run.corners.len() - before)
    }
}

/// What stands in a list of vertices.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Index {
    Whole(i64),
    /// Some files have even these with a decimal point.
    Number(f64),
}

impl Index {
    fn vertex(self) -> Option<u32> {
        match self {
            Index::Whole(index) => u32::try_from(index).ok().filter(|&index| index != u32::MAX),
            Index::Number(index) => {
                let is_one = index >= 0.0 && index < f64::from(u32::MAX) && index.fract() == 0.0;
                is_one.then_some(index as u32)
            }
        }
    }
}

impl std::fmt::Display for Index {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Index::Whole(index) => index.fmt(f),
            Index::Number(index) => index.fmt(f),
        }
    }
}

/// Ends a face of `corners` corners, which were pushed already.
fn end_face(run: &mut FaceRun, corners: usize) -> Result<(), ReadProblem> {
    if run.ends.is_empty() && corners == 3 {
        return Ok(()); // all are triangles so far
    }
    if run.ends.is_empty() {
        let before = (run.corners.len() - corners) / 3;
        run.ends.extend((1..=before).map(|face| 3 * face as u32));
    }
    let end = u32::try_from(run.corners.len());
    run.ends.push(end.map_err(|_| ReadProblem::TooLarge { limit: u64::from(u32::MAX), of: "corners in one face" })?);
    Ok(())
}

/// The triangles of strips: each vertex makes one with the two before it, every second turned round; −1 begins anew.
fn push_strips(
    indices: impl Iterator<Item = Index>,
    vertex: impl Fn(Index) -> Result<u32, ReadProblem>,
    run: &mut FaceRun,
) -> Result<(), ReadProblem> {
    let (mut last, mut count) = ([0; 2], 0);
    for index in indices {
        if matches!(index, Index::Whole(-1) | Index::Number(-1.0)) {
            count = 0;
            continue;
        }
        let [a, b] = last;
        let c = vertex(index)?;
        if count >= 2 {
            run.corners.extend(if count % 2 == 0 { [a, b, c] } else { [b, a, c] });
            end_face(run, 3)?;
        }
        last = [b, c];
        count += 1;
    }
    Ok(())
}

/// Refuses more faces than can be numbered.
fn check_count(faces: &Faces) -> Result<(), ReadProblem> {
    if faces.runs.iter().map(FaceRun::len).sum::<usize>() > EdgeTable::MAX_FACES {
        return Err(ReadProblem::TooLarge { limit: EdgeTable::MAX_FACES as u64, of: "facets" });
    }
    Ok(())
}

/// The file holds fewer of these than its header promises.
fn cut_short(element: &Element, found: u64) -> ReadProblem {
    ReadProblem::Promised { promised: element.count, of: element.name.clone(), found }
}

/// A list can't be shorter than nothing.
fn negative_length(element: &Element, number: u64) -> ReadProblem {
    ReadProblem::Told(format!("{} {} has a list of negative length; export the model again", element.name, number + 1))
}
