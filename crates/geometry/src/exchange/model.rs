//! What a mesh file of any format holds.

use crate::merge::unify;
use crate::{Cancelled, Mesh, Progress, TooManyVertices};

/// The mesh formats that are read and written.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Format {
    /// STL, binary or text: loose triangles, no unit.
    Stl,
    /// OBJ: text, indexed polygons, named groups, no unit.
    Obj,
    /// PLY, text or binary: indexed polygons, no unit.
    Ply,
    /// 3MF: a package of named, placed, coloured objects with a unit.
    ThreeMf,
}

impl Format {
    /// All of them.
    pub const ALL: [Format; 4] = [Format::Stl, Format::Obj, Format::Ply, Format::ThreeMf];

    /// How it is called.
    pub fn name(self) -> &'static str {
        match self {
            Format::Stl => "STL",
            Format::Obj => "OBJ",
            Format::Ply => "PLY",
            Format::ThreeMf => "3MF",
        }
    }

    /// The ending of its files' names, without the dot.
    pub fn ending(self) -> &'static str {
        match self {
            Format::Stl => "stl",
            Format::Obj => "obj",
            Format::Ply => "ply",
            Format::ThreeMf => "3mf",
        }
    }

    /// The format that a file's name promises, in any letter case.
    pub fn of_name(path: &std::path::Path) -> Option<Format> {
        let ending = path.extension()?;
        Format::ALL.into_iter().find(|format| ending.eq_ignore_ascii_case(format.ending()))
    }
}

/// A unit of length that a file can state: those of the 3MF core specification 1.4.0.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Unit {
    /// A thousandth of a millimetre.
    Micron,
    /// What everything here is in.
    #[default]
    Millimetre,
    /// Ten millimetres.
    Centimetre,
    /// 25.4 mm.
    Inch,
    /// 304.8 mm.
    Foot,
    /// A thousand millimetres.
    Metre,
}

impl Unit {
    /// All of them, rising.
    pub const ALL: [Unit; 6] = [Unit::Micron, Unit::Millimetre, Unit::Centimetre, Unit::Inch, Unit::Foot, Unit::Metre];

    /// Its length in millimetres. Inch and foot are exact by the international yard and pound agreement of 1959.
    pub fn mm(self) -> f64 {
        match self {
            Unit::Micron => 0.001,
            Unit::Millimetre => 1.0,
            Unit::Centimetre => 10.0,
            Unit::Inch => 25.4,
            Unit::Foot => 304.8,
            Unit::Metre => 1000.0,
        }
    }

    /// As 3MF writes it.
    pub fn name(self) -> &'static str {
        match self {
            Unit::Micron => "micron",
            Unit::Millimetre => "millimeter",
            Unit::Centimetre => "centimeter",
            Unit::Inch => "inch",
            Unit::Foot => "foot",
            Unit::Metre => "meter",
        }
    }
}

/// One thing in a file: a group of an OBJ file, an item of a 3MF file, all of an STL or PLY file.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Part {
    /// Its name in the file, or nothing.
    pub name: String,
    /// Its faces, in the unit of the file, where the file places them. Bit-equal vertices are one.
    pub mesh: Mesh,
    /// The one colour of all of it (red, green, blue, alpha), if it has one.
    pub colour: Option<[u8; 4]>,
}

/// Something about a file that was passed over or put right.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Remark {
    /// How often.
    pub count: u64,
    /// What, as a sentence that follows the count: "lines and points are no surface: passed over".
    pub what: String,
}

impl std::fmt::Display for Remark {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{} {}", self.count, self.what)
    }
}

/// A mesh file as read. Nothing is scaled: coordinates are in the unit of the file.
#[derive(Clone, Debug, PartialEq)]
pub struct ModelFile {
    /// Its format, found by looking into it.
    pub format: Format,
    /// The unit that it states; only 3MF does.
    pub unit: Option<Unit>,
    /// What is in it: at least one part, each with at least one face.
    pub parts: Vec<Part>,
    /// Triangles in the file, polygons counted as the triangles that they were parted into, those included that are
    /// in no part.
    pub facets: usize,
    /// Triangles left out because a coordinate is not a finite number.
    pub set_aside_not_finite: usize,
    /// The first of them, counted from 0 in the order of the file.
    pub first_not_finite: Option<usize>,
    /// Triangles left out because two of their corners are the same place. This opens nothing.
    pub collapsed: usize,
    /// What else was passed over or put right.
    pub remarks: Vec<Remark>,
    /// Time from opening the file to having all its numbers, seconds.
    pub read_s: f64,
    /// Time to merge equal vertices and put the parts together, seconds.
    pub merge_s: f64,
}

impl ModelFile {
    /// All parts as one mesh: faces part after part, bit-equal vertices of different parts made one.
    pub fn into_mesh(self) -> Result<Mesh, TooManyVertices> {
        join(self.parts.into_iter().map(|part| part.mesh).collect(), |_| Ok(()))
    }
}

/// Why meshes were not joined.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum JoinError {
    /// More vertices than can be numbered.
    #[error(transparent)]
    TooManyVertices(#[from] TooManyVertices),
    /// The joining was stopped.
    #[error(transparent)]
    Cancelled(#[from] Cancelled),
}

/// Several meshes as one, in which bit-equal vertices are one. The faces keep their order.
///
/// Reports the fraction done to `progress` and stops when it is cancelled.
pub fn joined(meshes: Vec<Mesh>, progress: &Progress) -> Result<Mesh, JoinError> {
    join(meshes, |fraction| {
        progress.check()?;
        progress.report(fraction);
        Ok(())
    })
}

pub(super) fn join<E: From<TooManyVertices> + Send>(
    mut meshes: Vec<Mesh>,
    watch: impl Fn(f64) -> Result<(), E> + Sync,
) -> Result<Mesh, E> {
    if meshes.len() == 1 {
        return Ok(meshes.swap_remove(0));
    }
    let mut triangles = Vec::with_capacity(meshes.iter().map(|mesh| mesh.triangles.len()).sum());
    let (places, faces): (Vec<Vec<[f64; 3]>>, Vec<_>) =
        meshes.into_iter().map(|mesh| (bytemuck::cast_vec(mesh.vertices), mesh.triangles)).unzip();
    let unified = unify(places, watch)?;
    for (mesh, faces) in faces.into_iter().enumerate() {
        let vertex = unified.vertices_of(mesh);
        triangles.extend(faces.into_iter().map(|face| face.map(|i| vertex[i as usize])));
    }
    Ok(Mesh { vertices: unified.vertices, triangles })
}
