//! Lists that are kept on the maker's machine for every project, each in a file of its own in the settings folder.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use serde::Serialize;
use serde::de::DeserializeOwned;

use crate::saved::FormatError;
use crate::store::{StoreError, write_atomically};

/// Where the list of this name is kept: a file in the settings folder of this program. `None` on a machine that names no
/// such folder.
pub fn path_of(file_name: &str) -> Option<PathBuf> {
    Some(directories::ProjectDirs::from("", "", "seamwright")?.config_dir().join(file_name))
}

/// What is in a file; `None` where there is no such file yet.
pub fn load<T>(path: &Path, parse: impl FnOnce(&[u8]) -> Result<T, FormatError>) -> Result<Option<T>, StoreError> {
    let bytes = match fs::read(path) {
        Ok(bytes) => bytes,
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(None),
        Err(error) => return Err(StoreError::Read { path: path.into(), error }),
    };
    parse(&bytes).map(Some).map_err(|error| StoreError::Format { path: path.into(), error })
}

/// What a file of a known format and version holds: `head` gives the two that it states.
pub fn parse<T: DeserializeOwned>(
    bytes: &[u8],
    (format, version): (&str, u32),
    head: impl FnOnce(&T) -> (String, u32),
) -> Result<T, FormatError> {
    let saved: T = serde_json::from_slice(bytes)?;
    let (stated, found) = head(&saved);
    if stated != format {
        return Err(FormatError::OtherFormat(stated));
    }
    if found > version {
        return Err(FormatError::Newer { found: found.into() });
    }
    Ok(saved)
}

/// Writes a file, whose folder is made if need be. It is replaced whole, or stays as it was.
pub fn save(path: &Path, saved: &impl Serialize) -> Result<(), StoreError> {
    let write = || -> io::Result<()> {
        let mut text = serde_json::to_string_pretty(saved)?;
        text.push('\n');
        if let Some(folder) = path.parent() {
            fs::create_dir_all(folder)?;
        }
        write_atomically(path, text.as_bytes())
    };
    write().map_err(|error| StoreError::Write { path: path.into(), error })
}
