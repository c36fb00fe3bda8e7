//! Pieces and their measures.

use std::sync::Arc;

use seamwright_geometry::{Bounds, Fit, Point, Side, Solid, ThinRim};

use super::crumb::Crumb;
use crate::bore::BoreId;
#[cfg(doc)]
use crate::recipe::Recipe;
use crate::recipe::{CutId, PieceId};

/// One closed solid to print.
#[derive(Clone, Debug)]
pub struct Piece {
    /// Identity, which survives edits elsewhere.
    pub id: PieceId,
    /// Short mark that is printed and written on the assembly sheet ("A1").
    pub mark: String,
    /// The pieces that this one was cut from, the uncut whole first.
    pub lineage: Vec<PieceId>,
    /// The faces, where the piece belongs in the whole, in mm.
    pub solid: Arc<Solid>,
    /// Its measures.
    pub facts: Arc<PieceFacts>,
    /// Whether and how it fits: on the first bed that takes it, else on the one on which it sticks out least.
    pub fit: Arc<Fit>,
    /// That bed, by its place among [`Recipe::beds`].
    pub bed: usize,
    /// Whether and how it fits each of the beds.
    pub fits: Vec<Arc<Fit>>,
    /// Whether it is so little that nobody meant it.
    pub crumb: Option<Crumb>,
}

impl Piece {
    /// Its largest size as it stands in the whole, mm.
    pub fn size_mm(&self) -> f64 {
        self.facts.bounds.size().amax()
    }

    /// Whether it is so little that nobody meant it.
    pub fn is_crumb(&self) -> bool {
        self.crumb.is_some()
    }
}

/// Measures of a piece.
#[derive(Clone, Debug)]
pub struct PieceFacts {
    /// Upright box as it stands in the whole, mm.
    pub bounds: Bounds,
    /// Volume, mm³.
    pub volume_mm3: f64,
    /// Surface, mm².
    pub area_mm2: f64,
    /// Whether every edge is shared by faces that balance.
    pub closed: bool,
    /// Caps, largest first.
    pub caps: Vec<CapFacts>,
    /// Corners of the convex hull: all that fit needs.
    pub hull: Vec<Point>,
    /// A few open edges' places, where it is not closed.
    pub open_places: Vec<Point>,
    /// The bores that cross it, and where.
    pub bores: Vec<BoreInPiece>,
}

/// A bore within a piece.
#[derive(Clone, Debug, PartialEq)]
pub struct BoreInPiece {
    /// Which.
    pub bore: BoreId,
    /// Where its walls begin in this piece, from the first point of its line, mm.
    pub from_mm: f64,
    /// Where they end.
    pub to_mm: f64,
    /// The places on its line.
    pub ends: [Point; 2],
}

/// Measures of the cap that a cut left on a piece.
#[derive(Clone, Debug, PartialEq)]
pub struct CapFacts {
    /// The cut.
    pub cut: CutId,
    /// The side of the cut that the piece is on here.
    pub side: Side,
    /// Outward normal, unit length; of a cap that is not flat, the mean.
    pub normal: [f64; 3],
    /// Whether all of it lies in one plane, so that the piece can stand on it.
    pub flat: bool,
    /// Area, mm².
    pub area_mm2: f64,
    /// Where the piece ends in a thin wedge along its rim, if that is long enough to be told.
    pub thin_rim: Option<ThinRim>,
}
