//! The manual: pages that come with the program, and those that are made from its own tables, so that they cannot grow
//! old.
//!
//! Pages are written in a small part of Markdown: headings, paragraphs, lists, pictures, and within a line `**strong**`,
//! `*soft*` and code. That is read by a screenful of code here; a library for all of Markdown would bring far more than
//! these pages need, and the search goes by the same paragraphs.

use super::command::COMMANDS;
use crate::text;
use crate::text::terms::{TERMS, Term};

/// A page of the manual.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Page {
    /// The job from end to end.
    Job,
    /// Words of the trade.
    Words,
    /// Every command, with its keys.
    Commands,
    /// How the keys were chosen.
    Keys,
    /// Cautions.
    Safety,
    /// Weak machines, small screens.
    WeakMachines,
    /// Files and settings.
    Files,
}

/// What panels ask for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ManualAction {
    /// Opens it, or closes it if it is open.
    Toggle,
    /// Opens this page.
    Turn(Page),
    /// Puts it away.
    Close,
}

/// The manual, while it is open.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct OpenManual {
    /// The page.
    pub page: Page,
}

/// One thing on a page.
#[derive(Clone, Debug, PartialEq)]
pub enum Block {
    /// A heading: of the page, or of a part of it.
    Heading {
        /// Whether it is that of the page.
        of_page: bool,
        /// Its words.
        text: String,
    },
    /// A paragraph.
    Text(Vec<Span>),
    /// A line of a list, with its dash or number.
    Item(String, Vec<Span>),
    /// A picture, by name, and what it shows.
    Picture {
        /// The name of its file, without the ending.
        name: String,
        /// What is to be seen.
        caption: String,
    },
    /// A word and what it means, or a command with its keys and what it does.
    Entry {
        /// The word.
        word: String,
        /// Keys, if any.
        keys: String,
        /// What is said of it.
        text: String,
    },
    /// A row of a table: keys, and what they do.
    Row {
        /// The keys.
        keys: String,
        /// The command.
        text: String,
        /// What it does.
        hint: String,
    },
}

/// Words within a line.
#[derive(Clone, Debug, PartialEq)]
pub struct Span {
    /// The words.
    pub text: String,
    /// How they are written.
    pub pen: Pen,
}

/// How words are written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pen {
    /// As usual.
    Plain,
    /// Standing out.
    Strong,
    /// A word that is meant as a word.
    Soft,
    /// What is typed.
    Code,
}

impl Page {
    /// All pages, in the order of the list.
    pub const ALL: [Page; 7] =
        [Page::Job, Page::Words, Page::Commands, Page::Keys, Page::Safety, Page::WeakMachines, Page::Files];

    /// What it is called in the list.
    pub fn name(self) -> &'static str {
        text::manual::PAGES[self as usize]
    }

    /// What is on it. `keys` tells how a shortcut is written on this machine.
    pub fn blocks(self, keys: impl Fn(&egui::KeyboardShortcut) -> String) -> Vec<Block> {
        match self {
            Page::Job => read(include_str!("../../../../assets/manual/job.md")),
            Page::Keys => all_keys(keys),
            Page::Safety => read(include_str!("../../../../assets/manual/safety.md")),
            Page::WeakMachines => read(include_str!("../../../../assets/manual/weak-machines.md")),
            Page::Files => read(include_str!("../../../../assets/manual/files.md")),
            Page::Words => words(),
            Page::Commands => commands(keys),
        }
    }
}

fn words() -> Vec<Block> {
    let entry = |term: &Term| Block::Entry { word: term.word.into(), keys: String::new(), text: term.means.into() };
    [page_heading(text::manual::TERMS_TITLE)].into_iter().chain(TERMS.iter().map(entry)).collect()
}

fn commands(keys: impl Fn(&egui::KeyboardShortcut) -> String) -> Vec<Block> {
    let entry = |entry: &super::command::Entry| Block::Entry {
        word: entry.text.into(),
        keys: entry.shortcut.as_ref().map(&keys).unwrap_or_default(),
        text: entry.tooltip.into(),
    };
    let mut blocks = vec![page_heading(text::manual::COMMANDS_TITLE)];
    blocks.extend(COMMANDS.iter().map(entry));
    blocks.extend(read(include_str!("../../../../assets/manual/hand.md")));
    blocks
}

/// Which keys there are, then how they were chosen.
fn all_keys(keys: impl Fn(&egui::KeyboardShortcut) -> String) -> Vec<Block> {
    let row = |entry: &super::command::Entry| {
        let keys = keys(&entry.shortcut?);
        Some(Block::Row { keys, text: entry.text.into(), hint: entry.tooltip.into() })
    };
    let mut blocks = vec![page_heading(text::manual::KEYS_TITLE)];
    blocks.extend(COMMANDS.iter().filter_map(row));
    blocks.extend(read(include_str!("../../../../assets/manual/keys.md")));
    blocks
}

fn page_heading(text: &str) -> Block {
    Block::Heading { of_page: true, text: text.into() }
}

