//! Pieces that nobody meant: what a cut or a mend leaves over.

use super::piece::{Piece, PieceFacts};
use crate::placing::PRINT_LINE_MM;

/// How little a crumb is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Crumb {
    /// So small that nobody meant it, but it can be printed.
    Small,
    /// Thinner than a printed line.
    Fine,
    /// So thin that nothing of it comes out of a printer.
    Vanishes,
}

/// A piece that is smaller than this on all sides is hardly meant where it was cut off, mm (common practice, no source).
const SMALL_MM: f64 = 5.0;
/// What was cut off and is less than this, mm³ (a third of a gram of plastic), and less than [`SMALL_SHARE`] of the largest
/// piece of its part, is hardly meant either, however long. Our own choice, no source.
const SMALL_MM3: f64 = 250.0;
/// See [`SMALL_MM3`]. Our own choice, no source.
const SMALL_SHARE: f64 = 1e-3;
/// Half of a layer of 0.2 mm, the commonest (common practice, no source): layers are taken at their middle, so that what is
/// lower than this is in none of them.
const HALF_LAYER_MM: f64 = 0.1;

/// A flat cone is three times as high in its middle as on the mean.
const PEAK: f64 = 3.0;

impl PieceFacts {
    /// How thick the material is, mm: no more than the least side of its box, nor than the mean thickness of a sheet of its
    /// volume and surface (half of its thickness for a bar).
    fn thickness_mm(&self) -> f64 {
        let least = self.bounds.size().min();
        self.mean_thickness_mm().map_or(least, |mean| least.min(mean))
    }

    /// The thickness of a sheet of its volume and surface, mm; of what is open the volume says nothing.
    fn mean_thickness_mm(&self) -> Option<f64> {
        let mean = 2.0 * self.volume_mm3.abs() / self.area_mm2;
        (self.closed && mean.is_finite()).then_some(mean)
    }
}

impl Piece {
    /// What kind of crumb it is beside the largest piece of its part, of `largest_mm3`.
    fn crumb_beside(&self, largest_mm3: f64) -> Option<Crumb> {
        let (facts, cut_off) = (&self.facts, !self.id.path.is_empty());
        let (thickness_mm, volume_mm3) = (facts.thickness_mm(), facts.volume_mm3.abs());
        // A sheet that lies slanted or is bent says it by its volume only where it is little else, too: walls may be thin.
        let sheet = cut_off && facts.bounds.size().min() < PRINT_LINE_MM;
        let slight = volume_mm3 < SMALL_MM3 && volume_mm3 < largest_mm3 * SMALL_SHARE;
        let mean_mm = facts.mean_thickness_mm().unwrap_or(f64::INFINITY);
        if facts.bounds.size().min() < HALF_LAYER_MM || mean_mm * PEAK < HALF_LAYER_MM {
            Some(Crumb::Vanishes)
        } else if sheet || slight && thickness_mm < PRINT_LINE_MM {
            Some(Crumb::Fine)
        } else if cut_off && (slight || self.size_mm() < SMALL_MM) {
            Some(Crumb::Small)
        } else {
            None
        }
    }
}

/// Says of each piece of one part whether it is a crumb. A part that would be nothing but crumbs is small, and meant.
pub(crate) fn tell_crumbs(part: &mut [Piece]) {
    let largest_mm3 = part.iter().map(|piece| piece.facts.volume_mm3.abs()).fold(0.0, f64::max);
    let told: Vec<Option<Crumb>> = part.iter().map(|piece| piece.crumb_beside(largest_mm3)).collect();
    if told.iter().any(Option::is_none) {
        part.iter_mut().zip(told).for_each(|(piece, crumb)| piece.crumb = crumb);
    }
}
