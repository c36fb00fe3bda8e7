//! Reading PLY, text and binary.
//!
//! A header tells which elements follow, how many of each, and of what numbers each is made (G. Turk, "The PLY polygon
//! file format", 1994). Only vertices and faces are kept; all else is stepped over by what the header says of it.

mod header;
mod numbers;

use super::faces::{Assembled, FaceRun, Faces, assemble};
use super::source::Source;
use super::{ReadProblem, Remark};
use crate::{EdgeTable, Progress, TooManyVertices};
use header::{Element, Header, Property};
use numbers::{Binary, Numbers, Order, Text};

/// Whether a file begins as a PLY does.
pub(super) fn begins(head: &[u8]) -> bool {
    head.strip_prefix(b"ply").is_some_and(|rest| matches!(rest.first(), Some(b'\n' | b'\r' | b' ' | b'\t')))
}

/// Reads all vertices and faces; strips of triangles as well.
pub(super) fn read(source: &mut dyn Source, length: u64, progress: &Progress) -> Result<Assembled, ReadProblem> {
    let header = Header::read(source, length)?;
    let body = length.saturating_sub(header.bytes);
    match header.form {
        header::Form::Text => {
            let numbers = Text::new(source, header.lines + 1);
            Reader { numbers, length: body, smallest: 1, progress }.read(&header)
        }
        header::Form::LittleEndian => {
            let numbers = Binary::new(source, Order::Little, body);
            Reader { numbers, length: body, smallest: 0, progress }.read(&header)
        }
        header::Form::BigEndian => {
            let numbers = Binary::new(source, Order::Big, body);
            Reader { numbers, length: body, smallest: 0, progress }.read(&header)
        }
    }
}

struct Reader<'a, N> {
    numbers: N,
    /// Bytes behind the header.
    length: u64,
    /// Bytes that a number takes at least, or 0 for what its kind says.
    smallest: u64,
    progress: &'a Progress,
}

/// Elements between two looks at the progress handle.
const ELEMENTS_PER_REPORT: u64 = 1 << 15;

/// Elements whose numbers are handed on together.
const RUN: usize = 1 << 16;

