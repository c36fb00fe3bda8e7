//! Edits of bores.

use super::EditError;
use crate::bore::{AtSeam, Bore, BoreChange, BoreId, Placed, RodChoice, Stop};
use crate::recipe::{CutId, PartId, Recipe};
use crate::rods::Clearance;

/// A bore to be added.
#[derive(Clone, Debug, PartialEq)]
pub struct NewBore {
    /// What to call it; empty for "bore N".
    pub name: String,
    /// The part that it goes through.
    pub part: PartId,
    /// Its line, mm.
    pub line_mm: Vec<[f64; 3]>,
    /// How that was arrived at.
    pub placed: Placed,
    /// What goes in.
    pub rod: RodChoice,
}

/// Pockets for round magnets at a cut, to be added: a bore for each two.
#[derive(Clone, Debug, PartialEq)]
pub struct NewMagnets {
    /// The cut that they hold together.
    pub cut: CutId,
    /// Diameter of the magnets, mm.
    pub diameter_mm: f64,
    /// How thick each is, mm.
    pub thickness_mm: f64,
    /// How much play they have.
    pub clearance: Clearance,
    /// Where two meet, mm; each is moved square to the cut onto it.
    pub places_mm: Vec<[f64; 3]>,
}

impl NewMagnets {
    /// How far from every rim of the seam a place has to be, mm: half of the pocket, and the wall.
    pub fn keep_mm(&self) -> f64 {
        let rod = RodChoice::Magnets(self.diameter_mm);
        let mut like = Bore::new(BoreId(1), String::new(), PartId::MAIN, Vec::new(), rod);
        like.clearance = self.clearance;
        like.diameter_mm() / 2.0 + like.least_wall_mm
    }
}

pub(super) fn add_magnets(next: &mut Recipe, new: &NewMagnets) -> Result<(), EditError> {
    let part = next.cut(new.cut).ok_or(EditError::NoSuchCut(new.cut))?.part;
    for place in &new.places_mm {
        let id = next.next_bore;
        if id > BoreId::LAST {
            return Err(EditError::NoBoreIdLeft);
        }
        // Any line about the place; where it lies is told by the cut.
        let (mut from, mut to) = (*place, *place);
        (from[2], to[2]) = (from[2] - 1.0, to[2] + 1.0);
        let rod = RodChoice::Magnets(new.diameter_mm);
        let mut bore = Bore::new(id, format!("magnets {}", id.0), part, vec![from, to], rod);
        bore.clearance = new.clearance;
        bore.seam = Some(AtSeam { cut: new.cut, thickness_mm: new.thickness_mm });
        bore.ends.iter_mut().for_each(|end| end.stop = Stop::At);
        bore.check()?;
        let bore = bore.placed_in(next).map_err(EditError::Magnets)?;
        next.bores.push(bore);
        next.next_bore = BoreId(id.0 + 1);
    }
    Ok(())
}

pub(super) fn add(next: &mut Recipe, new: &NewBore) -> Result<(), EditError> {
    if !next.parts().any(|known| known == new.part) {
        return Err(EditError::NoSuchPart(new.part));
    }
    let id = next.next_bore;
    if id > BoreId::LAST {
        return Err(EditError::NoBoreIdLeft);
    }
    let name = if new.name.trim().is_empty() { next.name_of_new_bore() } else { new.name.trim().to_owned() };
    let mut bore = Bore::new(id, name, new.part, new.line_mm.clone(), new.rod.clone());
    bore.placed = new.placed;
    bore.check()?;
    next.bores.push(bore);
    next.next_bore = BoreId(id.0 + 1);
    Ok(())
}

pub(super) fn remove(next: &mut Recipe, id: BoreId) -> Result<(), EditError> {
    let at = next.bores.iter().position(|bore| bore.id == id).ok_or(EditError::NoSuchBore(id))?;
    next.bores.remove(at);
    Ok(())
}

pub(super) fn change(next: &mut Recipe, id: BoreId, change: &BoreChange) -> Result<(), EditError> {
    let bore = next.bores.iter_mut().find(|bore| bore.id == id).ok_or(EditError::NoSuchBore(id))?;
    let change = match change {
        BoreChange::Name(name) => BoreChange::Name(super::apply::not_empty(name)?),
        other => other.clone(),
    };
    *bore = change.apply(bore)?;
    Ok(())
}

/// The change in the maker's words.
pub(super) fn change_title(recipe: &Recipe, id: BoreId, change: &BoreChange) -> String {
    recipe.bore(id).map_or_else(|| format!("change bore {}", id.0), |bore| change.title(bore))
}

/// What a bore is called.
pub(super) fn name(recipe: &Recipe, id: BoreId) -> String {
    recipe.bore(id).map_or_else(|| format!("bore {}", id.0), |bore| bore.name.clone())
}
