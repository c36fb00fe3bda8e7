//! What lies on the model follows it when it is turned or given another size.

use super::EditError;
use super::apply::check_form;
use crate::recipe::{Recipe, Size};
use crate::stance::{Stance, follow};

/// Cuts, bores and measures stay at their place on the model.
pub(super) fn turn(recipe: &mut Recipe, stance: Stance) -> Result<(), EditError> {
    if !stance.is_usable() {
        return Err(EditError::Stance);
    }
    let scale = recipe.size.scale();
    let (from, to) = (recipe.turn(), stance.turn(scale));
    for cut in &mut recipe.cuts {
        (cut.plane, cut.form) = follow(&cut.plane, &cut.form, &from, &to)?;
        check_form(&cut.plane, &cut.form)?;
    }
    for bore in &mut recipe.bores {
        *bore = bore.turned(&from, &to);
    }
    for measure in &mut recipe.measures {
        measure.what = measure.what.turned(&from, &to);
        measure.what.check_kept()?;
    }
    recipe.stance = stance;
    Ok(())
}

/// Cuts, bores and measures scale about the origin with the model, so that they stay at the same detail. A kerf is a gap in the real
/// thing and keeps its width; so is a rod.
pub(super) fn resize(recipe: &mut Recipe, size: Size) -> Result<(), EditError> {
    if !size.is_usable() {
        return Err(EditError::Scale(size.factor));
    }
    let (before, after) = (recipe.size.scale(), size.scale());
    for cut in &mut recipe.cuts {
        cut.plane.through_mm = cut.plane.through_mm.map(|x| x * (after / before));
        cut.form = cut.form.enlarged(after / before);
        check_form(&cut.plane, &cut.form)?;
    }
    for bore in &mut recipe.bores {
        *bore = bore.enlarged(after / before);
        bore.check()?;
    }
    for measure in &mut recipe.measures {
        measure.what = measure.what.enlarged(after / before);
        measure.what.check_kept()?;
    }
    recipe.size = size;
    Ok(())
}
