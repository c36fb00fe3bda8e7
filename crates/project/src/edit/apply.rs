//! From one recipe to the next.

use std::collections::BTreeSet;

use super::following::{resize, turn};
use super::{Edit, EditError, bores, file_name, file_stem, measures};
use crate::cut_form::{CutForm, FormError};
use crate::cut_plane::CutPlane;
use crate::recipe::{Cut, CutId, LoosePart, NamedBed, PartId, Recipe, Scope, Size, SizedBy, SourceFile, UNNAMED};
use crate::{mending, relief};

impl Edit {
    /// The recipe with this change made.
    pub fn apply(&self, recipe: &Recipe) -> Result<Recipe, EditError> {
        let mut next = recipe.clone();
        match self {
            Edit::SetName(name) => next.name = not_empty(name)?,
            Edit::SetCostume(costume) => next.costume = costume.trim().to_owned(),
            Edit::SetStock(source) => {
                // A project that was given no name of its own is called as its model.
                let stem = |source: &SourceFile| file_stem(&source.path).to_owned();
                let of_model = next.stock.as_ref().map_or_else(|| UNNAMED.to_owned(), stem);
                if next.name == of_model && !stem(source).trim().is_empty() {
                    next.name = stem(source).trim().to_owned();
                }
                next.stock = Some(source.clone());
                next.beside.clear();
                next.forget_shells();
                // Of another model, they would say nothing.
                next.measures.clear();
            }
            Edit::AddSource(source) => {
                if next.stock.is_none() {
                    return Err(EditError::NoStock);
                }
                if next.sources().any(|known| known.sha256 == source.sha256) {
                    return Err(EditError::SameSource(file_name(&source.path).to_owned()));
                }
                next.beside.push(source.clone());
            }
            Edit::RemoveSource(at) => {
                if *at >= next.beside.len() {
                    return Err(EditError::NoSuchSource(*at));
                }
                next.beside.remove(*at);
                next.forget_shells();
            }
            Edit::RelocateStock(source) => next.stock = Some(source.clone()),
            Edit::RelocateSource { at, source } => {
                *next.beside.get_mut(*at).ok_or(EditError::NoSuchSource(*at))? = source.clone();
            }
            Edit::SetSize(size) => {
                resize(&mut next, *size)?;
                next.sized_by = if size.factor == 1.0 { SizedBy::AsMade } else { SizedBy::Factor };
            }
            Edit::SetSizeBy { factor, by } => {
                resize(&mut next, Size { factor: *factor, ..recipe.size })?;
                next.sized_by = by.clone();
            }
            Edit::SetStance(stance) => turn(&mut next, *stance)?,
            Edit::SetShellKept { shell, kept } => {
                if *kept {
                    next.dropped_shells.remove(shell);
                } else {
                    next.dropped_shells.insert(*shell);
                    take_from_loose(&mut next, &[*shell].into(), None);
                }
            }
            Edit::DropShells(shells) => {
                next.dropped_shells.extend(shells);
                take_from_loose(&mut next, shells, None);
            }
            Edit::AddLoosePart { name, shells } => {
                if shells.is_empty() {
                    return Err(EditError::NoShells);
                }
                take_from_loose(&mut next, shells, None);
                next.dropped_shells.retain(|shell| !shells.contains(shell));
                let id = next.next_part;
                let name = if name.trim().is_empty() { format!("loose part {}", id.0) } else { name.trim().to_owned() };
                next.loose.push(LoosePart { id, name, shells: shells.clone() });
                next.next_part = PartId(id.0.saturating_add(1));
            }
            Edit::SetShellsPart { shells, part } => {
                if !next.parts().any(|known| known == *part) {
                    return Err(EditError::NoSuchPart(*part));
                }
                next.dropped_shells.retain(|shell| !shells.contains(shell));
                if let Some(loose) = next.loose.iter_mut().find(|loose| loose.id == *part) {
                    loose.shells.extend(shells);
                }
                take_from_loose(&mut next, shells, Some(*part));
            }
            Edit::RemoveLoosePart(part) => {
                let at = next.loose.iter().position(|loose| loose.id == *part).ok_or(EditError::NoSuchPart(*part))?;
                next.loose.remove(at);
                next.cuts.retain(|cut| cut.part != *part);
                next.bores.retain(|bore| bore.part != *part);
                next.measures.retain(|measure| measure.part != *part);
            }
            Edit::RenameLoosePart { part, name } => {
                let loose = next.loose.iter_mut().find(|loose| loose.id == *part);
                loose.ok_or(EditError::NoSuchPart(*part))?.name = not_empty(name)?;
            }
            Edit::SetMends(mends) => {
                mends.iter().try_for_each(|mend| mending::check(&mend.step))?;
                next.mends = mends.clone();
            }
            Edit::SetReliefs(reliefs) => {
                relief::check(reliefs)?;
                next.reliefs = reliefs.clone();
            }
            Edit::AddCut { name, part, plane, form, scope } => {
                add_cut(&mut next, name, *part, *plane, form.clone(), scope.clone())?;
            }
            Edit::AddCuts { name, part, planes, scope } => {
                for (index, plane) in planes.iter().enumerate() {
                    let numbered = match name.trim() {
                        "" => String::new(),
                        name => format!("{name} {}", index + 1),
                    };
                    add_cut(&mut next, &numbered, *part, *plane, CutForm::Flat, scope.clone())?;
                }
            }
            Edit::RemoveCut(cut) => {
                let at = position(&next, *cut)?;
                next.cuts.remove(at);
                // What holds its two sides together goes with it.
                next.bores.retain(|bore| bore.seam.is_none_or(|seam| seam.cut != *cut));
            }
            Edit::SetCutPlane { cut, plane } => {
                let cut = cut_mut(&mut next, *cut)?;
                check_form(plane, &cut.form)?;
                cut.plane = *plane;
            }
            Edit::SetCutForm { cut, form } => {
                let cut = cut_mut(&mut next, *cut)?;
                check_form(&cut.plane, form)?;
                cut.form = form.clone();
            }
            Edit::SetCutKerf { cut, kerf_mm } => {
                check_kerf(*kerf_mm)?;
                cut_mut(&mut next, *cut)?.kerf_mm = *kerf_mm;
            }
            Edit::RenameCut { cut, name } => cut_mut(&mut next, *cut)?.name = not_empty(name)?,
            Edit::SetCutScope { cut, scope } => cut_mut(&mut next, *cut)?.scope = scope.clone(),
            Edit::SetCutEnabled { cut, enabled } => cut_mut(&mut next, *cut)?.enabled = *enabled,
            Edit::MoveCut { cut, to } => {
                let moved = next.cuts.remove(position(&next, *cut)?);
                next.cuts.insert((*to).min(next.cuts.len()), moved);
            }
            Edit::AddBore(new) => bores::add(&mut next, new)?,
            Edit::AddMagnets(new) => bores::add_magnets(&mut next, new)?,
            Edit::RemoveBore(bore) => bores::remove(&mut next, *bore)?,
            Edit::ChangeBore { bore, change } => bores::change(&mut next, *bore, change)?,
            Edit::AddMeasure { part, what } => measures::add(&mut next, *part, what)?,
            Edit::RemoveMeasure(measure) => measures::remove(&mut next, *measure)?,
            Edit::SetKeepBodiesTogether(keep) => next.keep_bodies_together = *keep,
            Edit::SetLeaveOutCrumbs(leave_out) => next.leave_out_crumbs = *leave_out,
            Edit::SetBed(bed) => {
                bed.check()?;
                next.bed = bed.clone();
            }
            Edit::SetBeds(beds) => {
                let (first, more) = beds.split_first().ok_or(EditError::NoBed)?;
                beds.iter().try_for_each(|named| named.bed.check())?;
                let trimmed = |named: &NamedBed| NamedBed { name: named.name.trim().to_owned(), ..named.clone() };
                let first = trimmed(first);
                (next.bed, next.bed_name) = (first.bed, first.name);
                next.more_beds = more.iter().map(trimmed).collect();
            }
        }
        Ok(next)
    }
}

