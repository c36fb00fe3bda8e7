//! What a change is called.

use super::{Edit, bores, file_name, measures};
use crate::cut_form::CutForm;
use crate::cut_plane::{Axis, CutPlane};
use crate::mending;
use crate::recipe::{CutId, Mend, Recipe, Scope, SizedBy};
use crate::relief::{self, Relief};
use crate::unit_guess::plural;

impl Edit {
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
            Edit::AddCut { name, .. } if name.trim().is_empty() => format!("add {}", recipe.name_of_new_cut()),
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
            Edit::AddBore(new) if new.name.trim().is_empty() => format!("add {}", recipe.name_of_new_bore()),
            Edit::AddBore(new) => format!("add {}", new.name.trim()),
            Edit::AddMagnets(new) => match new.places_mm.len() {
                1 => format!("add a pair of magnets at {}", name(&new.cut)),
                pairs => format!("add {pairs} pairs of magnets at {}", name(&new.cut)),
            },
            Edit::RemoveBore(bore) => format!("remove {}", bores::name(recipe, *bore)),
            Edit::ChangeBore { bore, change } => bores::change_title(recipe, *bore, change),
            Edit::AddMeasure { what, .. } => {
                // The one kind that begins with a vowel.
                let article = if what.kind().starts_with(['a', 'e', 'i', 'o', 'u']) { "an" } else { "a" };
                format!("measure {article} {} of {}", what.kind(), what.value_words())
            }
            Edit::RemoveMeasure(measure) => measures::remove_title(recipe, *measure),
            Edit::SetKeepBodiesTogether(true) => "keep unconnected bodies one piece".into(),
            Edit::SetKeepBodiesTogether(false) => "part unconnected bodies".into(),
            Edit::SetLeaveOutCrumbs(true) => "leave crumbs out".into(),
            Edit::SetLeaveOutCrumbs(false) => "take crumbs back in".into(),
            Edit::SetBed(_) => "change the bed".into(),
            Edit::SetBeds(beds) => match beds.len().cmp(&(1 + recipe.more_beds.len())) {
                std::cmp::Ordering::Greater => "add a bed".into(),
                std::cmp::Ordering::Less => "take a bed away".into(),
                std::cmp::Ordering::Equal => "change the beds".into(),
            },
        }
    }
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
