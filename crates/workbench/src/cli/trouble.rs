//! What goes wrong with a verb: bad input or bad use, exit code 2.

use std::io;
use std::path::PathBuf;

/// Why a verb gave no answer. Its `Display` is the whole message: what, where, and the way out.
#[derive(Debug, thiserror::Error)]
pub enum Trouble {
    /// Files would be replaced.
    #[error(
        "{}{} there already, and nothing was written. Add --force to replace what is in the way, or choose another \
         place with --out",
        .first.display(), and_others(*.others)
    )]
    InTheWay {
        /// The first that exists.
        first: PathBuf,
        /// How many more of those to be written exist.
        others: usize,
    },
    /// A kit would lie among files of other kinds.
    #[error(
        "{folder} holds other files already ({first}{}), and nothing was written. Name a new folder with --out, such as \
         {}, or add --force to write among them",
        and_more(*.others), .folder.join("kit").display()
    )]
    AmongOthers {
        /// The folder.
        folder: PathBuf,
        /// What lies there.
        first: String,
        /// How much more.
        others: usize,
    },
    /// A project cannot be made.
    #[error("{path}: {problem}")]
    Project {
        /// The project file.
        path: PathBuf,
        /// What is wrong, and the way out.
        problem: String,
    },
    /// A folder cannot be made, or is a file.
    #[error("{path} cannot be used as a folder for the pieces: {error}. Choose another with --out")]
    Folder {
        /// Which.
        path: PathBuf,
        /// What the system says.
        error: io::Error,
    },
    /// A file cannot be written.
    #[error("{path} cannot be written: {error}. Check that the folder is there, may be written to and has room")]
    Write {
        /// Which.
        path: PathBuf,
        /// What the system says.
        error: io::Error,
    },
    /// An option's number makes no sense.
    #[error("{option}: {problem}")]
    Option {
        /// Which option, as typed.
        option: &'static str,
        /// What is wrong, and what would be right.
        problem: String,
    },
    /// A message that already says what, where and the way out.
    #[error("{0}")]
    Said(String),
}

impl Trouble {
    /// A complete message of a lower layer.
    pub fn said(message: impl ToString) -> Trouble {
        Trouble::Said(message.to_string())
    }
}

fn and_more(others: usize) -> String {
    if others == 0 { String::new() } else { format!(" and {others} more") }
}

fn and_others(others: usize) -> String {
    if others == 0 { " is".into() } else { format!(" and {others} more of the files to be written are") }
}
