//! A kit that an earlier run wrote: looked for where one is proposed to be written, so that a project that is opened again
//! does not seem to have none.

use std::path::{Path, PathBuf};
use std::time::SystemTime;

use seamwright_project::kit::{self, KitMarkChanged};
use seamwright_project::{Recipe, as_file_name};
use serde::Deserialize;

use crate::text;

/// A kit of this part that lies beside its project.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct KitFound {
    /// Where.
    pub folder: PathBuf,
    /// How many pieces its list tells of.
    pub pieces: usize,
    /// When the list was written.
    pub written: SystemTime,
    /// Files of a kit before that one that still lie there.
    pub left: Vec<String>,
    /// Pieces that are marked otherwise than in that one.
    pub marks_changed: Vec<KitMarkChanged>,
}

#[derive(Deserialize)]
struct Told {
    name: String,
    pieces: Vec<serde::de::IgnoredAny>,
    #[serde(default)]
    left_from_before: Vec<String>,
    #[serde(default)]
    marks_changed: Vec<KitMarkChanged>,
}

/// No list of pieces is longer, bytes: some ten thousand pieces. Our own choice, no source.
const MOST_BYTES: u64 = 30_000_000;

/// Looks for the kit of `recipe` in the folder that it was last made in, where one is known, else in that of its project.
pub fn find(recipe: &Recipe, beside: &Path, known: Option<&Path>) -> Option<KitFound> {
    let usual = beside.join(text::files::kit_of(&as_file_name(&recipe.name)));
    known.and_then(|folder| find_in(folder, recipe)).or_else(|| find_in(&usual, recipe))
}

fn find_in(folder: &Path, recipe: &Recipe) -> Option<KitFound> {
    // One that was written before the part was one of a costume is called as that of any part.
    let lists = [recipe.file_in_costume(kit::MANIFEST), kit::MANIFEST.to_owned()];
    lists.iter().find_map(|list| told_in(folder, list, recipe))
}

fn told_in(folder: &Path, list: &str, recipe: &Recipe) -> Option<KitFound> {
    let list = folder.join(list);
    let facts = list.metadata().ok().filter(|facts| facts.is_file() && facts.len() <= MOST_BYTES)?;
    let told: Told = serde_json::from_slice(&std::fs::read(&list).ok()?).ok()?;
    (told.name == recipe.name).then_some(KitFound {
        folder: folder.into(),
        pieces: told.pieces.len(),
        written: facts.modified().ok()?,
        left: told.left_from_before.into_iter().filter(|file| lies_in(folder, file)).collect(),
        marks_changed: told.marks_changed,
    })
}

/// Whether a file of this plain name is there.
fn lies_in(folder: &Path, file: &str) -> bool {
    Path::new(file).file_name() == Some(file.as_ref()) && folder.join(file).is_file()
}
