//! The closed models that are cut.

use std::path::{Path, PathBuf};

use crate::support;

/// One closed model.
#[derive(Debug)]
pub struct Model {
    pub file: PathBuf,
    /// Brings the file's unit to millimetres, or the model to the size of a prop.
    pub scale: f64,
    pub surface: Surface,
}

/// How a model's surface lies to itself, which decides what can be asked of a cap.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Surface {
    /// It meets itself nowhere: a cap is not folded.
    Simple,
    /// One shell passes through itself: where it covers a place twice the cap has two sheets, one on the other, so that
    /// their edges have four faces; and it may turn over where the surface does.
    CrossesItself,
    /// Shells cross one another: outlines cannot be nested by containment, which means nothing where they cross.
    ShellsCross,
}

impl Model {
    /// The name of its file.
    pub fn name(&self) -> String {
        self.file.file_name().unwrap_or_default().to_string_lossy().into_owned()
    }
}

/// The demo models of the repository.
pub fn demo() -> Vec<Model> {
    let folder = support::root().join("demo-projects");
    let entries = std::fs::read_dir(&folder).expect("the folder of demo projects can be read");
    let mut files: Vec<_> = entries.map(|entry| entry.expect("its entries can be read").path()).collect();
    files.retain(|file| file.extension().is_some_and(|extension| extension == "stl"));
    files.sort();
    files.into_iter().map(|file| Model { file, scale: 1.0, surface: Surface::Simple }).collect()
}

/// Closed meshes made by others. Left out: `multibody.stl`, whose triangles are wound against one another, so that it
/// has no inside (manifold3d refuses it, the formula's two sides do not add up).
pub fn real(folder: &Path) -> Vec<Model> {
    use Surface::{CrossesItself, ShellsCross, Simple};
    const METRES: f64 = 1000.0;
    [
        ("ADIS16480.STL", METRES, Simple),
        ("dancing-girl.stl", 1.0, Simple),
        ("dog-skull.stl", METRES, ShellsCross),
        ("goathead.obj", 20.0, Simple),
        ("hammer.obj", 40.0, Simple),
        ("hull-mask.obj", 1.0, Simple),
        ("plato-bust.ply", 1.0, Simple),
        ("self-intersect-a.obj", 100.0, CrossesItself),
        ("skull.obj", 20.0, Simple),
        ("sphere-binary-solid-header.stl", 1.0, Simple),
        ("stratocaster.ply", 2.0, ShellsCross),
        ("sword-quads.obj", METRES, Simple),
    ]
    .map(|(name, scale, surface)| Model { file: folder.join(name), scale, surface })
    .into()
}
