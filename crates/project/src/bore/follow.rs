//! A bore stays at its place on the model when that is enlarged, turned or mirrored. The rod stays the rod: diameters,
//! depths and walls are of the real thing.

use seamwright_geometry::{Point, Vector};

use super::Bore;
use crate::stance::Turn;

impl Bore {
    /// It on the model enlarged about the origin.
    pub(crate) fn enlarged(&self, factor: f64) -> Bore {
        Bore { line_mm: self.line_mm.iter().map(|p| p.map(|x| x * factor)).collect(), ..self.clone() }
    }

    /// It on the model that goes from one turn to another. Where its shape is turned to is a direction of the
    /// model, and turns with it.
    pub(crate) fn turned(&self, from: &Turn, to: &Turn) -> Bore {
        let carry = |v: [f64; 3]| -> [f64; 3] { to.direction(from.back(Vector::from(v))).into() };
        let place = |p: &[f64; 3]| to.place(from.place_back(Point::from(*p))).coords.into();
        Bore { line_mm: self.line_mm.iter().map(place).collect(), up: carry(self.up), ..self.clone() }
    }
}
