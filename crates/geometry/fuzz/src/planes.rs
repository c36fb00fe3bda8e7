//! Planes made from the fuzzer's bytes: any, and those that meet a mesh in the places that are hard to decide.

use arbitrary::Arbitrary;
use seamwright_geometry::{Mesh, Plane, Point, Vector};

use crate::stock::{Coordinate, Place};

/// A plane.
#[derive(Arbitrary, Debug)]
pub enum AnyPlane {
    /// Any four numbers.
    Any(Place, Coordinate),
    /// Square to an axis, on or near the lattice.
    Upright(u8, Coordinate),
    /// Through three vertices.
    Vertices(u8, u8, u8),
    /// Through an edge of a face, and any place.
    Edge(u8, Place),
    /// Through a vertex, with any normal.
    Vertex(u8, Place),
    /// In a face.
    Face(u8),
}

impl AnyPlane {
    /// `None` where it spans no plane.
    pub fn of(&self, mesh: &Mesh) -> Option<Plane> {
        let place = |p: &Place| Point::from(p.map(|x| f64::from(x.number())));
        let vertex = |i: &u8| mesh.vertices.get(usize::from(*i) % mesh.vertices.len().max(1)).copied();
        let face = |i: &u8| (!mesh.triangles.is_empty()).then(|| mesh.corners(usize::from(*i) % mesh.triangles.len()));
        let through = |a: Point, b: Point, c: Point| Plane::through(a, (b - a).cross(&(c - a))).ok();
        match self {
            AnyPlane::Any(normal, offset) => Plane::new(place(normal).coords, f64::from(offset.number())).ok(),
            AnyPlane::Upright(axis, offset) => {
                Plane::new(Vector::ith(usize::from(axis % 3), 1.0), f64::from(offset.number())).ok()
            }
            AnyPlane::Vertices(a, b, c) => through(vertex(a)?, vertex(b)?, vertex(c)?),
            AnyPlane::Edge(f, p) => {
                let [a, b, _] = face(f)?;
                through(a, b, place(p))
            }
            AnyPlane::Vertex(v, normal) => Plane::through(vertex(v)?, place(normal).coords).ok(),
            AnyPlane::Face(f) => {
                let [a, b, c] = face(f)?;
                through(a, b, c)
            }
        }
    }
}
