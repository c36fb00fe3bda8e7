//! Every change of a recipe is one value of [`Edit`].

mod bores;
mod measures;

use std::collections::BTreeSet;

use seamwright_geometry::{Bed, BedError, PlaneError};

use crate::bore::{BoreChange, BoreId, BoreTrouble};
use crate::cut_form::{CutForm, FormError};
use crate::cut_plane::{Axis, CutPlane};
use crate::measure::{MeasureId, MeasureTrouble, Measured};
use crate::mending::{self, MendStepError};
use crate::recipe::{Cut, CutId, LoosePart, Mend, NamedBed, PartId, Recipe, Scope, Size, SizedBy, SourceFile, UNNAMED};
use crate::relief::{self, Relief, ReliefStepError};
use crate::stance::{Stance, follow};
use crate::unit_guess::plural;

pub use bores::{NewBore, NewMagnets};

/// One change of a recipe: what undo, replay, tests, the window and the command line all use.
#[derive(Clone, Debug, PartialEq)]
pub enum Edit {
    /// Names the part.
    SetName(String),
    /// Names the costume that the part belongs to.
    SetCostume(String),
    /// Reads the stock from this file. Shells dropped from another file are kept again.
    SetStock(SourceFile),
    /// Adds a file that shares the frame of the first.
    AddSource(SourceFile),
    /// Takes a file away that was added, by its place among those beside the first.
    RemoveSource(usize),
    /// Points at the new place of the same stock, or at its newer version; everything else stays.
    RelocateStock(SourceFile),
    /// The same for a file beside the first.
    RelocateSource {
        /// Its place among those beside the first.
        at: usize,
        /// The file.
        source: SourceFile,
    },
    /// Gives the model its size, as it was typed. Cuts keep their place on the model.
    SetSize(Size),
    /// Gives the model the factor that something was arrived at by.
    SetSizeBy {
        /// What it is enlarged by.
        factor: f64,
        /// How that was arrived at.
        by: SizedBy,
    },
    /// Mirrors the model, turns it or stands it on a face. Cuts keep their place on it.
    SetStance(Stance),
    /// Keeps a shell or drops it.
    SetShellKept {
        /// Number of the shell in the health report.
        shell: u32,
        /// Whether it stays.
        kept: bool,
    },
    /// Drops shells.
    DropShells(BTreeSet<u32>),
    /// Sets shells aside as a part of their own.
    AddLoosePart {
        /// What to call it; empty for "loose part N".
        name: String,
        /// Which shells.
        shells: BTreeSet<u32>,
    },
    /// Puts shells to another part, the main one or a loose one; dropped shells are kept again by it.
    SetShellsPart {
        /// Which shells.
        shells: BTreeSet<u32>,
        /// Where they belong.
        part: PartId,
    },
    /// Puts the shells of a loose part back to the rest, and takes its cuts away.
    RemoveLoosePart(PartId),
    /// Names a loose part.
    RenameLoosePart {
        /// Which part.
        part: PartId,
        /// Its name.
        name: String,
    },
    /// Says what is mended, in order.
    SetMends(Vec<Mend>),
    /// Says where room is made in shells for others.
    SetReliefs(Vec<Relief>),
    /// Adds a cut after the others.
    AddCut {
        /// What to call it; empty for "cut N".
        name: String,
        /// The part that it cuts.
        part: PartId,
        /// Where it lies.
        plane: CutPlane,
        /// What it is made along.
        form: CutForm,
        /// What it may cut.
        scope: Scope,
    },
    /// Adds flat cuts after the others, called by one name and numbered: what is stepped off is undone at once.
    AddCuts {
        /// What to call them, before their number; empty for "cut".
        name: String,
        /// The part that they cut.
        part: PartId,
        /// Where they lie.
        planes: Vec<CutPlane>,
        /// What they may cut.
        scope: Scope,
    },
    /// Takes a cut away.
    RemoveCut(CutId),
    /// Moves or tilts a cut. A whole drag is one of these.
    SetCutPlane {
        /// Which cut.
        cut: CutId,
        /// Where it lies now.
        plane: CutPlane,
    },
    /// Says what a cut is made along.
    SetCutForm {
        /// Which cut.
        cut: CutId,
        /// What it is made along now.
        form: CutForm,
    },
    /// Sets the gap that a cut leaves.
    SetCutKerf {
        /// Which cut.
        cut: CutId,
        /// Its width, mm.
        kerf_mm: f64,
    },
    /// Names a cut.
    RenameCut {
        /// Which cut.
        cut: CutId,
        /// Its name.
        name: String,
    },
    /// Says what a cut may cut.
    SetCutScope {
        /// Which cut.
        cut: CutId,
        /// What it may cut.
        scope: Scope,
    },
    /// Switches a cut on or off.
    SetCutEnabled {
        /// Which cut.
        cut: CutId,
        /// Whether it cuts.
        enabled: bool,
    },
    /// Makes a cut earlier or later.
    MoveCut {
        /// Which cut.
        cut: CutId,
        /// Its new place in the order, from 0.
        to: usize,
    },
    /// Adds a bore after the others.
    AddBore(Box<NewBore>),
    /// Adds pockets for magnets on both sides of a cut.
    AddMagnets(Box<NewMagnets>),
    /// Takes a bore away.
    RemoveBore(BoreId),
    /// Changes something about a bore.
    ChangeBore {
        /// Which bore.
        bore: BoreId,
        /// What about it.
        change: BoreChange,
    },
    /// Notes something that was measured.
    AddMeasure {
        /// The part that it was taken on.
        part: PartId,
        /// What was measured.
        what: Measured,
    },
    /// Takes a measure away.
    RemoveMeasure(MeasureId),
    /// Whether bodies that a cut leaves unconnected stay one piece.
    SetKeepBodiesTogether(bool),
    /// Sets the first bed.
    SetBed(Bed),
    /// Sets all beds, the first one first.
    SetBeds(Vec<NamedBed>),
}

