//! What the maker opened lately, kept on their machine: paths, a few figures and a small picture, never the models
//! themselves.

use std::path::{Path, PathBuf};
use std::time::{Duration, SystemTime};

use serde::{Deserialize, Serialize};

use crate::kept_list;
use crate::likeness::Likeness;
use crate::saved::FormatError;
use crate::store::StoreError;

/// What the `format` field of the file says.
const FORMAT: &str = "seamwright-recent";
/// The version written here; newer ones are refused.
const VERSION: u32 = 1;

/// So many are kept; the oldest gives way. More would have to be searched rather than read: our own choice, no source.
pub const MOST_RECENT: usize = 12;
/// The folders of so many kits are kept, of projects that left the list too; the oldest gives way. Years of work for most:
/// our own choice, no source.
pub const MOST_KITS: usize = 200;

/// A project or a model that was opened.
#[derive(Clone, Debug, PartialEq)]
pub struct Recent {
    /// Where it lies: an absolute path.
    pub path: PathBuf,
    /// When it was last opened or saved, to the second.
    pub opened: SystemTime,
    /// How large the model was, mm.
    pub size_mm: Option<[f64; 3]>,
    /// How many faces the model had.
    pub triangles: Option<u64>,
    /// How many pieces it was cut into.
    pub pieces: Option<u64>,
    /// A small picture of the model.
    pub likeness: Option<Likeness>,
}

/// Where the kit of a project was last made. It is kept here and not in the project, which may be opened on another
/// machine, and for longer than the project is on the list.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
struct KitPlace {
    /// An absolute path.
    project: PathBuf,
    /// The folder: an absolute path.
    folder: PathBuf,
}

/// All that the file holds.
#[derive(Clone, Debug, Default, PartialEq)]
struct Kept {
    /// Newest first.
    recents: Vec<Recent>,
    /// Newest first.
    kits: Vec<KitPlace>,
}

impl Recent {
    /// A file that is open now, of which nothing else is known.
    pub fn now(path: PathBuf) -> Recent {
        Recent { path, opened: SystemTime::now(), size_mm: None, triangles: None, pieces: None, likeness: None }
    }
}

#[derive(Serialize, Deserialize)]
struct SavedRecents {
    format: String,
    version: u32,
    files: Vec<SavedRecent>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    kits: Vec<KitPlace>,
}

#[derive(Serialize, Deserialize)]
struct SavedRecent {
    path: PathBuf,
    /// Seconds since 1970, UTC.
    opened_s: u64,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    size_mm: Option<[f64; 3]>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    triangles: Option<u64>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pieces: Option<u64>,
    /// Earlier versions kept the folder of a kit here.
    #[serde(default, skip_serializing)]
    kit: Option<PathBuf>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    likeness: Option<String>,
}

/// Where the list is kept: `recent.json` in the settings folder of this program. `None` on a machine that names no such
/// folder.
pub fn default_path() -> Option<PathBuf> {
    kept_list::path_of("recent.json")
}

/// The list kept in a file, newest first; empty where there is no such file yet.
pub fn load(path: &Path) -> Result<Vec<Recent>, StoreError> {
    Ok(all(path)?.recents)
}

fn all(path: &Path) -> Result<Kept, StoreError> {
    Ok(kept_list::load(path, parse)?.unwrap_or_default())
}

fn parse(bytes: &[u8]) -> Result<Kept, FormatError> {
    let head = |saved: &SavedRecents| -> (String, u32) { (saved.format.clone(), saved.version) };
    let mut saved: SavedRecents = kept_list::parse(bytes, (FORMAT, VERSION), head)?;
    // A time that no clock of this machine can tell is no reason to lose the list.
    let time =
        |seconds| SystemTime::UNIX_EPOCH.checked_add(Duration::from_secs(seconds)).unwrap_or(SystemTime::UNIX_EPOCH);
    for file in &mut saved.files {
        let known = saved.kits.iter().any(|kit| kit.project == file.path);
        if let Some(folder) = file.kit.take().filter(|_| !known) {
            saved.kits.push(KitPlace { project: file.path.clone(), folder });
        }
    }
    let recent = |saved: SavedRecent| {
        let SavedRecent { path, opened_s, size_mm, triangles, pieces, likeness, .. } = saved;
        let likeness = likeness.as_deref().and_then(Likeness::from_text);
        Recent { path, opened: time(opened_s), size_mm, triangles, pieces, likeness }
    };
    Ok(Kept { recents: saved.files.into_iter().map(recent).collect(), kits: saved.kits })
}

/// Keeps the newest [`MOST_RECENT`] files and [`MOST_KITS`] kits in a file, whose folder is made if need be. A path that is
/// no text in Unicode cannot be written there and is left out.
fn save(path: &Path, kept: &Kept) -> Result<(), StoreError> {
    let seconds = |time: SystemTime| time.duration_since(SystemTime::UNIX_EPOCH).map_or(0, |d| d.as_secs());
    let files = kept.recents.iter().filter(|recent| recent.path.to_str().is_some()).take(MOST_RECENT);
    let files = files.map(|recent| SavedRecent {
        path: recent.path.clone(),
        opened_s: seconds(recent.opened),
        size_mm: recent.size_mm,
        triangles: recent.triangles,
        pieces: recent.pieces,
        kit: None,
        likeness: recent.likeness.as_ref().map(Likeness::to_text),
    });
    let told = |kit: &&KitPlace| kit.project.to_str().is_some() && kit.folder.to_str().is_some();
    let kits = kept.kits.iter().filter(told).take(MOST_KITS).cloned().collect();
    let saved = SavedRecents { format: FORMAT.into(), version: VERSION, files: files.collect(), kits };
    kept_list::save(path, &saved)
}

