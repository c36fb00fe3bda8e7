//! The demo projects: where they are, and what becomes of a job that begins with one.

use std::path::{Path, PathBuf};

use seamwright_geometry::{Cancelled, Progress};
use seamwright_project::store;

use super::glance::{Glance, glance};
use crate::text;

/// The demo that the first job is done on.
pub const FIRST: &str = "helm";

/// The demos, by the names of their files, with what each is good for.
const DEMOS: [(&str, &str); 3] =
    [("helm", text::start::HELM), ("cuirass", text::start::CUIRASS), ("glaive", text::start::GLAIVE)];

/// What is there of a demo.
#[derive(Clone, Debug, PartialEq)]
pub struct Demo {
    /// The name of its file, without the ending.
    pub name: &'static str,
    /// What it is good for.
    pub about: &'static str,
    /// Its project file.
    pub path: PathBuf,
    /// Its model at a glance; `None` where the model is not there.
    pub model: Option<Glance>,
}

/// The demos of the first of these folders that holds any; empty where none does.
pub fn find(folders: &[PathBuf], progress: &Progress) -> Result<Vec<Demo>, Cancelled> {
    for folder in folders {
        let mut found = Vec::new();
        for (name, about) in DEMOS {
            let path = folder.join(format!("{name}{}", store::EXTENSION));
            // A file that is no project any more is no demo either.
            let Ok(recipe) = store::open(&path) else { continue };
            let model = recipe.stock.as_ref().map(|source| store::resolve_source(source, folder));
            let model = match model.filter(|model| model.is_file()) {
                Some(model) => glance(&model, progress)?,
                None => None,
            };
            found.push(Demo { name, about, path, model });
        }
        if !found.is_empty() {
            return Ok(found);
        }
    }
    Ok(Vec::new())
}

/// Where demos are looked for: beside the program, where packages put what belongs to a program, in the folders that the
/// program was built in, and where it was started.
pub fn folders() -> Vec<PathBuf> {
    const NAME: &str = "demo-projects";
    let program = std::env::current_exe().and_then(|path| path.canonicalize()).unwrap_or_default();
    let beside = program.parent().map(|folder| folder.join(NAME));
    let shared = program.parent().and_then(Path::parent).map(|prefix| prefix.join("share/seamwright").join(NAME));
    // `target/release/examples/…` lies four below the checkout.
    let built_in = program.ancestors().skip(2).take(4).map(|folder| folder.join(NAME));
    beside.into_iter().chain(shared).chain(built_in).chain([PathBuf::from(NAME)]).collect()
}

/// Whether `file` is one of the demos that lie in one of these folders.
pub fn is_one(file: &Path, folders: &[PathBuf]) -> bool {
    let name = file.file_name().unwrap_or_default();
    let is_named = DEMOS.iter().any(|(demo, _)| *name == *format!("{demo}{}", store::EXTENSION));
    is_named && file.is_file() && file.parent().is_some_and(|folder| are_in(folder, folders))
}

/// Whether `folder` is one that demos are looked for in.
pub fn are_in(folder: &Path, folders: &[PathBuf]) -> bool {
    let real = |path: &Path| path.canonicalize().ok();
    let folder = real(if folder.as_os_str().is_empty() { Path::new(".") } else { folder });
    let Some(folder) = folder else { return false };
    folders.iter().any(|demos| real(demos).as_ref() == Some(&folder))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn demos_are_found_in_the_first_folder_that_has_them_and_a_missing_model_is_told() {
        let folder = tempfile::tempdir().unwrap();
        let (empty, full) = (folder.path().join("empty"), folder.path().join("full"));
        std::fs::create_dir_all(&full).unwrap();
        let sources = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-projects");
        for name in ["helm", "glaive"] {
            let file = format!("{name}.seamwright.json");
            std::fs::copy(sources.join(&file), full.join(&file)).unwrap();
        }
        let found = find(&[empty, full], &Progress::new()).unwrap();
        let told: Vec<_> = found.iter().map(|demo| (demo.name, demo.model.is_some())).collect();
        assert_eq!(told, [("helm", false), ("glaive", false)]);
        let whole = find(&[sources], &Progress::new()).unwrap();
        assert!(matches!(
            &whole[0].model,
            Some(Glance::Model { triangles: 80_000, size_mm: Some(_), likeness: Some(_) })
        ));
        assert_eq!(whole.len(), DEMOS.len());
    }
}
