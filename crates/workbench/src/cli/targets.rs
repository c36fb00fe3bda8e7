//! The files that a verb is about to write: looked at, all of them, before the first is written.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use super::trouble::Trouble;

/// Makes the folder `dir` and those above it, unless they are there. Fails when a file is in its place.
pub fn make_folder(dir: &Path) -> Result<(), Trouble> {
    fs::create_dir_all(dir).map_err(|error| Trouble::Folder { path: dir.into(), error })
}

/// Fails when `dir`, or what it is to be made in, is there and is no folder; before any long work.
pub fn check_folder(dir: &Path) -> Result<(), Trouble> {
    let nearest = dir.ancestors().find(|d| !d.as_os_str().is_empty() && fs::symlink_metadata(d).is_ok());
    match nearest {
        Some(there) if !there.is_dir() => {
            let error = io::Error::from(io::ErrorKind::NotADirectory);
            Err(Trouble::Folder { path: there.into(), error })
        }
        _ => Ok(()),
    }
}

/// Fails, naming them, when any of `files` is there already and `force` is not given.
pub fn check_free<'a>(files: impl IntoIterator<Item = &'a PathBuf>, force: bool) -> Result<(), Trouble> {
    if force {
        return Ok(());
    }
    // A link that leads nowhere is there too: writing would replace it.
    let mut there = files.into_iter().filter(|file| fs::symlink_metadata(file).is_ok());
    match there.next() {
        Some(first) => Err(Trouble::InTheWay { first: first.clone(), others: there.count() }),
        None => Ok(()),
    }
}
