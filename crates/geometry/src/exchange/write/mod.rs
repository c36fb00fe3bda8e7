//! Writing mesh files.

mod exact;
mod new_file;
mod obj;
mod ply;
mod stl;
mod threemf;

pub use stl::write_stl;

use super::model::join;
use super::{Format, WriteError};
use crate::{Mesh, TooManyVertices};
use exact::Exact;
use new_file::NewFile;
use std::path::Path;

/// What to do where there is such a file already.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Overwrite {
    /// Leave it and say so.
    Refuse,
    /// Replace it in one step, once all is written.
    Allow,
}

/// What was written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Written {
    /// Facets in the file.
    pub facets: usize,
    /// Faces left out because two of their corners were the same place (for STL, once rounded). This opens nothing.
    pub collapsed: usize,
    /// Length of the file.
    pub bytes: u64,
}

/// One thing to be written.
#[derive(Clone, Copy, Debug)]
pub struct Piece<'a> {
    /// Its name. What a format can't have in a name (line breaks, say) is replaced.
    pub name: &'a str,
    /// Its faces, mm.
    pub mesh: &'a Mesh,
    /// Its colour: red, green, blue, alpha.
    pub colour: Option<[u8; 4]>,
}

/// Writes pieces into one file.
///
/// | format | coordinates | unit | names | colours |
/// |---|---|---|---|---|
/// | STL, binary | 32 bits, see [`write_stl`] | none | the first, in the header | none |
/// | OBJ | all bits | in a comment | as objects | of the vertices, without alpha |
/// | PLY, binary | all bits | in a comment | in comments | of the vertices |
/// | 3MF | all bits | millimetre | as objects | as materials |
///
/// STL and PLY hold one mesh: pieces are joined, bit-equal vertices of all made one. In the others each piece is an
/// object of its own. Vertices of a piece that are equal bit for bit become one, faces that lose a corner that way and
/// vertices without faces are left out. A 3MF object whose every edge has two faces, turned alike, is of type "model",
/// any other of type "surface", as the core specification has it.
///
/// Written under a passing name in the same folder and renamed at the end: a failure leaves whatever was there before.
pub fn write(path: &Path, format: Format, pieces: &[Piece], overwrite: Overwrite) -> Result<Written, WriteError> {
    if format == Format::Stl {
        let name = pieces.first().map_or("", |piece| piece.name);
        return match pieces {
            [piece] => write_stl(path, piece.mesh, name, overwrite),
            _ => {
                let meshes = pieces.iter().map(|piece| piece.mesh.clone()).collect();
                let too_many = |_: TooManyVertices| WriteError::TooLarge { path: path.to_owned() };
                write_stl(path, &join(meshes, |_| Ok(())).map_err(too_many)?, name, overwrite)
            }
        };
    }
    let file = NewFile::begin(path, overwrite)?;
    let exact = pieces.iter().map(|piece| Exact::of(piece, path)).collect::<Result<Vec<_>, _>>()?;
    let facets = exact.iter().map(|piece| piece.mesh.triangles.len()).sum();
    if facets == 0 {
        return Err(WriteError::NoFacets { path: path.to_owned() });
    }
    let vertices: usize = exact.iter().map(|piece| piece.mesh.vertices.len()).sum();
    if u32::try_from(vertices.max(facets)).is_err() {
        return Err(WriteError::TooLarge { path: path.to_owned() });
    }
    let bytes = file.write(|file| match format {
        Format::Ply => ply::write(file, &exact),
        Format::ThreeMf => threemf::write(file, &exact),
        Format::Obj | Format::Stl => obj::write(file, &exact),
    })?;
    Ok(Written {
        facets,
        collapsed: pieces.iter().map(|piece| piece.mesh.triangles.len()).sum::<usize>() - facets,
        bytes,
    })
}
