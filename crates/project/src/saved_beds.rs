//! The beds that the user owns, kept on their machine for every project.

use std::path::{Path, PathBuf};

use serde::{Deserialize, Serialize};

use crate::kept_list;
use crate::recipe::NamedBed;
use crate::saved::{FormatError, SavedBed, load_bed, save_bed};
use crate::store::StoreError;

/// What the `format` field of the file says.
const FORMAT: &str = "seamwright-beds";
/// The version written here; newer ones are refused.
const VERSION: u32 = 1;

#[derive(Serialize, Deserialize)]
struct SavedBeds {
    format: String,
    version: u32,
    beds: Vec<SavedBed>,
}

/// Where the user's beds are kept: `beds.json` in the settings folder of this program. `None` on a machine that names
/// no such folder.
pub fn default_path() -> Option<PathBuf> {
    kept_list::path_of("beds.json")
}

/// The beds kept in a file, in their order; none where there is no such file yet.
pub fn load(path: &Path) -> Result<Vec<NamedBed>, StoreError> {
    Ok(kept_list::load(path, parse)?.unwrap_or_default())
}

fn parse(bytes: &[u8]) -> Result<Vec<NamedBed>, FormatError> {
    let head = |saved: &SavedBeds| -> (String, u32) { (saved.format.clone(), saved.version) };
    let saved: SavedBeds = kept_list::parse(bytes, (FORMAT, VERSION), head)?;
    saved.beds.into_iter().enumerate().map(|(i, bed)| load_bed(&format!("beds[{i}]"), bed)).collect()
}

/// Keeps `beds` in a file, whose folder is made if need be. The file is replaced whole, or stays as it was.
pub fn save(path: &Path, beds: &[NamedBed]) -> Result<(), StoreError> {
    let beds = beds.iter().map(|named| save_bed(&named.name, &named.bed)).collect();
    let saved = SavedBeds { format: FORMAT.into(), version: VERSION, beds };
    kept_list::save(path, &saved)
}

/// Keeps one bed under its name, in place of another of that name.
pub fn keep(path: &Path, bed: NamedBed) -> Result<(), StoreError> {
    let mut beds = load(path)?;
    match beds.iter_mut().find(|known| known.name == bed.name) {
        Some(known) => *known = bed,
        None => beds.push(bed),
    }
    save(path, &beds)
}

/// Forgets the bed of this name; false where there is none.
pub fn forget(path: &Path, name: &str) -> Result<bool, StoreError> {
    let mut beds = load(path)?;
    let before = beds.len();
    beds.retain(|bed| bed.name != name);
    if beds.len() == before {
        return Ok(false);
    }
    save(path, &beds)?;
    Ok(true)
}

#[cfg(test)]
mod tests {
    use super::*;
    use seamwright_geometry::{Bed, KeepOut, Outline};

    fn named(name: &str, bed: Bed) -> NamedBed {
        NamedBed { name: name.into(), bed }
    }

    #[test]
    fn beds_come_back_as_they_were_kept_and_replace_those_of_their_name() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("deep/down/beds.json");
        assert_eq!(load(&path).unwrap(), []);
        let clip = KeepOut { corners_mm: vec![[0.0, 0.0], [20.0, 0.0], [0.0, 20.0]], from_mm: 3.5 };
        let small = Bed { keep_outs: vec![clip], around_mm: 5.0, ..Bed::rectangle(180.0, 180.0, 180.0) };
        let corners_mm = vec![[0.0, 0.0], [200.0, 0.0], [100.0, 150.0]];
        let odd = Bed::of(Outline::Polygon { corners_mm }, 100.0);
        for bed in [named("small", Bed::round(90.0, 90.0)), named("odd", odd.clone()), named("small", small.clone())] {
            keep(&path, bed).unwrap();
        }
        assert_eq!(load(&path).unwrap(), [named("small", small), named("odd", odd.clone())]);
        assert!(forget(&path, "small").unwrap() && !forget(&path, "small").unwrap());
        assert_eq!(load(&path).unwrap(), [named("odd", odd)]);
    }

    #[test]
    fn a_file_that_is_none_of_ours_is_refused_by_name_and_left_alone() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("beds.json");
        for (text, word) in [
            ("{", "not a project file"),
            (r#"{"format":"other","version":1,"beds":[]}"#, "other"),
            (r#"{"format":"seamwright-beds","version":9,"beds":[]}"#, "newer version"),
            (r#"{"format":"seamwright-beds","version":1,"beds":[{"x_mm":1,"height_mm":1,"margin_mm":0}]}"#, "beds[0]"),
        ] {
            std::fs::write(&path, text).unwrap();
            let error = keep(&path, named("new", Bed::round(90.0, 90.0))).unwrap_err().to_string();
            assert!(error.contains(word) && error.contains("beds.json"), "{error}");
            assert_eq!(std::fs::read_to_string(&path).unwrap(), text);
        }
    }
}