/// Why an edit cannot be made. The recipe stays as it was.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum EditError {
    /// The recipe has no such cut.
    #[error("there is no cut {}; it may have been removed", .0.0)]
    NoSuchCut(CutId),
    /// The numbers of a cut make no plane.
    #[error("this cut has no plane: {}{}", .0, way_out(.0))]
    Plane(#[from] PlaneError),
    /// The numbers of a cut's form make no surface.
    #[error("this cut has no surface: {0}")]
    Form(#[from] FormError),
    /// A kerf is no width.
    #[error("a kerf is a width of 0 to {most} mm, not {0} mm", most = MOST_KERF_MM)]
    Kerf(f64),
    /// The bed holds nothing.
    #[error(transparent)]
    Bed(#[from] BedError),
    /// Every bed was taken away.
    #[error("a project needs at least one bed")]
    NoBed,
    /// The scale is no scale.
    #[error("a model can be scaled by a positive number only, not by {0}")]
    Scale(f64),
    /// A name is empty.
    #[error("a name needs at least one letter")]
    EmptyName,
    /// The direction that should point down points nowhere.
    #[error("the direction to turn down has no length")]
    Stance,
    /// The recipe has no such loose part.
    #[error("there is no loose part {}; it may have been put back", .0.0)]
    NoSuchPart(PartId),
    /// A loose part without shells.
    #[error("choose at least one shell to set aside")]
    NoShells,
    /// There is no such file beside the first.
    #[error("there is no file number {0} beside the first")]
    NoSuchSource(usize),
    /// The same file twice.
    #[error("{0} is part of this model already")]
    SameSource(String),
    /// A model of several files needs a first one.
    #[error("open a model first; further files go beside it")]
    NoStock,
    /// A number of a mend is none.
    #[error(transparent)]
    Mend(#[from] MendStepError),
    /// A relief makes no sense.
    #[error(transparent)]
    Relief(#[from] ReliefStepError),
    /// The recipe has no such bore.
    #[error("there is no bore {}; it may have been removed", .0.0)]
    NoSuchBore(BoreId),
    /// The numbers of a bore make no channel.
    #[error(transparent)]
    Bore(#[from] BoreTrouble),
    /// There is no place for magnets.
    #[error("no magnets there: {0}")]
    Magnets(String),
    /// The recipe has no such measure.
    #[error("there is no measure {}; it may have been removed", .0.0)]
    NoSuchMeasure(MeasureId),
    /// The numbers of a measure make none.
    #[error(transparent)]
    Measure(#[from] MeasureTrouble),
    /// Every identity was given to a measure before.
    #[error("every number that a measure can have was used: begin a new project with this model")]
    NoMeasureIdLeft,
    /// Every identity was given to a bore before.
    #[error("every number that a bore can have was used: begin a new project with this model")]
    NoBoreIdLeft,
    /// Every identity was given to a cut before.
    #[error("every number that a cut can have was used: begin a new project with this model")]
    NoCutIdLeft,
}

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

    /// The change in the maker's words, for *undo "…"* and the history; `recipe` is the one it is applied to. It is said
    /// as one tells somebody to do it, by a verb first, so that a list of them reads as one: `move brow by 4.5 mm`.
    pub fn title(&self, recipe: &Recipe) -> String {
        let name = |id: &CutId| recipe.cut(*id).map_or_else(|| format!("cut {}", id.0), |cut| cut.name.clone());
        match self {
            Edit::SetName(name) => format!("call it {}", name.trim()),
            Edit::SetCostume(costume) if costume.trim().is_empty() => "take it out of its costume".into(),
            Edit::SetCostume(costume) => format!("make it part of {}", costume.trim()),
            Edit::SetStock(source) => format!("open {}", file_name(&source.path)),
            Edit::RelocateStock(source) | Edit::RelocateSource { source, .. } => {
                format!("find {} again", file_name(&source.path))
            }
            Edit::AddSource(source) => format!("add {}", file_name(&source.path)),
            Edit::RemoveSource(at) => {
                let source = recipe.beside.get(*at).map_or("a file", |source| file_name(&source.path));
                format!("take {source} away")
            }
            Edit::SetSize(size) => {
                let mut said = Vec::new();
                if size.unit != recipe.size.unit || size.factor == recipe.size.factor {
                    said.push(format!("read it in {}", plural(size.unit)));
                }
                if size.factor != recipe.size.factor {
                    said.push(format!("size it × {}", size.factor));
                }
                said.join(" and ")
            }
            Edit::SetSizeBy { factor, by } => match by {
                SizedBy::AsMade | SizedBy::Factor => format!("size it × {factor}"),
                SizedBy::Dimension { axis, mm } => format!("size it to {mm} mm along {}", axis.name()),
                SizedBy::Distance { mm } => format!("size it to {mm} mm between two points"),
                SizedBy::Wearer { measure, wearer_mm, .. } => format!("size it to a {measure} of {wearer_mm} mm"),
            },
            Edit::SetStance(stance) if stance.mirrored != recipe.stance.mirrored => match stance.mirrored {
                Some(axis) => format!("mirror along {}", axis.name()),
                None => "mirror back".into(),
            },
            Edit::SetStance(stance) if stance.quarter_from(&recipe.stance).is_some() => {
                let (axis, back) = stance.quarter_from(&recipe.stance).unwrap_or((Axis::Z, false));
                format!("turn by {}90° about {}", if back { "−" } else { "" }, axis.name())
            }
            Edit::SetStance(stance) if stance.down.is_none() => "stand as made".into(),
            Edit::SetStance(_) => "stand on a face".into(),
            Edit::AddLoosePart { name, .. } if name.trim().is_empty() => {
                format!("set loose part {} aside", recipe.next_part.0)
            }
            Edit::AddLoosePart { name, .. } => format!("set {} aside", name.trim()),
            Edit::SetShellsPart { shells, part } => {
                let name = recipe.part_name(*part);
                match shells.first() {
                    Some(shell) if shells.len() == 1 => format!("put shell {} to {name}", u64::from(*shell) + 1),
                    _ => format!("put {} shells to {name}", shells.len()),
                }
            }
            Edit::RemoveLoosePart(part) => format!("put {} back", recipe.part_name(*part)),
            Edit::RenameLoosePart { part, name } => format!("call {} {}", recipe.part_name(*part), name.trim()),
            Edit::SetMends(mends) => mends_title(&recipe.mends, mends),
            Edit::SetReliefs(reliefs) => reliefs_title(&recipe.reliefs, reliefs),
            Edit::SetShellKept { shell, kept: true } => format!("keep shell {}", u64::from(*shell) + 1),
            Edit::SetShellKept { shell, kept: false } => format!("drop shell {}", u64::from(*shell) + 1),
            Edit::DropShells(shells) => match shells.first() {
                Some(shell) if shells.len() == 1 => format!("drop shell {}", u64::from(*shell) + 1),
                _ => format!("drop {} shells", shells.len()),
            },
            Edit::AddCut { name, .. } if name.trim().is_empty() => format!("add cut {}", recipe.next_cut.0),
            Edit::AddCut { name, .. } => format!("add {}", name.trim()),
            Edit::AddCuts { planes, .. } if planes.len() == 1 => "step off 1 cut".into(),
            Edit::AddCuts { planes, .. } => format!("step off {} cuts", planes.len()),
            Edit::RemoveCut(cut) => format!("remove {}", name(cut)),
            Edit::SetCutPlane { cut, plane } => match recipe.cut(*cut) {
                Some(before) => describe_move(&before.name, &before.plane, plane),
                None => format!("move {}", name(cut)),
            },
            Edit::SetCutForm { cut, form } => form_title(&name(cut), recipe.cut(*cut).map(|cut| &cut.form), form),
            Edit::SetCutKerf { cut, kerf_mm: 0.0 } => format!("give {} no kerf", name(cut)),
            Edit::SetCutKerf { cut, kerf_mm } => format!("give {} a kerf of {kerf_mm} mm", name(cut)),
            Edit::RenameCut { cut, name: to } => format!("call {} {}", name(cut), to.trim()),
            Edit::SetCutScope { cut, scope: Scope::All } => format!("let {} cut all that it crosses", name(cut)),
            Edit::SetCutScope { cut, .. } => format!("let {} cut named pieces only", name(cut)),
            Edit::SetCutEnabled { cut, enabled: true } => format!("switch {} on", name(cut)),
            Edit::SetCutEnabled { cut, enabled: false } => format!("switch {} off", name(cut)),
            Edit::MoveCut { cut, to } => {
                let place = to.saturating_add(1).min(recipe.cuts.len().max(1));
                format!("move {} to place {place} of the cuts", name(cut))
            }
            Edit::AddBore(new) if new.name.trim().is_empty() => format!("add bore {}", recipe.next_bore.0),
            Edit::AddBore(new) => format!("add {}", new.name.trim()),
            Edit::AddMagnets(new) => match new.places_mm.len() {
                1 => format!("add a pair of magnets at {}", name(&new.cut)),
                pairs => format!("add {pairs} pairs of magnets at {}", name(&new.cut)),
            },
            Edit::RemoveBore(bore) => format!("remove {}", bores::name(recipe, *bore)),
            Edit::ChangeBore { bore, change } => bores::change_title(recipe, *bore, change),
            Edit::AddMeasure { what, .. } => format!("measure a {} of {}", what.kind(), what.value_words()),
            Edit::RemoveMeasure(measure) => measures::remove_title(recipe, *measure),
            Edit::SetKeepBodiesTogether(true) => "keep bodies together".into(),
            Edit::SetKeepBodiesTogether(false) => "part bodies".into(),
            Edit::SetBed(_) => "change the bed".into(),
            Edit::SetBeds(beds) => match beds.len().cmp(&(1 + recipe.more_beds.len())) {
                std::cmp::Ordering::Greater => "add a bed".into(),
                std::cmp::Ordering::Less => "take a bed away".into(),
                std::cmp::Ordering::Equal => "change the beds".into(),
            },
        }
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
    let name = if name.trim().is_empty() { format!("cut {}", id.0) } else { name.trim().to_owned() };
    next.cuts.push(Cut { id, name, part, plane, form, kerf_mm: 0.0, scope, enabled: true });
    next.next_cut = CutId(id.0 + 1);
    Ok(())
}

/// A cut that takes another form, or other numbers of the one that it has.
fn form_title(name: &str, before: Option<&CutForm>, form: &CutForm) -> String {
    let same = before.is_some_and(|before| before.name() == form.name());
    match form {
        CutForm::Flat => format!("make {name} flat"),
        CutForm::Ending(_) if same => format!("move the line where {name} ends"),
        CutForm::Ending(_) => format!("end {name} at a line"),
        CutForm::Profile(profile) if same => format!("change the {} of {name}", profile.line.name()),
        CutForm::Profile(profile) => format!("let {name} follow a {}", profile.line.name()),
    }
}

/// Both tilts at a right angle leave no direction.
fn way_out(error: &PlaneError) -> &'static str {
    match error {
        PlaneError::NoDirection => ". Two tilts of 90° leave none: make the cut square to another axis",
        PlaneError::NotFinite(_) | PlaneError::Collinear => "",
    }
}

/// What changed about the mends, in words.
fn mends_title(before: &[Mend], after: &[Mend]) -> String {
    let on = |mends: &[Mend]| {
        mends.iter().filter(|mend| mend.enabled).map(|mend| mending::name(&mend.step)).collect::<Vec<_>>()
    };
    let (before, after) = (on(before), on(after));
    let news: Vec<&str> = after.iter().copied().filter(|name| !before.contains(name)).collect();
    let gone: Vec<&str> = before.iter().copied().filter(|name| !after.contains(name)).collect();
    match (news.as_slice(), gone.as_slice()) {
        ([], []) => "change a mend".into(),
        ([], gone) => format!("do not {}", few(gone)),
        (news, _) => few(news),
    }
}

/// Names in a row, where they are few: a button says them.
fn few(names: &[&str]) -> String {
    match names {
        [first, _, _, ..] => format!("{first} and {} more", names.len() - 1),
        names => names.join(", "),
    }
}

/// What changed about the reliefs, in words.
fn reliefs_title(before: &[Relief], after: &[Relief]) -> String {
    let on = |reliefs: &[Relief]| reliefs.iter().filter(|relief| relief.enabled).map(relief::name).collect::<Vec<_>>();
    let (before, after) = (on(before), on(after));
    let news: Vec<String> = after.iter().filter(|name| !before.contains(name)).cloned().collect();
    let gone: Vec<String> = before.iter().filter(|name| !after.contains(name)).cloned().collect();
    match (news.as_slice(), gone.as_slice()) {
        ([], []) => "change a relief".into(),
        ([], gone) => format!("do not {}", gone.join(", ")),
        (news, _) => news.join(", "),
    }
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

/// Cuts, bores and measures stay at their place on the model.
fn turn(recipe: &mut Recipe, stance: Stance) -> Result<(), EditError> {
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

fn not_empty(name: &str) -> Result<String, EditError> {
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
fn check_form(plane: &CutPlane, form: &CutForm) -> Result<(), EditError> {
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

/// Cuts, bores and measures scale about the origin with the model, so that they stay at the same detail. A kerf is a gap in the real
/// thing and keeps its width; so is a rod.
fn resize(recipe: &mut Recipe, size: Size) -> Result<(), EditError> {
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

/// What a maker sees of a change in numbers with one decimal: half a unit of it, in degrees or mm. Tilts are computed
/// anew while a cut is dragged, and rounding there is no tilt.
const SEEN: f64 = 0.05;

fn describe_move(name: &str, before: &CutPlane, after: &CutPlane) -> String {
    if before.axis != after.axis {
        return format!("turn {name} across {}", after.axis.name());
    }
    let tilt_deg = (0..2)
        .map(|i| (after.tilt_deg[i] - before.tilt_deg[i] + 180.0).rem_euclid(360.0) - 180.0)
        .fold(0.0, |a: f64, b| a.max(b.abs()));
    let shift_mm = (0..3).map(|i| (after.through_mm[i] - before.through_mm[i]).powi(2)).sum::<f64>().sqrt();
    if tilt_deg >= SEEN {
        format!("tilt {name} by {tilt_deg:.1}°")
    } else if shift_mm >= SEEN {
        format!("move {name} by {shift_mm:.1} mm")
    } else {
        format!("nudge {name}")
    }
}

fn file_stem(path: &str) -> &str {
    let name = file_name(path);
    name.rsplit_once('.').map_or(name, |(stem, _)| stem)
}

fn file_name(path: &str) -> &str {
    path.rsplit(['/', '\\']).next().unwrap_or(path)
}
