//! Finds the string literals of a source file, with the call that each is handed to.

/// A string literal.
#[derive(Clone, Debug, PartialEq)]
pub struct Literal {
    /// The line that it begins on, from 1.
    pub line: usize,
    /// What stands between its quotes.
    pub text: String,
    /// The nearest call, macro or attribute around it, methods with their point: `.label`, `egui::Grid::new`, `error`;
    /// empty where there is none in the same block.
    pub call: String,
}

impl Literal {
    /// Whether it is handed to `call`, however far that is named.
    pub fn is_handed_to(&self, call: &str) -> bool {
        self.call.strip_suffix(call).is_some_and(|before| before.is_empty() || before.ends_with("::"))
    }

    /// Whether people would read words in it: two letters in a row, but for names of what is filled in.
    pub fn says_something(&self) -> bool {
        let (mut filled_in, mut letters, mut escaped) = (false, 0, false);
        for c in self.text.chars() {
            match c {
                // The letter of `\n` is none.
                _ if escaped => (escaped, letters) = (false, 0),
                '\\' => escaped = true,
                '{' => filled_in = true,
                '}' => (filled_in, letters) = (false, 0),
                _ if c.is_alphabetic() && !filled_in => letters += 1,
                _ => letters = 0,
            }
            if letters == 2 {
                return true;
            }
        }
        false
    }
}

/// Calls that only wrap what they are given: what they are handed to counts.
const WRAPPERS: [&str; 9] = ["format!", "vec!", "Some", "Ok", "Err", "String::from", "write!", "writeln!", "Box::new"];

/// All string literals of `source`, but for those in comments and in what is compiled for tests only.
pub fn literals(source: &str) -> Vec<Literal> {
    let mut scan = Scan { source, at: 0, open: Vec::new(), tests: Tests::Not, found: Vec::new() };
    while let Some(rest) = source.get(scan.at..).filter(|rest| !rest.is_empty()) {
        scan.step(rest);
    }
    scan.found
}

struct Scan<'a> {
    source: &'a str,
    at: usize,
    /// The brackets that are open, with what is called by them.
    open: Vec<(char, String)>,
    tests: Tests,
    found: Vec<Literal>,
}

/// Whether this belongs to tests.
enum Tests {
    Not,
    /// An attribute has said so of the next item.
    Next,
    /// Until only so many brackets are open.
    Until(usize),
}

impl Scan<'_> {
    fn step(&mut self, rest: &str) {
        let first = rest.chars().next().unwrap_or_default();
        let used = match first {
            '/' if rest.starts_with("//") => rest.find('\n').unwrap_or(rest.len()),
            '/' if rest.starts_with("/*") => rest.find("*/").map_or(rest.len(), |end| end + 2),
            '"' => self.literal(rest, 1, 0),
            'r' if self.begins_a_word() && raw_hashes(rest).is_some() => {
                let hashes = raw_hashes(rest).unwrap_or_default();
                self.literal(rest, hashes + 2, hashes)
            }
            '\'' => character(rest),
            '#' if is_for_tests(rest) => {
                if !matches!(self.tests, Tests::Until(_)) {
                    self.tests = Tests::Next;
                }
                rest.find(']').map_or(rest.len(), |end| end + 1)
            }
            '(' | '[' | '{' => {
                if first == '{' && matches!(self.tests, Tests::Next) {
                    self.tests = Tests::Until(self.open.len());
                }
                self.open.push((first, self.called()));
                1
            }
            ')' | ']' | '}' => {
                self.open.pop();
                if matches!(self.tests, Tests::Until(depth) if depth == self.open.len()) {
                    self.tests = Tests::Not;
                }
                1
            }
            ';' => {
                if matches!(self.tests, Tests::Next) {
                    self.tests = Tests::Not;
                }
                1
            }
            _ => first.len_utf8(),
        };
        self.at += used;
    }

    fn begins_a_word(&self) -> bool {
        !self.source[..self.at].ends_with(|c: char| c.is_alphanumeric() || c == '_')
    }

    /// Takes in a literal that begins with `head` bytes of quotes; its length with all quotes.
    fn literal(&mut self, rest: &str, head: usize, hashes: usize) -> usize {
        let end = if head == 1 { plain_end(rest) } else { raw_end(rest, head, hashes) };
        if matches!(self.tests, Tests::Not) {
            let line = self.source[..self.at].matches('\n').count() + 1;
            let text = rest[head..end].to_owned();
            self.found.push(Literal { line, text, call: self.call() });
        }
        end + 1 + hashes
    }

    /// What a bracket that opens here calls.
    fn called(&self) -> String {
        let before = &self.source[..self.at];
        let is_name = |c: char| c.is_alphanumeric() || matches!(c, '_' | ':' | '!');
        let rest = before.trim_end_matches(is_name);
        let point = if rest.ends_with('.') { "." } else { "" };
        format!("{point}{}", before[rest.len()..].trim_matches(':'))
    }

    /// The nearest call around this place that does more than wrap.
    fn call(&self) -> String {
        let in_block = self.open.iter().rev().take_while(|(bracket, _)| *bracket != '{');
        let mut calls = in_block.map(|(_, call)| call).filter(|call| !call.is_empty());
        calls.find(|call| !WRAPPERS.contains(&call.as_str())).cloned().unwrap_or_default()
    }
}

fn is_for_tests(rest: &str) -> bool {
    let attribute = &rest[..rest.find(']').unwrap_or(rest.len())];
    attribute == "#[test" || (attribute.starts_with("#[cfg(") && attribute.contains("test"))
}

/// How many hashes a raw literal begins with, if this is one.
fn raw_hashes(rest: &str) -> Option<usize> {
    let after = rest.strip_prefix('r')?;
    let hashes = after.len() - after.trim_start_matches('#').len();
    after[hashes..].starts_with('"').then_some(hashes)
}

/// Where the last quote of a plain literal is.
fn plain_end(rest: &str) -> usize {
    let mut escaped = true;
    for (at, c) in rest.char_indices() {
        match c {
            _ if escaped => escaped = false,
            '\\' => escaped = true,
            '"' => return at,
            _ => {}
        }
    }
    rest.len() - 1
}

fn raw_end(rest: &str, head: usize, hashes: usize) -> usize {
    let close = format!("\"{}", "#".repeat(hashes));
    rest[head..].find(&close).map_or(rest.len() - 1 - hashes, |end| head + end)
}

/// The length of a character in quotes; of a lifetime only its quote.
fn character(rest: &str) -> usize {
    let mut chars = rest.char_indices().skip(1);
    match (chars.next(), chars.next()) {
        (Some((_, '\\')), Some((escaped, c))) => {
            let from = escaped + c.len_utf8();
            rest[from..].find('\'').map_or(1, |end| from + end + 1)
        }
        (Some(_), Some((end, '\''))) => end + 1,
        _ => 1,
    }
}