/// Puts one on top of the list, in place of an earlier entry of the same path. Figures that it lacks are taken over from
/// that.
pub fn note(path: &Path, mut newest: Recent) -> Result<(), StoreError> {
    let mut kept = all(path)?;
    if let Some(before) = kept.recents.iter().position(|known| known.path == newest.path) {
        let before = kept.recents.remove(before);
        newest.size_mm = newest.size_mm.or(before.size_mm);
        newest.triangles = newest.triangles.or(before.triangles);
        newest.pieces = newest.pieces.or(before.pieces);
        newest.likeness = newest.likeness.or(before.likeness);
    }
    kept.recents.insert(0, newest);
    save(path, &kept)
}

/// Remembers the folder that the kit of a project was made in, on this machine.
pub fn note_kit(path: &Path, project: &Path, folder: &Path) -> Result<(), StoreError> {
    let mut kept = all(path)?;
    kept.kits.retain(|known| known.project != project);
    kept.kits.insert(0, KitPlace { project: project.into(), folder: folder.into() });
    save(path, &kept)
}

/// The folder that the kit of a project was last made in, on this machine.
pub fn kit_of(path: &Path, project: &Path) -> Result<Option<PathBuf>, StoreError> {
    Ok(all(path)?.kits.into_iter().find(|known| known.project == project).map(|known| known.folder))
}

/// Takes one off the list, and with it where its kit was made; the files themselves stay. False where it is not on it.
pub fn forget(path: &Path, gone: &Path) -> Result<bool, StoreError> {
    let mut kept = all(path)?;
    let before = kept.recents.len();
    kept.recents.retain(|known| known.path != gone);
    if kept.recents.len() == before {
        return Ok(false);
    }
    kept.kits.retain(|known| known.project != gone);
    save(path, &kept)?;
    Ok(true)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn opened(path: &str, seconds: u64) -> Recent {
        let opened = SystemTime::UNIX_EPOCH + Duration::from_secs(seconds);
        Recent { opened, ..Recent::now(path.into()) }
    }

    #[test]
    fn the_newest_comes_first_once_and_the_list_ends_somewhere() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("deep/recent.json");
        assert_eq!(load(&path).unwrap(), []);
        note(&path, Recent { triangles: Some(12), size_mm: Some([1.0, 2.0, 3.5]), ..opened("/a/兜.stl", 1) }).unwrap();
        note(&path, opened("/b/helm.stl", 2)).unwrap();
        note(&path, opened("/a/兜.stl", 3)).unwrap();
        let kept = load(&path).unwrap();
        assert_eq!(kept[0], Recent { triangles: Some(12), size_mm: Some([1.0, 2.0, 3.5]), ..opened("/a/兜.stl", 3) });
        assert_eq!(kept[1..], [opened("/b/helm.stl", 2)]);
        for i in 0..20 {
            note(&path, opened(&format!("/c/{i}.stl"), 10 + i)).unwrap();
        }
        assert_eq!(load(&path).unwrap().len(), MOST_RECENT);
        assert!(forget(&path, Path::new("/c/19.stl")).unwrap() && !forget(&path, Path::new("/c/19.stl")).unwrap());
        assert_eq!(load(&path).unwrap()[0], opened("/c/18.stl", 28));
    }

    #[test]
    fn the_folder_of_a_kit_outlives_the_place_of_its_project_on_the_list() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("recent.json");
        let of = |project: &str| kit_of(&path, Path::new(project)).unwrap();
        note(&path, opened("/b/helm.stl", 1)).unwrap();
        note_kit(&path, Path::new("/b/helm.stl"), Path::new("/kits/helm")).unwrap();
        for i in 0..20 {
            note(&path, opened(&format!("/c/{i}.stl"), 10 + i)).unwrap();
        }
        assert!(load(&path).unwrap().iter().all(|recent| recent.path != Path::new("/b/helm.stl")));
        assert_eq!((of("/b/helm.stl"), of("/c/1.stl")), (Some("/kits/helm".into()), None));
        note_kit(&path, Path::new("/b/helm.stl"), Path::new("/kits/new")).unwrap();
        assert_eq!(of("/b/helm.stl"), Some("/kits/new".into()), "the newest");
        note_kit(&path, Path::new("/c/19.stl"), Path::new("/kits/19")).unwrap();
        assert!(forget(&path, Path::new("/c/19.stl")).unwrap());
        assert_eq!(of("/c/19.stl"), None, "what is taken off the list is forgotten");
        for i in 0..MOST_KITS {
            note_kit(&path, Path::new(&format!("/d/{i}.stl")), Path::new("/kits/d")).unwrap();
        }
        assert_eq!(of("/b/helm.stl"), None, "that list ends somewhere too");
    }

    #[test]
    fn folders_of_kits_that_an_earlier_version_kept_are_still_known() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("recent.json");
        let old = r#"{"format":"seamwright-recent","version":1,"files":[{"path":"/b/helm.stl","opened_s":5,"kit":"/kits/helm"}]}"#;
        std::fs::write(&path, old).unwrap();
        note(&path, opened("/a.stl", 6)).unwrap();
        assert_eq!(kit_of(&path, Path::new("/b/helm.stl")).unwrap(), Some("/kits/helm".into()));
    }

    #[test]
    fn a_file_that_is_none_of_ours_is_refused_by_name() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("recent.json");
        for (text, word) in [
            ("{", "damaged"),
            (r#"{"format":"other","version":1,"files":[]}"#, "other"),
            (r#"{"format":"seamwright-recent","version":9,"files":[]}"#, "newer version"),
        ] {
            std::fs::write(&path, text).unwrap();
            let error = load(&path).unwrap_err().to_string();
            assert!(error.contains(word) && error.contains("recent.json"), "{error}");
        }
    }
}
