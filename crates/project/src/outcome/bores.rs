//! What bores did.

use std::sync::Arc;

use seamwright_geometry::Point;
use seamwright_geometry::bore::WallProfile;

use crate::bore::BoreId;
use crate::recipe::PartId;

/// What a bore did.
#[derive(Clone, Debug)]
pub struct BoreDone {
    /// Which.
    pub bore: BoreId,
    /// The part that it goes through.
    pub part: PartId,
    /// What it is like, or why it was not made.
    pub result: Result<Arc<BoreFacts>, Failed>,
}

/// Why something was not made.
#[derive(Clone, Debug, PartialEq)]
pub struct Failed {
    /// In the maker's words, with the way out.
    pub why: String,
    /// Where.
    pub place: Option<Point>,
}

/// Measures of a bore, mm.
#[derive(Clone, Debug)]
pub struct BoreFacts {
    /// Its line as it was made: with blind ends where they came to lie.
    pub line: Vec<Point>,
    /// Where on the line, from its first point, its channel begins: at its mouth, or where it stops.
    pub from_mm: f64,
    /// Where it ends.
    pub to_mm: f64,
    /// Whether it begins, and ends, within the material.
    pub blind: [bool; 2],
    /// What passes: its diameter, or its width across flats.
    pub diameter_mm: f64,
    /// Volume that it took away, mm³; 0 where it misses the material.
    pub removed_mm3: f64,
    /// Where it comes through the surface, in order along it.
    pub mouths: Vec<Point>,
    /// The wall that is left around it, along it.
    pub profile: WallProfile,
}

impl BoreFacts {
    /// How long its channel is, from end to end, mm.
    pub fn length_mm(&self) -> f64 {
        self.to_mm - self.from_mm
    }

    /// The thinnest wall around it, mm; 0 where it breaks through, `None` where it meets no material, or none but
    /// what its mouths take.
    pub fn least_wall_mm(&self) -> Option<f64> {
        if self.broken_mm().next().is_none() { self.profile.least.map(|least| least.wall_mm) } else { Some(0.0) }
    }

    /// Where it breaks through the surface beside its line, from where to where along it, mm; its mouths are none.
    pub fn broken_mm(&self) -> impl Iterator<Item = [f64; 2]> {
        self.profile.broken.iter().map(|broken| [broken.from_mm, broken.to_mm])
    }
}
