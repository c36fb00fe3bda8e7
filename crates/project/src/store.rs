//! Project files on disk: opening, atomic saving with the last good file kept, autosave and recovery.

use std::convert::Infallible;
use std::fs;
use std::io::{self, Read, Write};
use std::path::{Component, Path, PathBuf};

use sha2::{Digest, Sha256};

use crate::recipe::{Recipe, SourceFile};
use crate::saved::{self, FormatError};

/// How project files end.
pub const EXTENSION: &str = ".seamwright.json";

/// Why a project file could not be opened or saved.
#[derive(Debug, thiserror::Error)]
pub enum StoreError {
    /// The file cannot be read.
    #[error("{path} cannot be read: {error}. Check the name and whether you may read it")]
    Read {
        /// Which file.
        path: PathBuf,
        /// What the system says.
        error: io::Error,
    },
    /// The file is no project.
    #[error("{path} cannot be opened: {error}{}", backup_hint(.path))]
    Format {
        /// Which file.
        path: PathBuf,
        /// What is wrong.
        error: FormatError,
    },
    /// The file cannot be written. The file of before is untouched.
    #[error("{path} cannot be saved: {error}. What was saved before is untouched; choose another folder")]
    Write {
        /// Which file.
        path: PathBuf,
        /// What the system says.
        error: io::Error,
    },
}

/// Opens a project file.
pub fn open(path: &Path) -> Result<Recipe, StoreError> {
    let bytes = fs::read(path).map_err(|error| StoreError::Read { path: path.into(), error })?;
    parse(&bytes).map_err(|error| StoreError::Format { path: path.into(), error })
}

fn parse(bytes: &[u8]) -> Result<Recipe, FormatError> {
    let text = std::str::from_utf8(bytes).map_err(|error| FormatError::Value {
        place: format!("byte {}", error.valid_up_to()),
        problem: "it is not text in UTF-8: not a project file, or it was damaged".into(),
    })?;
    saved::from_json(text)
}

/// Saves a project file: written beside its place, then renamed over it, so that a crash leaves either the old file or
/// the new one. The file of before is kept as [`backup_path`]. A file that is marked as read-only stays.
pub fn save(path: &Path, recipe: &Recipe) -> Result<(), StoreError> {
    let text = saved::to_json(recipe);
    let write = || -> io::Result<()> {
        if path.is_file() {
            keep_backup(path, text.as_bytes())?;
        }
        write_atomically(path, text.as_bytes())
    };
    write().map_err(|error| StoreError::Write { path: path.into(), error })?;
    discard_autosave(path);
    Ok(())
}

/// Keeps what `path` holds, unless that is `text` already, so that saving twice keeps the version before.
fn keep_backup(path: &Path, text: &[u8]) -> io::Result<()> {
    let before = fs::read(path)?;
    // A file that is no project any more (damaged, edited by hand) must not push out the last good backup. One of a
    // newer version is good, only not here.
    let good = matches!(parse(&before), Ok(_) | Err(FormatError::Newer { .. }));
    if good && before != text { write_atomically(&backup_path(path), &before) } else { Ok(()) }
}

/// Where the last good file of before is kept.
pub fn backup_path(path: &Path) -> PathBuf {
    with_suffix(path, ".before")
}

/// Where unsaved work is kept while the program runs: beside the project file.
pub fn autosave_path(path: &Path) -> PathBuf {
    with_suffix(path, ".autosave")
}

/// Keeps unsaved work safe beside the project file (or at a place of the caller's for work that has no file yet).
pub fn autosave(path: &Path, recipe: &Recipe) -> Result<(), StoreError> {
    let at = autosave_path(path);
    write_atomically(&at, saved::to_json(recipe).as_bytes()).map_err(|error| StoreError::Write { path: at, error })
}

/// Unsaved work that an earlier run left behind, if it differs from the file. What cannot be read is no recovery.
pub fn recoverable(path: &Path) -> Option<Recipe> {
    let left = open(&autosave_path(path)).ok()?;
    let same = open(path).is_ok_and(|saved| saved == left);
    (!same).then_some(left)
}

/// When unsaved work was kept last.
pub fn autosaved_at(path: &Path) -> Option<std::time::SystemTime> {
    fs::metadata(autosave_path(path)).ok()?.modified().ok()
}

/// Forgets unsaved work: after a save, or when the maker declines to recover it.
pub fn discard_autosave(path: &Path) {
    // If it is not there, or cannot be removed, the worst is that recovery is offered once more.
    let _ = fs::remove_file(autosave_path(path));
}

/// Describes a source file: its length, hash, and its path relative to the project's folder where it has one. A name
/// that is no Unicode text is refused: no project file could name it.
pub fn describe_source(file: &Path, project_dir: &Path) -> io::Result<SourceFile> {
    match describe_source_while(file, project_dir, || Ok::<_, Infallible>(()))? {
        Ok(source) => Ok(source),
        Err(never) => match never {},
    }
}

/// [`describe_source`] that asks before each block of the file whether to go on; the inner error is the answer that
/// stopped it.
pub fn describe_source_while<E>(
    file: &Path,
    project_dir: &Path,
    go_on: impl Fn() -> Result<(), E>,
) -> io::Result<Result<SourceFile, E>> {
    if file.canonicalize()?.to_str().is_none() {
        let what = "its name, or that of a folder around it, is not Unicode text; rename it";
        return Err(io::Error::new(io::ErrorKind::InvalidInput, what));
    }
    let print = fingerprint_while(file, go_on)?;
    Ok(print.map(|(bytes, sha256)| SourceFile { path: relative_path(file, project_dir), bytes, sha256 }))
}

