//! Edits of bores.

use super::EditError;
use crate::bore::{Bore, BoreChange, BoreId, Placed, RodChoice};
use crate::recipe::{PartId, Recipe};

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

pub(super) fn add(next: &mut Recipe, new: &NewBore) -> Result<(), EditError> {
    if !next.parts().any(|known| known == new.part) {
        return Err(EditError::NoSuchPart(new.part));
    }
    let id = next.next_bore;
    if id > BoreId::LAST {
        return Err(EditError::NoBoreIdLeft);
    }
    let name = if new.name.trim().is_empty() { format!("bore {}", id.0) } else { new.name.trim().to_owned() };
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
        BoreChange::Name(name) => BoreChange::Name(super::not_empty(name)?),
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
