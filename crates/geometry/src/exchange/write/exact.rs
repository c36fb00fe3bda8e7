//! A piece ready for formats that hold all bits of a coordinate.

use super::{Piece, WriteError};
use crate::merge::{drop_unused_vertices, unify};
use crate::{Mesh, TooManyVertices};
use std::path::Path;

/// A piece without doublets: bit-equal vertices are one, and no face has one of them twice.
pub(super) struct Exact<'a> {
    pub(super) name: &'a str,
    pub(super) colour: Option<[u8; 4]>,
    pub(super) mesh: Mesh,
}

impl<'a> Exact<'a> {
    pub(super) fn of(piece: &Piece<'a>, path: &Path) -> Result<Exact<'a>, WriteError> {
        let infinite = piece.mesh.vertices.iter().position(|p| !p.iter().all(|x| x.is_finite()));
        if let Some(vertex) = infinite {
            let at = piece.mesh.vertices[vertex].coords.into();
            return Err(WriteError::OutOfRange { path: path.to_owned(), vertex, at });
        }
        let places: Vec<[f64; 3]> = bytemuck::cast_slice(&piece.mesh.vertices).to_vec();
        let too_many = |_: TooManyVertices| WriteError::TooLarge { path: path.to_owned() };
        let unified = unify(vec![places], |_| Ok(())).map_err(too_many)?;
        let faces = piece.mesh.triangles.iter().map(|face| face.map(|i| unified.vertex(i as usize)));
        let triangles = faces.filter(|[a, b, c]| a != b && b != c && c != a).collect();
        let mut mesh = Mesh { vertices: unified.vertices, triangles };
        drop_unused_vertices(&mut mesh);
        Ok(Exact { name: piece.name, colour: piece.colour, mesh })
    }
}

/// A number as text, which gives the same bits when it is read: never infinite, without an exponent in the range of
/// common sizes. Fits the ST_Number of 3MF.
pub(super) struct Number(pub(super) f64);

impl std::fmt::Display for Number {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let size = self.0.abs();
        if size == 0.0 || (1e-5..1e15).contains(&size) { write!(f, "{}", self.0) } else { write!(f, "{:e}", self.0) }
    }
}

/// A name on one line, without characters that control anything.
pub(super) fn plain(name: &str) -> String {
    let name: String = name.chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
    name.trim().to_owned()
}
