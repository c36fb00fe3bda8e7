//! The stock as it was read.

use std::path::PathBuf;

use seamwright_geometry::exchange::Unit;
use seamwright_geometry::mend::MendStep;
use seamwright_geometry::{Mesh, Point, Report};

use crate::recipe::Recipe;

/// The stock as it was read.
#[derive(Clone, Debug)]
pub struct Stock {
    /// Where it was read from, the first file first.
    pub files: Vec<PathBuf>,
    /// The number of the first shell of each file.
    pub first_shell: Vec<u32>,
    /// The faces, in units of the file.
    pub mesh: Mesh,
    /// The shell of each face.
    pub shell_of_face: Vec<u32>,
    /// For each shell that is the wall of a cavity, the shell of the solid that the cavity is in.
    pub cavity_of: Vec<Option<u32>>,
    /// Its health and measures, in units of the file.
    pub report: Report,
    /// Shells by the name that their part has in its file: the shell of its first face.
    pub names: Vec<(u32, String)>,
    /// Faces with coordinates that are not numbers, set aside at reading.
    pub set_aside: usize,
    /// What else was passed over or put right at reading, each with the name of its file.
    pub remarks: Vec<String>,
    /// The unit that the first file states; only 3MF does.
    pub stated_unit: Option<Unit>,
    /// The mends that leave its visible form as it is.
    pub safe_mends: Vec<MendStep>,
    /// So many more shells there are after those: surfaces that hang together along an edge only come apart.
    pub come_apart: usize,
    /// Seconds for reading the file.
    pub read_s: f64,
    /// Seconds for merging equal vertices.
    pub merge_s: f64,
}

impl Stock {
    /// Corners of the shells that are not dropped, in units of the file: what the model stands on is among them. Corners of
    /// several faces come several times.
    pub fn kept_corners<'a>(&'a self, recipe: &'a Recipe) -> impl Iterator<Item = Point> + 'a {
        let kept: Vec<bool> =
            (0..self.report.shells.len() as u32).map(|shell| recipe.part_of_shell(shell).is_some()).collect();
        let faces = self.mesh.triangles.iter().zip(&self.shell_of_face);
        let faces = faces.filter(move |(_, shell)| kept.get(**shell as usize).copied().unwrap_or(false));
        faces.flat_map(|(face, _)| face.map(|v| self.mesh.vertices[v as usize]))
    }

    /// The shell of the solid that a shell bounds: itself, but for the wall of a cavity.
    pub fn solid_of(&self, shell: u32) -> u32 {
        self.cavity_of.get(shell as usize).copied().flatten().unwrap_or(shell)
    }

    /// The walls of the cavities of a solid, rising.
    pub fn cavities_of(&self, shell: u32) -> impl Iterator<Item = u32> {
        (0..).zip(&self.cavity_of).filter(move |(_, home)| **home == Some(shell)).map(|(cavity, _)| cavity)
    }
}
