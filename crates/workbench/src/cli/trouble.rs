//! What goes wrong with a verb: bad input or bad use, exit code 2.

use std::io;
use std::path::PathBuf;

/// Why a verb gave no answer. Its `Display` is the whole message: what, where, and the way out.
#[derive(Debug, thiserror::Error)]
pub enum Trouble {
    /// Files would be replaced.
    #[error("{}", in_the_way(.files))]
    InTheWay {
        /// Those that exist.
        files: Vec<PathBuf>,
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

/// More files than this are counted, not listed.
const LISTED_FILES: usize = 3;

fn in_the_way(files: &[PathBuf]) -> String {
    let mut listed: Vec<String> = files.iter().take(LISTED_FILES).map(|f| f.display().to_string()).collect();
    if files.len() > LISTED_FILES {
        listed.push(format!("{} more", files.len() - LISTED_FILES));
    }
    let (are, them) = if files.len() == 1 { ("is", "it") } else { ("are", "them") };
    format!(
        "{} {are} there already, and nothing was written. Add --force to replace {them}, or choose another place with \
         --out",
        listed.join(", ")
    )
}