/// Reads a page.
fn read(text: &str) -> Vec<Block> {
    let mut blocks = Vec::new();
    for line in text.lines().map(str::trim_end).filter(|line| !line.is_empty()) {
        let number = line.split_once(". ").filter(|(number, _)| number.bytes().all(|b| b.is_ascii_digit()));
        let block = if let Some(text) = line.strip_prefix("# ") {
            page_heading(text)
        } else if let Some(text) = line.strip_prefix("## ") {
            Block::Heading { of_page: false, text: text.into() }
        } else if let Some(text) = line.strip_prefix("- ") {
            Block::Item("–".into(), spans(text))
        } else if let Some((number, text)) = number {
            Block::Item(format!("{number}."), spans(text))
        } else if let Some((caption, name)) = picture(line) {
            Block::Picture { name: name.into(), caption: caption.into() }
        } else {
            Block::Text(spans(line))
        };
        blocks.push(block);
    }
    blocks
}

fn picture(line: &str) -> Option<(&str, &str)> {
    line.strip_prefix("![")?.strip_suffix(')')?.split_once("](")
}

/// Parts a line where the pen changes.
fn spans(line: &str) -> Vec<Span> {
    let mut spans = Vec::new();
    let mut rest = line;
    while !rest.is_empty() {
        let begins = |mark: &str| rest.starts_with(mark).then(|| rest[mark.len()..].find(mark)).flatten();
        let marked = [("**", Pen::Strong), ("*", Pen::Soft), ("`", Pen::Code)]
            .into_iter()
            .find_map(|(mark, pen)| Some((mark, pen, begins(mark).filter(|length| *length > 0)?)));
        let (text, pen, used) = match marked {
            Some((mark, pen, length)) => (&rest[mark.len()..mark.len() + length], pen, length + 2 * mark.len()),
            None => {
                let first = rest.chars().next().map_or(1, char::len_utf8);
                let length = rest[first..].find(['*', '`']).map_or(rest.len(), |at| at + first);
                (&rest[..length], Pen::Plain, length)
            }
        };
        spans.push(Span { text: text.into(), pen });
        rest = &rest[used..];
    }
    spans
}

impl Block {
    /// Its words, without how they are written.
    pub fn plain(&self) -> String {
        let joined = |spans: &[Span]| spans.iter().map(|span| span.text.as_str()).collect::<String>();
        match self {
            Block::Heading { text, .. } => text.clone(),
            Block::Text(spans) | Block::Item(_, spans) => joined(spans),
            Block::Picture { caption, .. } => caption.clone(),
            Block::Entry { word, keys, text } => format!("{word}  {keys}  {text}"),
            Block::Row { keys, text, .. } => format!("{keys}  {text}"),
        }
    }

    /// Whether every word that was typed is somewhere in it.
    pub fn matches(&self, typed: &str) -> bool {
        let said = self.plain().to_lowercase();
        typed.to_lowercase().split_whitespace().all(|word| said.contains(word))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn span(text: &str, pen: Pen) -> Span {
        Span { text: text.into(), pen }
    }

    #[test]
    fn a_line_is_parted_where_the_pen_changes() {
        let parted = spans("Hold **Ctrl** for `12.5`, *soft*: 2 * 3");
        let expected = [
            span("Hold ", Pen::Plain),
            span("Ctrl", Pen::Strong),
            span(" for ", Pen::Plain),
            span("12.5", Pen::Code),
            span(", ", Pen::Plain),
            span("soft", Pen::Soft),
            span(": 2 ", Pen::Plain),
            span("* 3", Pen::Plain),
        ];
        assert_eq!(parted, expected);
    }

    #[test]
    fn every_page_begins_with_its_heading_and_every_picture_is_there() {
        for page in Page::ALL {
            let blocks = page.blocks(|_| "K".into());
            assert!(matches!(&blocks[0], Block::Heading { of_page: true, .. }), "{}", page.name());
            assert!(blocks.len() > 5);
            for block in &blocks {
                if let Block::Picture { name, .. } = block {
                    assert!(super::super::pictures::bytes(name).is_some(), "{name} is not there");
                }
            }
        }
    }

    #[test]
    fn every_command_stands_on_its_page_with_its_keys() {
        let blocks = Page::Commands.blocks(|keys| format!("{:?}", keys.logical_key));
        for entry in COMMANDS {
            let key = entry.shortcut.map(|keys| format!("{:?}", keys.logical_key)).unwrap_or_default();
            let stands =
                |block: &Block| matches!(block, Block::Entry { word, keys, .. } if word == entry.text && *keys == key);
            assert!(blocks.iter().any(stands), "{} is not there", entry.text);
        }
    }

    #[test]
    fn the_page_of_keys_begins_with_all_that_there_are() {
        let blocks = Page::Keys.blocks(|keys| format!("{:?}", keys.logical_key));
        let rows: Vec<&Block> = blocks[1..].iter().take_while(|block| matches!(block, Block::Row { .. })).collect();
        assert_eq!(rows.len(), COMMANDS.iter().filter(|entry| entry.shortcut.is_some()).count());
        assert!(rows.iter().any(|row| row.plain() == "H  hide"));
    }

    #[test]
    fn a_search_finds_what_holds_all_words() {
        let found = Page::Safety.blocks(|_| String::new());
        assert!(
            found.iter().any(|block| block.matches("COTTON smokes")) && !found.iter().any(|b| b.matches("cotton bed"))
        );
    }
}
