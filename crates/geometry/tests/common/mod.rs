//! Real meshes for tests.

use std::path::PathBuf;

use seamwright_geometry::exchange::{Format, ReadOptions, read};
use seamwright_geometry::{Mesh, Progress};

/// Every mesh file of the folder that `SEAMWRIGHT_MESHES` names, of any format, with its name; those that cannot be read
/// are left out. `None`, said aloud, where the variable names none.
pub fn real_meshes() -> Option<impl Iterator<Item = (String, Mesh)>> {
    let Some(folder) = std::env::var_os("SEAMWRIGHT_MESHES").map(PathBuf::from) else {
        eprintln!("NOT RUN: SEAMWRIGHT_MESHES names no folder of real meshes");
        return None;
    };
    let entries = std::fs::read_dir(&folder).into_iter().flatten().flatten().map(|entry| entry.path());
    let mut files: Vec<PathBuf> = entries.filter(|file| Format::of_name(file).is_some()).collect();
    files.sort();
    Some(files.into_iter().filter_map(|file| {
        let mesh = read(&file, &ReadOptions::default(), &Progress::new()).ok()?.into_mesh().ok()?;
        Some((file.file_name()?.to_string_lossy().into_owned(), mesh))
    }))
}
