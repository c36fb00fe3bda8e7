//! What readers of text share.

use super::ReadProblem;
use super::source::Source;
use std::io::Read;

/// Longest piece of a file that is repeated in a message, bytes.
const LONGEST_QUOTE: usize = 40;

/// A piece of a file as it can stand in a message.
pub(super) fn quote(found: &[u8]) -> String {
    let quote = String::from_utf8_lossy(&found[..found.len().min(LONGEST_QUOTE)]);
    format!("\"{}\"", quote.escape_debug())
}

/// The complaint that one thing was expected and another found.
pub(super) fn unexpected(expected: &str, found: &[u8]) -> String {
    format!("expected {expected}, found {}; export the model again", quote(found))
}

/// Text without a UTF-8 byte order mark.
pub(super) fn without_mark(text: &[u8]) -> &[u8] {
    text.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(text)
}

/// Whole lines of a file.
#[derive(Debug, Default)]
pub(super) struct TextBlock {
    text: Vec<u8>,
    /// Counted from 1.
    first_line: u64,
}

impl TextBlock {
    /// Calls `take` with the number of each line and what is in it; lines that end in `continued` come joined, under
    /// the number of the first. Line ends are those of any system.
    pub(super) fn each_line<E>(
        &self,
        continued: Option<u8>,
        mut take: impl FnMut(u64, &[u8]) -> Result<(), E>,
    ) -> Result<(), E> {
        let (mut number, mut begin) = (self.first_line, 0);
        let mut joined: Vec<u8> = Vec::new();
        let mut joined_from = 0;
        for end in memchr::memchr_iter(b'\n', &self.text).chain([self.text.len()]) {
            let line = &self.text[begin..end];
            begin = (end + 1).min(self.text.len());
            let line = line.strip_suffix(b"\r").unwrap_or(line);
            // Carriage returns alone end lines too, as in files of very old systems.
            for line in line.split(|&b| b == b'\r') {
                let goes_on = continued.is_some_and(|mark| line.last() == Some(&mark));
                if goes_on || !joined.is_empty() {
                    if joined.is_empty() {
                        joined_from = number;
                    }
                    joined.extend(if goes_on { &line[..line.len() - 1] } else { line });
                    // Keeps words apart, and tells that a line is waiting.
                    joined.push(b' ');
                    if !goes_on {
                        take(joined_from, &joined)?;
                        joined.clear();
                    }
                } else {
                    take(number, line)?;
                }
                number += 1;
            }
        }
        if joined.is_empty() { Ok(()) } else { take(joined_from, &joined) }
    }
}

/// Cuts a file into blocks of whole lines.
pub(super) struct TextBlocks<'a> {
    source: &'a mut dyn Source,
    length: u64,
    read: u64,
    /// What was read behind the last line of the block before.
    rest: Vec<u8>,
    next_line: u64,
    /// Whether a block may end with this line.
    ends: fn(&[u8]) -> bool,
    block: usize,
    most: usize,
}

impl<'a> TextBlocks<'a> {
    /// Reads from where the source is. Blocks have about `block` bytes, more where no line `ends` one.
    pub(super) fn new(source: &'a mut dyn Source, length: u64, block: usize, ends: fn(&[u8]) -> bool) -> Self {
        TextBlocks { source, length, read: 0, rest: Vec::new(), next_line: 1, ends, block, most: usize::MAX }
    }

    /// From so many bytes on, blocks end anywhere.
    pub(super) fn with_most(self, most: usize) -> Self {
        TextBlocks { most, ..self }
    }

    /// Fills in the next block and says how far through the file it came.
    pub(super) fn next(&mut self, block: &mut TextBlock) -> Result<Option<f64>, ReadProblem> {
        block.text.clear();
        block.text.append(&mut self.rest);
        loop {
            let wanted = self.block.max(block.text.len()) as u64;
            let count = (&mut *self.source).take(wanted).read_to_end(&mut block.text)?;
            self.read += count as u64;
            if count == 0 || block.text.len() > self.most {
                break;
            }
            if let Some(end) = self.last_line_end(&block.text) {
                self.rest.extend_from_slice(&block.text[end..]);
                block.text.truncate(end);
                break;
            }
        }
        if block.text.is_empty() {
            return Ok(None);
        }
        if self.next_line == 1 && block.text.starts_with(b"\xEF\xBB\xBF") {
            block.text.drain(..3);
        }
        block.first_line = self.next_line;
        self.next_line += memchr::memchr_iter(b'\n', &block.text).count() as u64;
        Ok(Some(self.read as f64 / self.length.max(1) as f64))
    }

    /// Behind the last line that may end a block.
    fn last_line_end(&self, text: &[u8]) -> Option<usize> {
        let mut ends = memchr::memrchr_iter(b'\n', text).peekable();
        while let Some(end) = ends.next() {
            let begin = ends.peek().map_or(0, |before| before + 1);
            let line = &text[begin..end];
            if (self.ends)(line.strip_suffix(b"\r").unwrap_or(line)) {
                return Some(end + 1);
            }
        }
        None
    }
}

/// The words of a line, up to a comment.
#[derive(Clone, Copy, Debug)]
pub(super) struct Words<'a> {
    rest: &'a [u8],
}

impl<'a> Words<'a> {
    pub(super) fn new(line: &'a [u8]) -> Words<'a> {
        Words { rest: line }
    }

    /// All words with one space between them.
    pub(super) fn joined(self) -> String {
        let words: Vec<_> = self.map(String::from_utf8_lossy).collect();
        words.join(" ")
    }
}

impl<'a> Iterator for Words<'a> {
    type Item = &'a [u8];

    fn next(&mut self) -> Option<&'a [u8]> {
        let begin = self.rest.iter().position(|b| !b.is_ascii_whitespace())?;
        let rest = &self.rest[begin..];
        if rest[0] == b'#' {
            self.rest = &[];
            return None;
        }
        let end = rest.iter().position(u8::is_ascii_whitespace).unwrap_or(rest.len());
        let word;
        (word, self.rest) = rest.split_at(end);
        Some(word)
    }
}
