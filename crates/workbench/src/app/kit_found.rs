//! A kit that an earlier run wrote: looked for where one is proposed to be written, so that a project that is opened again
//! does not seem to have none.

use std::path::{Path, PathBuf};
use std::time::SystemTime;

use seamwright_project::{Recipe, kit};
use serde::Deserialize;

use super::files::as_file_name;
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
}

#[derive(Deserialize)]
struct Told {
    name: String,
    pieces: Vec<serde::de::IgnoredAny>,
}

/// No list of pieces is longer, bytes: some ten thousand pieces. Our own choice, no source.
const MOST_BYTES: u64 = 30_000_000;

/// Looks for the kit of `recipe` in the folder of its project.
pub fn find(recipe: &Recipe, beside: &Path) -> Option<KitFound> {
    let folder = beside.join(text::files::kit_of(&as_file_name(&recipe.name)));
    let list = folder.join(kit::MANIFEST);
    let facts = list.metadata().ok().filter(|facts| facts.is_file() && facts.len() <= MOST_BYTES)?;
    let told: Told = serde_json::from_slice(&std::fs::read(&list).ok()?).ok()?;
    (told.name == recipe.name).then_some(KitFound {
        folder,
        pieces: told.pieces.len(),
        written: facts.modified().ok()?,
    })
}