fn add_cut(
    next: &mut Recipe,
    name: &str,
    part: PartId,
    plane: CutPlane,
    form: CutForm,
    scope: Scope,
) -> Result<(), EditError> {
    if !next.parts().any(|known| known == part) {
        return Err(EditError::NoSuchPart(part));
    }
    check_form(&plane, &form)?;
    let id = next.next_cut;
    if id > CutId::LAST {
        return Err(EditError::NoCutIdLeft);
    }
    let name = if name.trim().is_empty() { next.name_of_new_cut() } else { name.trim().to_owned() };
    next.cuts.push(Cut { id, name, part, plane, form, kerf_mm: 0.0, scope, enabled: true });
    next.next_cut = CutId(id.0 + 1);
    Ok(())
}

/// Shells that go elsewhere leave all loose parts `but` one; a part that is left with none is gone, with its cuts.
fn take_from_loose(recipe: &mut Recipe, shells: &BTreeSet<u32>, but: Option<PartId>) {
    for part in recipe.loose.iter_mut().filter(|part| Some(part.id) != but) {
        part.shells.retain(|shell| !shells.contains(shell));
    }
    recipe.loose.retain(|part| !part.shells.is_empty());
    let parts: Vec<PartId> = recipe.parts().collect();
    recipe.cuts.retain(|cut| parts.contains(&cut.part));
    recipe.bores.retain(|bore| parts.contains(&bore.part));
    recipe.measures.retain(|measure| parts.contains(&measure.part));
}

pub(super) fn not_empty(name: &str) -> Result<String, EditError> {
    let name = name.trim();
    if name.is_empty() { Err(EditError::EmptyName) } else { Ok(name.to_owned()) }
}

fn position(recipe: &Recipe, id: CutId) -> Result<usize, EditError> {
    recipe.cuts.iter().position(|cut| cut.id == id).ok_or(EditError::NoSuchCut(id))
}

fn cut_mut(recipe: &mut Recipe, id: CutId) -> Result<&mut Cut, EditError> {
    recipe.cuts.iter_mut().find(|cut| cut.id == id).ok_or(EditError::NoSuchCut(id))
}

/// A plane that is none is told as such, whatever the form.
pub(super) fn check_form(plane: &CutPlane, form: &CutForm) -> Result<(), EditError> {
    match form.surface(plane) {
        Ok(_) => Ok(()),
        Err(FormError::Plane(error)) => Err(EditError::Plane(error)),
        Err(error) => Err(EditError::Form(error)),
    }
}

/// The widest gap that a cut may leave, mm: wider than any saw or seam is; a slice is taken out with two cuts. Our own
/// choice, no source.
pub const MOST_KERF_MM: f64 = 20.0;

pub(crate) fn check_kerf(kerf_mm: f64) -> Result<(), EditError> {
    if (0.0..=MOST_KERF_MM).contains(&kerf_mm) { Ok(()) } else { Err(EditError::Kerf(kerf_mm)) }
}
