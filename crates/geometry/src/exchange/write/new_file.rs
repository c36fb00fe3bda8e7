//! A file that appears whole or not at all.

use super::{Overwrite, WriteError};
use std::fs::{File, Permissions};
use std::io::{self, Seek, SeekFrom};
use std::path::Path;

/// A file that is to be written.
pub(super) struct NewFile<'a> {
    path: &'a Path,
    overwrite: Overwrite,
}

impl<'a> NewFile<'a> {
    /// Looks whether the file may be written, before any work is done.
    pub(super) fn begin(path: &'a Path, overwrite: Overwrite) -> Result<NewFile<'a>, WriteError> {
        if overwrite == Overwrite::Refuse && path.symlink_metadata().is_ok() {
            return Err(WriteError::Exists { path: path.to_owned() });
        }
        Ok(NewFile { path, overwrite })
    }

    /// Lets `write` write under a passing name, and renames. Returns the length of the file.
    pub(super) fn write(self, write: impl FnOnce(&mut File) -> io::Result<()>) -> Result<u64, WriteError> {
        let path = self.path;
        let io_error = |source| WriteError::Io { path: path.to_owned(), source };
        let folder = match path.parent() {
            Some(folder) if !folder.as_os_str().is_empty() => folder,
            _ => Path::new("."),
        };
        let ending = path.extension().map(|ending| format!(".{}", ending.to_string_lossy())).unwrap_or_default();
        let mut builder = tempfile::Builder::new();
        builder.prefix(".writing-").suffix(&ending);
        let permissions = file_permissions(path);
        if let Some(permissions) = permissions {
            builder.permissions(permissions);
        }
        let mut file = builder.tempfile_in(folder).map_err(io_error)?;
        write(file.as_file_mut()).map_err(io_error)?;
        let bytes = file.seek(SeekFrom::End(0)).map_err(io_error)?;
        match self.overwrite {
            Overwrite::Refuse => file.persist_noclobber(path),
            Overwrite::Allow => {
                // All must be on the disk before the old file goes.
                file.as_file().sync_all().map_err(io_error)?;
                file.persist(path)
            }
        }
        .map_err(|failed| match failed.error.kind() {
            io::ErrorKind::AlreadyExists => WriteError::Exists { path: path.to_owned() },
            _ => io_error(failed.error),
        })?;
        Ok(bytes)
    }
}

/// Permissions for the file: those of the one it replaces, else what the system gives to any new file. (Passing
/// files are otherwise kept from all other users.)
fn file_permissions(path: &Path) -> Option<Permissions> {
    if let Ok(status) = path.metadata() {
        return Some(status.permissions());
    }
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        Some(Permissions::from_mode(0o666))
    }
    #[cfg(not(unix))]
    None
}
