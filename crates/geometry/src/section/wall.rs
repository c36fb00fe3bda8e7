//! The thinnest wall of a section.
//!
//! Through a place on the outline goes the straight line into the material, square to the outline there; at a corner
//! that points into the material, every line between the two that are square to its sides. Where the line leaves the
//! material, the wall ends: the line's length is the thickness there, provided that the outline at its far end faces
//! the place, within [`FACING_DEG`]. (The ray method. Thickness by inscribed spheres, which Inui, Umezu, Wakasaki and
//! Sato describe in "Thickness and clearance visualization based on distance field of 3D objects", Journal of
//! Computational Design and Engineering 2, 2015, would make every convex corner infinitely thin.) The sides of a square
//! corner do not face each other, so that a corner is no thin wall.
//!
//! On two straight sides the thickness changes linearly, so that the least is found at one of their ends: lines are
//! drawn from both ends of every edge, to every corner from the edges that it lies square to, and between corners that
//! point into the material. All are found through a tree of boxes that knows which way the edges in a box face. Where a
//! line becomes free of the corner of a hole halfway along an edge, the thickness jumps. A least value at the jump itself
//! is not looked for: it may be missed by what the thickness changes between there and the end of the edge.
//!
//! Measured on two cores that others used too (`examples/wall_speed.rs`): 1 ms for a section of the demo helm with
//! 1100 edges, 38 ms for a ring of 20 000 edges.

mod outline;
mod search;
mod tree;

use super::Section;
use crate::{Plane, Point};
use outline::Outline;

/// Two sides face each other while the angle between them is at most this (our own choice, no source): twice the draft
/// that moulded walls commonly have would be far less, the sharpest chisel far more; a corner of a hexagon, a square or an
/// equilateral triangle is clearly above.
pub const FACING_DEG: f64 = 30.0;

/// The thinnest place of a section: see [`Section::thinnest_wall`].
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ThinWall {
    /// Thickness there, mm.
    pub mm: f64,
    /// Where it is measured from, on the outline.
    pub from: Point,
    /// Where it is measured to, on the outline.
    pub to: Point,
}

impl Section {
    /// The place where the material of this section, made by `plane`, is thinnest, measured within the plane and square
    /// to the outline at one of its two ends, with the outline at the other end facing it within [`FACING_DEG`].
    ///
    /// Where outlines of several shells overlap, the material is that of all of them together. Two sides that meet in a
    /// point, as those of a blade, have no least thickness: such a taper is no wall and is passed over. Lines that do
    /// not close bound nothing and are left out. `None` where no two sides face each other, and for nothing.
    ///
    /// ```
    /// use seamwright_geometry::{Plane, Point, Solid, Vector, section, solids};
    /// let plank = Solid::from_stock(solids::cuboid(Point::origin(), Point::new(30.0, 4.0, 10.0)));
    /// let plane = Plane::new(Vector::z(), 5.0).unwrap();
    /// assert_eq!(section(&plank, &plane).thinnest_wall(&plane).unwrap().mm, 4.0);
    /// ```
    pub fn thinnest_wall(&self, plane: &Plane) -> Option<ThinWall> {
        let outline = Outline::of(self, plane)?;
        search::thinnest(&outline)
    }
}

#[cfg(test)]
mod tests;