impl<N: Numbers> Reader<'_, N> {
    fn read(mut self, header: &Header) -> Result<Assembled, ReadProblem> {
        let mut faces = Faces::default();
        let mut remarks = Vec::new();
        let mut seen = [false; 2];
        for element in &header.elements {
            let fits = self.most(element);
            if element.count > fits {
                return Err(ReadProblem::Promised { promised: element.count, of: element.name.clone(), found: fits });
            }
            match element.name.as_str() {
                "vertex" if !seen[0] => {
                    seen[0] = true;
                    self.vertices(element, &mut faces)?;
                }
                "face" if !seen[1] => {
                    seen[1] = true;
                    self.faces(element, &mut faces, false)?;
                }
                "tristrips" => self.faces(element, &mut faces, true)?,
                name => {
                    self.skip(element)?;
                    if element.count > 0 {
                        let what = format!("elements {name:?} are neither vertices nor faces: passed over");
                        remarks.push(Remark { count: element.count, what });
                    }
                }
            }
        }
        let trailing = self.numbers.trailing()?;
        if trailing > 0 {
            let what = "bytes behind the last element mean nothing: passed over".to_owned();
            remarks.push(Remark { count: trailing, what });
        }
        let mut made = assemble(faces)?;
        made.remarks.extend(remarks);
        Ok(made)
    }

    /// As many of this element as the file has room for.
    fn most(&self, element: &Element) -> u64 {
        let smallest = |property: &Property| match (self.smallest, property.list) {
            (0, None) => property.kind.bytes() as u64,
            (0, Some(count)) => count.bytes() as u64,
            // A digit and a space; the last may stand without.
            _ => 2,
        };
        let each: u64 = element.properties.iter().map(smallest).sum();
        (self.length + 1).checked_div(each).unwrap_or(if element.count == 0 { 0 } else { u64::MAX })
    }

    fn tick(&mut self, number: u64) -> Result<(), ReadProblem> {
        if number.is_multiple_of(ELEMENTS_PER_REPORT) {
            self.progress.check()?;
            self.progress.report(self.numbers.read() as f64 / self.length.max(1) as f64);
        }
        Ok(())
    }

    fn vertices(&mut self, element: &Element, faces: &mut Faces) -> Result<(), ReadProblem> {
        if u32::try_from(element.count).is_err() {
            return Err(TooManyVertices.into());
        }
        let places = ["x", "y", "z"].map(|name| element.scalar(&[name]));
        let [Some(x), Some(y), Some(z)] = places else {
            return Err(ReadProblem::Told(
                "the vertices of this PLY file have no x, y and z; export the model again".to_owned(),
            ));
        };
        let colour = element.colour();
        let mut values = vec![0.0; element.properties.len()];
        let mut run = Vec::new();
        for number in 0..element.count {
            self.tick(number)?;
            self.numbers.element(element, number, &mut values, |_, _| ())?;
            run.push([values[x], values[y], values[z]]);
            if let Some(colour) = &colour {
                faces.colours.push(colour.of(&values));
            }
            if run.len() == RUN {
                faces.vertices.push(std::mem::take(&mut run));
            }
        }
        faces.vertices.push(run);
        Ok(())
    }

    fn faces(&mut self, element: &Element, faces: &mut Faces, strips: bool) -> Result<(), ReadProblem> {
        let Some(list) = element.list(&["vertex_indices", "vertex_index"]) else {
            return Err(ReadProblem::Told(format!(
                "the elements {:?} of this PLY file have no list of vertex indices; export the model again",
                element.name
            )));
        };
        let colour = element.colour();
        let mut values = vec![0.0; element.properties.len()];
        let mut run = FaceRun::default();
        let mut polygon: Vec<f64> = Vec::new();
        for number in 0..element.count {
            self.tick(number)?;
            polygon.clear();
            self.numbers.element(element, number, &mut values, |property, value| {
                if property == list {
                    polygon.push(value);
                }
            })?;
            let fault = |index: f64| ReadProblem::Element {
                element: "face",
                number: number + 1,
                what: format!("names vertex {index}, counted from 0, which no vertex can be; export the model again"),
            };
            if strips {
                strip(&polygon, &mut run, |index| vertex(index).ok_or_else(|| fault(index)))?;
            } else {
                for &index in &polygon {
                    run.corners.push(vertex(index).ok_or_else(|| fault(index))?);
                }
                end_face(&mut run, polygon.len());
                if let Some(colour) = &colour {
                    run.colours.push(colour.of(&values));
                }
            }
            if run.len() >= RUN {
                faces.runs.push(std::mem::take(&mut run));
            }
            if faces.runs.len() > EdgeTable::MAX_FACES / RUN {
                return Err(ReadProblem::TooLarge { limit: EdgeTable::MAX_FACES as u64, of: "facets" });
            }
        }
        faces.runs.push(run);
        Ok(())
    }

    fn skip(&mut self, element: &Element) -> Result<(), ReadProblem> {
        if element.properties.is_empty() || self.numbers.skip(element)? {
            return Ok(());
        }
        let mut values = vec![0.0; element.properties.len()];
        for number in 0..element.count {
            self.tick(number)?;
            self.numbers.element(element, number, &mut values, |_, _| ())?;
        }
        Ok(())
    }
}

/// The index of a vertex.
fn vertex(index: f64) -> Option<u32> {
    (index >= 0.0 && index < f64::from(u32::MAX) && index.fract() == 0.0).then_some(index as u32)
}

/// Ends a face of `corners` corners, which were pushed already.
fn end_face(run: &mut FaceRun, corners: usize) {
    if run.ends.is_empty() && corners == 3 {
        return; // all are triangles so far
    }
    if run.ends.is_empty() {
        let before = (run.corners.len() - corners) / 3;
        run.ends.extend((1..=before).map(|face| 3 * face as u32));
    }
    run.ends.push(run.corners.len() as u32);
}

/// The triangles of strips: each vertex makes one with the two before it, every second turned round; −1 begins anew.
fn strip(
    indices: &[f64],
    run: &mut FaceRun,
    vertex: impl Fn(f64) -> Result<u32, ReadProblem>,
) -> Result<(), ReadProblem> {
    for strip in indices.split(|&index| index == -1.0) {
        let strip = strip.iter().map(|&index| vertex(index)).collect::<Result<Vec<_>, _>>()?;
        for (i, w) in strip.windows(3).enumerate() {
            run.corners.extend(if i % 2 == 0 { [w[0], w[1], w[2]] } else { [w[1], w[0], w[2]] });
            end_face(run, 3);
        }
    }
    Ok(())
}
