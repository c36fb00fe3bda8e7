//! The text form of STL.
//!
//! Read here and not by stl_io, whose text reader wants lower case and a number in every normal, stops after the
//! first of several solids, and can't say in which line it stumbled. On files that both read, they are tested to
//! agree.

use super::ReadProblem;
use super::stl::{Collector, Facets};
use super::text::without_mark;
use crate::merge::{FACETS_PER_RUN, TooManyVertices};
use crate::{EdgeTable, Progress};
use std::io::BufRead;

/// Whether a file begins as a text STL does.
pub(super) fn begins(head: &[u8]) -> bool {
    let head = without_mark(head).trim_ascii_start();
    let word = head.split(u8::is_ascii_whitespace).next().unwrap_or_default();
    word.eq_ignore_ascii_case(b"solid")
}

/// Reads all facets of all solids.
pub(super) fn facets(mut source: impl BufRead, length: u64, progress: &Progress) -> Result<Facets, ReadProblem> {
    let mut parser = Parser::default();
    let (mut line, mut number, mut bytes) = (Vec::new(), 0, 0);
    loop {
        line.clear();
        let count = source.read_until(b'\n', &mut line)?;
        if count == 0 {
            break;
        }
        let content = if bytes == 0 { without_mark(&line) } else { &line };
        bytes += count as u64;
        // Carriage returns alone end lines too, as in files of very old systems.
        let content = content.strip_suffix(b"\n").unwrap_or(content);
        let content = content.strip_suffix(b"\r").unwrap_or(content);
        for part in content.split(|&b| b == b'\r') {
            number += 1;
            parser.line(part).map_err(|fault| fault.at(number))?;
        }
        if parser.facets.total() >= parser.next_report {
            parser.next_report += FACETS_PER_RUN;
            progress.check()?;
            progress.report(bytes as f64 / length.max(1) as f64);
            if parser.facets.total() > EdgeTable::MAX_FACES {
                return Err(ReadProblem::TooLarge { limit: EdgeTable::MAX_FACES as u64, of: "facets" });
            }
        }
    }
    if parser.expect != Expect::Solid {
        let what = format!(
            "the file ends in the middle of a solid, after {} whole facets: it was cut short; copy or export it again",
            parser.facets.total()
        );
        return Err(ReadProblem::Line { line: number, what });
    }
    Ok(parser.facets.finish())
}

#[derive(Debug, Default)]
struct Parser {
    facets: Collector,
    next_report: usize,
    expect: Expect,
    /// Vertices of the facet at hand; more than three are counted, not kept.
    corners: [[f32; 3]; 3],
    corner_count: usize,
    /// Coordinates of the vertex at hand.
    coordinate_count: usize,
}

/// What the next word should be.
#[derive(Debug, Default, Clone, Copy, PartialEq, Eq)]
enum Expect {
    #[default]
    Solid,
    FacetOrEndsolid,
    /// Inside the normal, which is passed over.
    Outer,
    Loop,
    VertexOrEndloop,
    Coordinate,
    Endfacet,
}

impl Parser {
    fn line(&mut self, line: &[u8]) -> Result<(), Fault> {
        for word in line.split(u8::is_ascii_whitespace).filter(|word| !word.is_empty()) {
            let is = |name: &str| word.eq_ignore_ascii_case(name.as_bytes());
            match self.expect {
                Expect::Solid if is("solid") => {
                    self.expect = Expect::FacetOrEndsolid;
                    return Ok(()); // the rest of the line is a name
                }
                Expect::Solid => return Err(unexpected("\"solid\"", word)),
                Expect::FacetOrEndsolid if is("facet") => self.expect = Expect::Outer,
                Expect::FacetOrEndsolid if is("endsolid") => {
                    self.expect = Expect::Solid;
                    return Ok(());
                }
                Expect::FacetOrEndsolid => return Err(unexpected("\"facet\" or \"endsolid\"", word)),
                Expect::Outer if is("outer") => self.expect = Expect::Loop,
                Expect::Outer if is("vertex") || is("endfacet") => return Err(unexpected("\"outer loop\"", word)),
                Expect::Outer => {}
                Expect::Loop if is("loop") => {
                    self.corner_count = 0;
                    self.expect = Expect::VertexOrEndloop;
                }
                Expect::Loop => return Err(unexpected("\"loop\"", word)),
                Expect::VertexOrEndloop if is("vertex") => {
                    self.coordinate_count = 0;
                    self.expect = Expect::Coordinate;
                }
                Expect::VertexOrEndloop if is("endloop") => {
                    if self.corner_count != 3 {
                        return Err(Fault::Text(format!(
                            "facet {} ends here with {} vertices where STL has exactly 3; export the model as triangles",
                            self.facets.total() + 1,
                            self.corner_count
                        )));
                    }
                    self.facets.push(self.corners)?;
                    self.expect = Expect::Endfacet;
                }
                Expect::VertexOrEndloop => return Err(unexpected("\"vertex\" or \"endloop\"", word)),
                Expect::Coordinate => self.coordinate(word)?,
                Expect::Endfacet if is("endfacet") => self.expect = Expect::FacetOrEndsolid,
                Expect::Endfacet => return Err(unexpected("\"endfacet\"", word)),
            }
        }
        Ok(())
    }

    fn coordinate(&mut self, word: &[u8]) -> Result<(), Fault> {
        let value: f32 = std::str::from_utf8(word)
            .ok()
            .and_then(|word| word.parse().ok())
            .ok_or_else(|| unexpected("a number with a decimal point", word))?;
        if let Some(place) = self.corners.get_mut(self.corner_count) {
            place[self.coordinate_count] = value;
        }
        self.coordinate_count += 1;
        if self.coordinate_count == 3 {
            self.corner_count += 1;
            self.expect = Expect::VertexOrEndloop;
        }
        Ok(())
    }
}

fn unexpected(expected: &str, found: &[u8]) -> Fault {
    Fault::Text(super::text::unexpected(expected, found))
}

/// What a line may suffer from.
enum Fault {
    Text(String),
    TooManyVertices(TooManyVertices),
}

impl Fault {
    fn at(self, line: u64) -> ReadProblem {
        match self {
            Fault::Text(what) => ReadProblem::Line { line, what },
            Fault::TooManyVertices(problem) => problem.into(),
        }
    }
}

impl From<TooManyVertices> for Fault {
    fn from(problem: TooManyVertices) -> Fault {
        Fault::TooManyVertices(problem)
    }
}
