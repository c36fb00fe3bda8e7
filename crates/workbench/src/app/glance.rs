//! What can be told of a file before it is opened: how many faces, how large, or what a project holds.

use std::fs::File;
use std::io::Read;
use std::path::Path;

use seamwright_geometry::exchange::{ReadError, ReadOptions, ReadProblem, Unit, read};
use seamwright_geometry::{Bounds, Cancelled, Progress};
use seamwright_project::likeness::Likeness;
use seamwright_project::store;

use super::files::{is_model, is_project};
use crate::text;

/// What was seen of a file.
#[derive(Clone, Debug, PartialEq)]
pub enum Glance {
    /// A model.
    Model {
        /// How many faces.
        triangles: u64,
        /// How large, mm; `None` for a file that is too large to be read only for this.
        size_mm: Option<[f64; 3]>,
        /// A small picture of it, where it was read.
        likeness: Option<Likeness>,
    },
    /// A project, in words: its model and its cuts.
    Project(String),
    /// Nothing can be told, and why.
    Unreadable(String),
}

/// Larger models are not read whole for a glance, bytes: reading such a one takes longer than a glance. Our own choice,
/// no source.
const MOST_BYTES: u64 = 500_000_000;

/// Looks at a file; `None` for one that is neither a model nor a project.
pub fn glance(path: &Path, progress: &Progress) -> Result<Option<Glance>, Cancelled> {
    let name = path.to_string_lossy();
    if is_project(&name) {
        return Ok(Some(project(path)));
    }
    if !is_model(&name) {
        return Ok(None);
    }
    let bytes = path.metadata().map_or(0, |facts| facts.len());
    if bytes > MOST_BYTES {
        let counted =
            promised_facets(path, bytes).map(|triangles| Glance::Model { triangles, size_mm: None, likeness: None });
        let unread = || Glance::Unreadable(text::start::TOO_LARGE.into());
        return Ok(Some(counted.unwrap_or_else(unread)));
    }
    match read(path, &ReadOptions::default(), progress) {
        Ok(model) => {
            let triangles = model.parts.iter().map(|part| part.mesh.triangles.len() as u64).sum();
            let bounds = model.parts.iter().filter_map(|part| part.mesh.bounds()).reduce(|a: Bounds, b| a.union(&b));
            let mm = model.unit.map_or(1.0, Unit::mm);
            let meshes: Vec<_> = model.parts.iter().map(|part| &part.mesh).collect();
            let likeness = Likeness::of(&meshes, progress)?;
            Ok(Some(Glance::Model { triangles, size_mm: bounds.map(|b| (b.size() * mm).into()), likeness }))
        }
        Err(ReadError { problem: ReadProblem::Cancelled(_), .. }) => Err(Cancelled),
        Err(error) => Ok(Some(Glance::Unreadable(error.problem.to_string()))),
    }
}

/// The facets that a binary STL file says it has, if it is as long as that takes: 84 bytes and 50 for each (the format
/// as published by its maker in 1989; from memory).
fn promised_facets(path: &Path, bytes: u64) -> Option<u64> {
    let mut head = [0; 84];
    File::open(path).ok()?.read_exact(&mut head).ok()?;
    let facets = u64::from(u32::from_le_bytes(head[80..].try_into().ok()?));
    (84 + 50 * facets == bytes).then_some(facets)
}

fn project(path: &Path) -> Glance {
    match store::open(path) {
        Ok(recipe) => {
            let model = recipe
                .stock
                .as_ref()
                .map_or(text::start::NO_MODEL_YET, |source| source.path.rsplit('/').next().unwrap_or(&source.path));
            Glance::Project(text::start::project(&recipe.name, model, recipe.cuts.len()))
        }
        Err(store::StoreError::Format { error, .. }) => Glance::Unreadable(error.to_string()),
        Err(error) => Glance::Unreadable(error.to_string()),
    }
}

impl Glance {
    /// In words: `80 000 faces, 241 × 297 × 358 mm`.
    pub fn words(&self) -> String {
        match self {
            Glance::Model { triangles, size_mm, .. } => text::start::figures(Some(*triangles), *size_mm),
            Glance::Project(words) => words.clone(),
            Glance::Unreadable(why) => why.clone(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use seamwright_geometry::exchange::{Overwrite, write_stl};
    use seamwright_geometry::{Point, solids};

    #[test]
    fn a_glance_tells_faces_and_size_and_why_not() {
        let folder = tempfile::tempdir().unwrap();
        let (cube, torn) = (folder.path().join("cube.stl"), folder.path().join("torn.stl"));
        let mesh = solids::cuboid(Point::origin(), Point::new(10.0, 20.0, 30.0));
        write_stl(&cube, &mesh, "cube", Overwrite::Refuse).unwrap();
        let seen = glance(&cube, &Progress::new()).unwrap().unwrap();
        let size_mm = Some([10.0, 20.0, 30.0]);
        assert!(matches!(&seen, Glance::Model { triangles: 12, size_mm: s, likeness: Some(_) } if *s == size_mm));
        assert_eq!(seen.words(), "12 faces, 10 × 20 × 30 mm");
        assert_eq!(promised_facets(&cube, cube.metadata().unwrap().len()), Some(12));
        std::fs::write(&torn, "").unwrap();
        assert!(matches!(glance(&torn, &Progress::new()), Ok(Some(Glance::Unreadable(_)))));
        assert!(matches!(glance(&folder.path().join("note.txt"), &Progress::new()), Ok(None)));
        let stopped = Progress::new();
        stopped.cancel();
        assert!(glance(&cube, &stopped).is_err());
    }
}
