//! Why a kit was not written, or not whole.

use std::io;
use std::path::PathBuf;

use seamwright_geometry::Cancelled;
use seamwright_geometry::exchange::WriteError;

/// Why a kit was not written, or not whole.
#[derive(Debug, thiserror::Error)]
pub enum KitError {
    /// There is nothing to write.
    #[error("there are no pieces to write{}", .0.as_ref().map(|why| format!(": {why}")).unwrap_or_default())]
    NoPieces(Option<String>),
    /// Files are in the way.
    #[error("{} is there already{}{}. Choose an empty folder, or say that they may be replaced", .first.display(), more(*.others), whose(.of))]
    Exists {
        /// The first of them.
        first: PathBuf,
        /// How many more.
        others: usize,
        /// The part that the kit in that folder is of, where that is another one.
        of: Option<String>,
    },
    /// The folder holds other things, and no kit was ever written there.
    #[error("{folder} holds other files already: {first}{}. Choose a new or an empty folder, or say that the kit may lie among them", and_more(*.others))]
    AmongOthers {
        /// The folder.
        folder: PathBuf,
        /// What lies there, the first by the alphabet.
        first: String,
        /// How much more.
        others: usize,
    },
    /// The folder cannot be made or written to.
    #[error("{path} cannot be written: {error}. Choose a folder that you may write to")]
    Io {
        /// Which file or folder.
        path: PathBuf,
        /// What the system says.
        error: io::Error,
    },
    /// A piece cannot be written.
    #[error(transparent)]
    Piece(#[from] WriteError),
    /// The work was cancelled; pieces already written stay.
    #[error("cancelled")]
    Cancelled,
}

impl From<Cancelled> for KitError {
    fn from(_: Cancelled) -> Self {
        KitError::Cancelled
    }
}

/// How many more files would be replaced.
fn more(others: usize) -> String {
    match others {
        0 => String::new(),
        1 => ", and 1 more file that this kit would replace".into(),
        n => format!(", and {n} more files that this kit would replace"),
    }
}

/// How much more lies in a folder.
fn and_more(others: usize) -> String {
    if others == 0 { String::new() } else { format!(" and {others} more") }
}

fn whose(of: &Option<String>) -> String {
    of.as_ref().map_or_else(String::new, |name| format!(". They are of another kit, that of {name}"))
}
