//! Pockets for round magnets: one on either side of a cut, made as one short bore across it, so that they line up.

use seamwright_geometry::Point;

use super::{Bore, RodChoice};
use crate::cut_form::CutForm;
use crate::recipe::{CutId, Recipe};

/// Where two magnets of a bore meet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AtSeam {
    /// The cut between them.
    pub cut: CutId,
    /// How thick one of them is, mm.
    pub thickness_mm: f64,
}

/// So much deeper than its magnet is a pocket, mm: one layer, so that a magnet set on glue does not stand out of the cap and
/// keep the seam open (common practice, no source).
pub const MAGNET_PLAY_MM: f64 = 0.2;

impl AtSeam {
    /// How deep a pocket is, mm.
    pub fn depth_mm(&self) -> f64 {
        self.thickness_mm + MAGNET_PLAY_MM
    }
}

impl Bore {
    /// The middle between the ends of its line: where two magnets meet.
    pub fn middle(&self) -> Point {
        match self.line_mm.as_slice() {
            [first, .., last] => nalgebra::center(&Point::from(*first), &Point::from(*last)),
            [only] => Point::from(*only),
            [] => Point::origin(),
        }
    }

    /// The bore as it is made in `recipe`: one for magnets lies across its cut, wherever that is now, with its middle moved
    /// square to the cut onto it. Fails, in the maker's words, where there is no such cut.
    pub fn placed_in(&self, recipe: &Recipe) -> Result<Bore, String> {
        let Some(seam) = self.seam else { return Ok(self.clone()) };
        let cut = recipe.cut(seam.cut).filter(|cut| cut.part == self.part);
        let cut = cut.ok_or("the cut that its magnets hold together is gone: remove it, or choose another cut")?;
        if !cut.enabled {
            return Err(format!("{} is switched off: switch it on, or remove the magnets", cut.name));
        }
        if let CutForm::Profile(_) = cut.form {
            return Err(format!("magnets need a flat cut, and {} follows a line: choose another cut", cut.name));
        }
        let plane = cut.plane.plane().map_err(|error| format!("{}: {error}", cut.name))?;
        let middle = self.middle();
        let normal = plane.normal();
        let on_cut = middle - normal * (normal.dot(&middle.coords) - plane.offset_mm());
        let half = normal * (seam.depth_mm() + cut.kerf_mm / 2.0);
        let line_mm = [on_cut - half, on_cut + half].map(|p| p.coords.into()).to_vec();
        Ok(Bore { line_mm, ..self.clone() })
    }

    /// What goes in, in words ("2 magnets of 6 × 3 mm").
    pub fn contents(&self) -> String {
        match (&self.rod, self.seam) {
            (RodChoice::Magnets(mm), Some(seam)) => format!("2 magnets of {mm} × {} mm", seam.thickness_mm),
            (rod, _) => rod.words(),
        }
    }
}
