//! What lies in a folder already that a kit is to be written into.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use serde_json::Value;

use super::MANIFEST;

/// The manifest of an earlier kit.
struct Known {
    file: String,
    told: Value,
}

impl Known {
    fn name(&self) -> Option<&str> {
        self.told["name"].as_str()
    }
}

/// The manifests that lie in `folder`: kits of several parts of a costume may lie in one. None is known where it cannot be
/// read: this is only to tell the maker.
fn manifests_in(folder: &Path) -> Vec<Known> {
    let read = |file: String| {
        let told: Value = serde_json::from_slice(&fs::read(folder.join(&file)).ok()?).ok()?;
        (told["format"] == super::FORMAT).then_some(Known { file, told })
    };
    names_in(folder).into_iter().filter(|name| is_manifest(name)).filter_map(read).collect()
}

fn is_manifest(name: &str) -> bool {
    name.strip_suffix(MANIFEST).is_some_and(|before| before.is_empty() || before.ends_with('-'))
}

/// What is in `folder`, in the order of the alphabet, but for what systems put there by themselves.
fn names_in(folder: &Path) -> Vec<String> {
    let names = fs::read_dir(folder).into_iter().flatten().flatten();
    let names = names.map(|entry| entry.file_name().to_string_lossy().into_owned());
    let mut names: Vec<String> = names.filter(|name| !is_of_system(name)).collect();
    names.sort();
    names
}

/// Files that file managers leave in a folder that somebody looked into, and hidden ones.
fn is_of_system(name: &str) -> bool {
    name.starts_with('.') || ["desktop.ini", "thumbs.db"].contains(&name.to_lowercase().as_str())
}

/// The part whose kit the manifest called `manifest` in `folder` is of.
pub(super) fn name_of_kit_in(folder: &Path, manifest: &str) -> Option<String> {
    let known = manifests_in(folder).into_iter().find(|known| known.file == manifest)?;
    known.name().map(str::to_owned)
}

/// Files of kits in `folder` that are there and that a kit of the part `name`, listed in `manifest`, comes in place of: those
/// of the same part, whatever it was listed in, and those that were listed there.
pub(super) fn files_of_kit_in(folder: &Path, manifest: &str, name: &str) -> Vec<String> {
    let mut files: Vec<String> = Vec::new();
    for known in manifests_in(folder) {
        if known.file != manifest && known.name() != Some(name) {
            continue;
        }
        let list = |key: &str| known.told[key].as_array().cloned().unwrap_or_default();
        let pieces = list("pieces").into_iter().map(|piece| piece["file"].clone());
        let named = pieces.chain(list("left_from_before")).chain([known.told["rods_file"].clone()]);
        files.extend(named.filter_map(|file| file.as_str().map(str::to_owned)));
        files.extend((known.file != manifest).then_some(known.file));
    }
    let is_here = |file: &String| Path::new(file).file_name() == Some(file.as_ref()) && folder.join(file).is_file();
    let mut known = std::collections::BTreeSet::new();
    files.into_iter().filter(|file| is_here(file) && known.insert(file.clone())).collect()
}

/// The marks that pieces had in the kit of the part `name` that is listed in `manifest`, by their identities.
pub(super) fn marks_of_kit_in(folder: &Path, manifest: &str, name: &str) -> BTreeMap<String, String> {
    let ours = |known: &Known| known.file == manifest && known.name() == Some(name);
    let Some(known) = manifests_in(folder).into_iter().find(ours) else { return BTreeMap::new() };
    let pieces = known.told["pieces"].as_array().cloned().unwrap_or_default();
    let told = |piece: Value| Some((piece["id"].as_str()?.to_owned(), piece["mark"].as_str()?.to_owned()));
    pieces.into_iter().filter_map(told).collect()
}

/// What lies in `folder` that is of no kit, the first by the alphabet and how many more; `None` where a kit has been written
/// there before, or nothing is there.
pub(super) fn others_in(folder: &Path) -> Option<(String, usize)> {
    let names = names_in(folder);
    let first = names.first()?.clone();
    manifests_in(folder).is_empty().then(|| (first, names.len() - 1))
}