/// Where a source file lies, given the folder of the project file.
pub fn resolve_source(source: &SourceFile, project_dir: &Path) -> PathBuf {
    let file = project_dir.join(&source.path);
    if file.symlink_metadata().is_ok() {
        return file;
    }
    // Where the project's own folder is gone, the way up out of it leads nowhere, though the file may be there.
    without_ups(&file)
}

/// The path with every `..` taken together with the folder before it.
fn without_ups(path: &Path) -> PathBuf {
    let mut plain = PathBuf::new();
    for part in path.components() {
        match part {
            Component::ParentDir if matches!(plain.components().next_back(), Some(Component::Normal(_))) => {
                plain.pop();
            }
            Component::CurDir => {}
            part => plain.push(part),
        }
    }
    plain
}

/// Length and SHA-256 of a file, read in blocks.
pub fn fingerprint(file: &Path) -> io::Result<(u64, String)> {
    match fingerprint_while(file, || Ok::<_, Infallible>(()))? {
        Ok(print) => Ok(print),
        Err(never) => match never {},
    }
}

/// [`fingerprint`] that asks before each block whether to go on; the inner error is the answer that stopped it.
pub fn fingerprint_while<E>(file: &Path, go_on: impl Fn() -> Result<(), E>) -> io::Result<Result<(u64, String), E>> {
    let mut reader = fs::File::open(file)?;
    let (mut hash, mut bytes, mut block) = (Sha256::new(), 0u64, vec![0u8; 1 << 20]);
    loop {
        if let Err(stop) = go_on() {
            return Ok(Err(stop));
        }
        let n = reader.read(&mut block)?;
        if n == 0 {
            break;
        }
        hash.update(&block[..n]);
        bytes += n as u64;
    }
    Ok(Ok((bytes, hash.finalize().iter().map(|b| format!("{b:02x}")).collect())))
}

/// `file` as seen from `dir`, with `..` where needed and `/` between folders; absolute where the two share no root.
pub fn relative_path(file: &Path, dir: &Path) -> String {
    let dir = absolute(if dir.as_os_str().is_empty() { Path::new(".") } else { dir });
    let file = absolute(file);
    let shared = file.components().zip(dir.components()).take_while(|(a, b)| a == b).count();
    if shared == 0 {
        return file.to_string_lossy().replace('\\', "/");
    }
    let up = dir.components().skip(shared).map(|_| "..".to_owned());
    let down = file.components().skip(shared).map(|c| c.as_os_str().to_string_lossy().into_owned());
    up.chain(down).collect::<Vec<_>>().join("/")
}

/// With links followed and `..` resolved, as far as the path exists; the rest by its letters.
fn absolute(path: &Path) -> PathBuf {
    if let Ok(found) = path.canonicalize() {
        return found;
    }
    let path = std::path::absolute(path).unwrap_or_else(|_| path.into());
    match (path.parent(), path.file_name()) {
        (Some(parent), Some(name)) => absolute(parent).join(name),
        // It ends in `..`.
        (Some(parent), None) => absolute(parent).parent().map_or_else(PathBuf::new, Path::to_path_buf),
        (None, _) => path,
    }
}

fn with_suffix(path: &Path, suffix: &str) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(suffix);
    name.into()
}

/// Writes beside the place and renames over it: a reader sees the old content or the new, never half of it.
/// A link is followed: what it points at is replaced, not the link. A file that is marked as read-only stays.
pub fn write_atomically(path: &Path, content: &[u8]) -> io::Result<()> {
    let path = &path.canonicalize().unwrap_or_else(|_| path.into());
    let dir = match path.parent() {
        Some(dir) if !dir.as_os_str().is_empty() => dir,
        _ => Path::new("."),
    };
    let mut builder = tempfile::Builder::new();
    // Temporary files are private by default; the project file shall be as readable as the one that it replaces, or as
    // any new file.
    let before = fs::metadata(path).map(|meta| meta.permissions()).ok();
    if before.as_ref().is_some_and(fs::Permissions::readonly) {
        // Renaming over it would work, but is not what the mark asks for.
        return Err(io::Error::new(io::ErrorKind::PermissionDenied, "it is marked as read-only"));
    }
    if let Some(usual) = usual_permissions() {
        builder.permissions(usual);
    }
    let mut file = builder.tempfile_in(dir)?;
    if let Some(before) = before {
        file.as_file().set_permissions(before)?;
    }
    file.write_all(content)?;
    file.as_file().sync_all()?;
    file.persist(path)?;
    Ok(())
}

#[cfg(unix)]
fn usual_permissions() -> Option<fs::Permissions> {
    use std::os::unix::fs::PermissionsExt;
    // The system takes away what the user's mask forbids.
    Some(fs::Permissions::from_mode(0o666))
}

#[cfg(not(unix))]
fn usual_permissions() -> Option<fs::Permissions> {
    None
}

fn backup_hint(path: &Path) -> String {
    let backup = backup_path(path);
    if backup.is_file() {
        format!(". The last good file of before is {}: copy it to another name and open that", backup.display())
    } else {
        String::new()
    }
}
