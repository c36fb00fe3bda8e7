//! Bytes of mesh files into meshes and back. The only place of this crate that touches files.
//!
//! Readers give what the file says, in the units of the file, with bit-equal corners merged and nothing else mended;
//! what they set aside, they count. Writers write beside the target and rename, so that a failure leaves whatever
//! was there before.

mod ascii;
mod binary;
mod blocks;
mod error;
mod faces;
mod model;
mod obj;
mod ply;
mod polygon;
mod read;
mod source;
mod stl;
#[cfg(test)]
mod tests;
mod text;
mod threemf;
mod write;

pub use error::{ReadError, ReadProblem, WriteError};
pub use model::{Format, JoinError, ModelFile, Part, Remark, Unit, joined};
pub use read::{ReadOptions, parse, read};
pub use stl::{parse_stl, read_stl};
pub use write::{Overwrite, Piece, Written, write, write_stl};

use crate::Mesh;

/// A mesh as read from a file, and what there is to say about the reading.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ReadMesh {
    /// The mesh: vertices in the order in which the file first names them, faces in the order of the file.
    pub mesh: Mesh,
    /// Facets in the file, those included that are not in the mesh.
    pub facets: usize,
    /// Facets left out because a coordinate is not a finite number.
    pub set_aside_not_finite: usize,
    /// The first of them, counted from 0 in the order of the file.
    pub first_not_finite: Option<usize>,
    /// Facets left out because two of their corners are the same place. This opens nothing.
    pub collapsed: usize,
    /// Bytes behind the last facet that mean nothing to the format.
    pub trailing_bytes: u64,
    /// Facets that a binary file promises and does not hold, where such a file was let pass (see [`read`]).
    pub missing_facets: u64,
    /// Time from opening the file to having all its numbers, seconds.
    pub read_s: f64,
    /// Time to merge the corners, seconds.
    pub merge_s: f64,
}
