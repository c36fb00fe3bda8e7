//! Edits of measures.

use super::{Edit, EditError};
use crate::measure::{Measure, MeasureId, Measured};
use crate::recipe::{PartId, Recipe};

impl Edit {
    /// Whether it changes nothing but what is known by measuring.
    pub fn only_measures(&self) -> bool {
        matches!(self, Edit::AddMeasure { .. } | Edit::RemoveMeasure(_))
    }
}

pub(super) fn add(next: &mut Recipe, part: PartId, what: &Measured) -> Result<(), EditError> {
    if !next.parts().any(|known| known == part) {
        return Err(EditError::NoSuchPart(part));
    }
    what.check()?;
    let id = next.next_measure;
    next.next_measure = MeasureId(id.0.checked_add(1).ok_or(EditError::NoMeasureIdLeft)?);
    next.measures.push(Measure { id, part, what: what.clone() });
    Ok(())
}

pub(super) fn remove(next: &mut Recipe, id: MeasureId) -> Result<(), EditError> {
    let at = next.measures.iter().position(|measure| measure.id == id).ok_or(EditError::NoSuchMeasure(id))?;
    next.measures.remove(at);
    Ok(())
}

/// The change in the maker's words.
pub(super) fn remove_title(recipe: &Recipe, id: MeasureId) -> String {
    match recipe.measures.iter().find(|measure| measure.id == id) {
        Some(Measure { what, .. }) => format!("forget the {} of {}", what.kind(), what.value_words()),
        None => format!("forget measure {}", id.0),
    }
}
