//! The text form of STL.
//!
//! Read here and not by stl_io, whose text reader wants lower case and a number in every normal, stops after the
//! first of several solids, and can't say in which line it stumbled. On files that both read, they are tested to
//! agree.

use super::ReadProblem;
use super::blocks::for_each_block;
use super::source::Source;
use super::stl::{Collector, Facets};
use super::text::{TextBlock, TextBlocks, without_mark};
use crate::merge::{FACETS_PER_RUN, TooManyVertices};
use crate::{EdgeTable, Progress};
use std::io::{BufRead, BufReader, SeekFrom};
use std::sync::atomic::{AtomicBool, Ordering::Relaxed};

/// Whether a file begins as a text STL does.
pub(super) fn begins(head: &[u8]) -> bool {
    let head = without_mark(head).trim_ascii_start();
    let word = head.split(u8::is_ascii_whitespace).next().unwrap_or_default();
    word.eq_ignore_ascii_case(b"solid")
}

/// Reads all facets of all solids, from the beginning of the source.
pub(super) fn facets(source: &mut dyn Source, length: u64, progress: &Progress) -> Result<Facets, ReadProblem> {
    if let Some(facets) = in_blocks(source, length, BLOCK, progress)? {
        return Ok(facets);
    }
    source.seek(SeekFrom::Start(0))?;
    line_by_line(BufReader::with_capacity(1 << 16, source), length, progress)
}

/// Bytes of text that are worked on at a time: some thousand facets, so that most of those that share a corner are in
/// one block.
const BLOCK: usize = 1 << 21;

/// No more of the file is looked through for an end of a block: lines are then not broken as all known writers do it.
const MOST_BLOCKS: usize = 4;

/// Parts the file behind lines that say "endfacet" and nothing else, and reads the parts on all cores. `None` where
/// anything is not as it should be, or lines are not broken that way: then the file is gone through line by line, which
/// can tell what is wrong where.
fn in_blocks(
    source: &mut dyn Source,
    length: u64,
    block: usize,
    progress: &Progress,
) -> Result<Option<Facets>, ReadProblem> {
    let ends = |line: &[u8]| line.trim_ascii().eq_ignore_ascii_case(b"endfacet");
    let mut text = TextBlocks::new(source, length, block, ends).with_most(MOST_BLOCKS * block);
    let (mut count, given_up) = (0_u64, AtomicBool::new(false));
    let next = |(number, block): &mut (u64, TextBlock)| {
        *number = count;
        count += 1;
        if given_up.load(Relaxed) { Ok(None) } else { text.next(block) }
    };
    let work = |(number, block): &mut (u64, TextBlock)| {
        // Behind such a line nothing else can be expected.
        let expect = if *number == 0 { Expect::Solid } else { Expect::FacetOrEndsolid };
        let mut parser = Parser { expect, ..Parser::default() };
        let outcome = block.each_line(None, |_, line| parser.line(line));
        if outcome.is_err() {
            given_up.store(true, Relaxed);
        }
        Ok(outcome.is_ok().then(|| (parser.expect, parser.facets.finish())))
    };
    let made = for_each_block(next, work, progress)?;
    let (last, mut all) = (made.len(), Facets::default());
    for (i, made) in (1..).zip(made) {
        match made {
            Some((Expect::FacetOrEndsolid, facets)) if i < last => all = all.and(facets),
            Some((Expect::Solid, facets)) if i == last => all = all.and(facets),
            _ => return Ok(None),
        }
    }
    Ok(Some(all).filter(|all| !given_up.into_inner() && all.total() <= EdgeTable::MAX_FACES))
}

/// Reads all facets of all solids, and tells where something is not as it should be.
fn line_by_line(mut source: impl BufRead, length: u64, progress: &Progress) -> Result<Facets, ReadProblem> {
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
        let value: f32 = fast_float2::parse(word).map_err(|_| unexpected("a number with a decimal point", word))?;
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

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use std::io::Cursor;

    /// What was read, or nothing.
    fn all_of(facets: Facets) -> (usize, Option<crate::merge::Merged>) {
        (facets.total(), facets.merged(&Progress::new()).ok())
    }

    fn by_blocks(text: &str, block: usize) -> Option<(usize, Option<crate::merge::Merged>)> {
        in_blocks(&mut Cursor::new(text), text.len() as u64, block, &Progress::new()).unwrap().map(all_of)
    }

    fn by_lines(text: &str) -> Option<(usize, Option<crate::merge::Merged>)> {
        line_by_line(Cursor::new(text), text.len() as u64, &Progress::new()).ok().map(all_of)
    }

    fn facet(i: usize) -> String {
        format!(
            "facet normal 0 0 1\n outer loop\n  vertex {} 0 0\n  vertex 1 {} 0\n  vertex 0 1 {}\n endloop\nendfacet\n",
            i % 5,
            i % 3,
            i % 7
        )
    }

    #[test]
    fn files_as_they_are_written_are_read_in_blocks() {
        let solid = |count| format!("solid a\n{}endsolid a\n", (0..count).map(facet).collect::<String>());
        for text in
            [solid(1), solid(40), solid(9) + &solid(30), solid(40).to_uppercase(), solid(40).replace('\n', "\r\n")]
        {
            for block in [60, 100, 1000, 1 << 20] {
                let made = by_blocks(&text, block);
                assert!(made.is_some(), "{block}");
                assert_eq!(made, by_lines(&text), "{block}");
            }
        }
    }

    #[test]
    fn what_is_wrong_or_not_broken_into_lines_is_left_to_the_other_way() {
        let facets: String = (0..40).map(facet).collect();
        for text in [
            format!("solid a\n{facets}"),
            format!("solid a\n{}endsolid\n", facets.replace('\n', " ")),
            format!("solid a\n{}endsolid\n", facets.replacen("endloop", "", 1)),
            format!("solid a\n{facets}endsolid\nfacet\n"),
            "solid a\nendfacet\nendsolid\n".to_owned(),
        ] {
            assert_eq!(by_blocks(&text, 200), None, "{text}");
        }
    }

    proptest! {
        #[test]
        fn in_blocks_nothing_else_is_read_than_line_by_line(
            words in prop::collection::vec(prop::sample::select(vec![
                "solid a\n", "endsolid\n", "endsolid ", "endfacet\n", " endfacet \n", "endfacet ", "facet\n", "solid\nendfacet\n",
                "facet normal outer loop vertex 0 0 0 vertex 1 0 0 vertex 0 1 0 endloop endfacet\n", "\r", "1 ", "vertex ",
            ]), 0..12),
            (before, behind, block) in (0..5_usize, 0..5_usize, 1..600_usize),
        ) {
            let facets = |count| (0..count).map(facet).collect::<String>();
            let text = format!("solid\n{}{}{}endsolid\n", facets(before), words.concat(), facets(behind));
            if let Some(made) = by_blocks(&text, block) {
                prop_assert_eq!(Some(made), by_lines(&text));
            }
        }
    }
}
