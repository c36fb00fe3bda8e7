//! What a model part of a 3MF package holds.

use crate::Point;
use crate::exchange::faces::Tint;
use crate::exchange::{Remark, Unit};
use std::collections::HashMap;

/// A model: objects, and where they are to be built.
#[derive(Debug, Default)]
pub(super) struct Model {
    /// Its name in the package.
    pub(super) part: String,
    pub(super) unit: Unit,
    pub(super) objects: Vec<Object>,
    /// Where in `objects` each identity is.
    pub(super) numbers: HashMap<u32, usize>,
    /// Only those of the root model count.
    pub(super) items: Vec<Placed>,
    pub(super) remarks: Vec<Remark>,
}

impl Model {
    /// Other model parts that this one names, in order, with repeats.
    pub(super) fn paths(&self) -> Vec<String> {
        let components = self.objects.iter().flat_map(|object| match &object.content {
            Content::Components(components) => components.as_slice(),
            Content::Mesh { .. } => &[],
        });
        components.chain(&self.items).filter_map(|placed| placed.path.clone()).collect()
    }
}

/// Something that has a shape.
#[derive(Debug)]
pub(super) struct Object {
    pub(super) id: u32,
    pub(super) name: String,
    pub(super) purpose: Purpose,
    pub(super) tint: Tint,
    pub(super) content: Content,
}

/// What an object is for.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) enum Purpose {
    /// A solid or surface to be made.
    #[default]
    Made,
    /// Holds others up while they are printed.
    Support,
    /// Nothing that is built by itself.
    Other,
}

#[derive(Debug)]
pub(super) enum Content {
    Mesh { vertices: Vec<[f64; 3]>, triangles: Vec<[u32; 3]> },
    Components(Vec<Placed>),
}

/// An object at a place: a component of another, or an item of the build.
#[derive(Clone, Debug)]
pub(super) struct Placed {
    /// The model part that it is in, if another.
    pub(super) path: Option<String>,
    pub(super) object: u32,
    pub(super) transform: Transform,
    pub(super) name: String,
}

/// An affine map as the specification writes it: `m00 m01 m02 m10 … m32`, applied to row vectors from the left.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Transform {
    pub(super) rows: [[f64; 3]; 4],
}

impl Transform {
    pub(super) const IDENTITY: Transform =
        Transform { rows: [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0], [0.0; 3]] };

    pub(super) fn apply(&self, p: &Point) -> Point {
        let [x, y, z, shift] = &self.rows;
        Point::from([0, 1, 2].map(|i| p.x * x[i] + p.y * y[i] + p.z * z[i] + shift[i]))
    }

    /// First this, then `outer`.
    pub(super) fn then(&self, outer: &Transform) -> Transform {
        let row = |row: [f64; 3], shift: f64| {
            [0, 1, 2].map(|i| (0..3).map(|k| row[k] * outer.rows[k][i]).sum::<f64>() + shift * outer.rows[3][i])
        };
        let [x, y, z, shift] = self.rows;
        Transform { rows: [row(x, 0.0), row(y, 0.0), row(z, 0.0), row(shift, 1.0)] }
    }

    /// Negative for a map that mirrors.
    pub(super) fn determinant(&self) -> f64 {
        let [x, y, z] = [self.rows[0], self.rows[1], self.rows[2]].map(crate::Vector::from);
        x.cross(&y).dot(&z)
    }
}
