//! Every change of a recipe is one value of [`Edit`].

use seamwright_geometry::{Bed, BedError, PlaneError};

use crate::cut_plane::CutPlane;
use crate::recipe::{Cut, CutId, Recipe, Scope, Size, SourceFile};

/// One change of a recipe: what undo, replay, tests, the window and the command line all use.
#[derive(Clone, Debug, PartialEq)]
pub enum Edit {
    /// Names the part.
    SetName(String),
    /// Names the costume that the part belongs to.
    SetCostume(String),
    /// Reads the stock from this file. Shells dropped from another file are kept again.
    SetStock(SourceFile),
    /// Points at the new place of the same stock, or at its newer version; everything else stays.
    RelocateStock(SourceFile),
    /// Gives the model its size. Cuts keep their place on the model.
    SetSize(Size),
    /// Keeps a shell or drops it.
    SetShellKept {
        /// Number of the shell in the health report.
        shell: u32,
        /// Whether it stays.
        kept: bool,
    },
    /// Adds a cut after the others.
    AddCut {
        /// What to call it; empty for "cut N".
        name: String,
        /// Where it lies.
        plane: CutPlane,
        /// What it may cut.
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
    /// Whether bodies that a cut leaves unconnected stay one piece.
    SetKeepBodiesTogether(bool),
    /// Sets the bed.
    SetBed(Bed),
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
    /// The bed holds nothing.
    #[error(transparent)]
    Bed(#[from] BedError),
    /// The scale is no scale.
    #[error("a model can be scaled by a positive number only, not by {0}")]
    Scale(f64),
    /// A name is empty.
    #[error("a name needs at least one letter")]
    EmptyName,
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
                next.stock = Some(source.clone());
                next.dropped_shells.clear();
            }
            Edit::RelocateStock(source) => next.stock = Some(source.clone()),
            Edit::SetSize(size) => resize(&mut next, *size)?,
            Edit::SetShellKept { shell, kept } => {
                if *kept {
                    next.dropped_shells.remove(shell);
                } else {
                    next.dropped_shells.insert(*shell);
                }
            }
            Edit::AddCut { name, plane, scope } => {
                plane.plane()?;
                let id = next.next_cut;
                if id > CutId::LAST {
                    return Err(EditError::NoCutIdLeft);
                }
                let name = if name.trim().is_empty() { format!("cut {}", id.0) } else { name.trim().to_owned() };
                next.cuts.push(Cut { id, name, plane: *plane, scope: scope.clone(), enabled: true });
                next.next_cut = CutId(id.0 + 1);
            }
            Edit::RemoveCut(cut) => {
                let at = position(&next, *cut)?;
                next.cuts.remove(at);
            }
            Edit::SetCutPlane { cut, plane } => {
                plane.plane()?;
                cut_mut(&mut next, *cut)?.plane = *plane;
            }
            Edit::RenameCut { cut, name } => cut_mut(&mut next, *cut)?.name = not_empty(name)?,
            Edit::SetCutScope { cut, scope } => cut_mut(&mut next, *cut)?.scope = scope.clone(),
            Edit::SetCutEnabled { cut, enabled } => cut_mut(&mut next, *cut)?.enabled = *enabled,
            Edit::MoveCut { cut, to } => {
                let moved = next.cuts.remove(position(&next, *cut)?);
                next.cuts.insert((*to).min(next.cuts.len()), moved);
            }
            Edit::SetKeepBodiesTogether(keep) => next.keep_bodies_together = *keep,
            Edit::SetBed(bed) => {
                bed.check()?;
                next.bed = bed.clone();
            }
        }
        Ok(next)
    }

    /// The change in the maker's words, for *undo "…"* and the history; `recipe` is the one it is applied to.
    pub fn title(&self, recipe: &Recipe) -> String {
        let name = |id: &CutId| recipe.cut(*id).map_or_else(|| format!("cut {}", id.0), |cut| cut.name.clone());
        match self {
            Edit::SetName(name) => format!("call it {}", name.trim()),
            Edit::SetCostume(costume) if costume.trim().is_empty() => "part of no costume".into(),
            Edit::SetCostume(costume) => format!("part of {}", costume.trim()),
            Edit::SetStock(source) => format!("open {}", file_name(&source.path)),
            Edit::RelocateStock(source) => format!("find {} again", file_name(&source.path)),
            Edit::SetSize(size) => format!("size: {} × {}", size.unit.name(), size.factor),
            Edit::SetShellKept { shell, kept: true } => format!("keep shell {}", u64::from(*shell) + 1),
            Edit::SetShellKept { shell, kept: false } => format!("drop shell {}", u64::from(*shell) + 1),
            Edit::AddCut { name, .. } if name.trim().is_empty() => format!("add cut {}", recipe.next_cut.0),
            Edit::AddCut { name, .. } => format!("add {}", name.trim()),
            Edit::RemoveCut(cut) => format!("remove {}", name(cut)),
            Edit::SetCutPlane { cut, plane } => match recipe.cut(*cut) {
                Some(before) => describe_move(&before.name, &before.plane, plane),
                None => format!("move {}", name(cut)),
            },
            Edit::RenameCut { cut, name: to } => format!("call {} {}", name(cut), to.trim()),
            Edit::SetCutScope { cut, scope: Scope::All } => format!("{} crosses all", name(cut)),
            Edit::SetCutScope { cut, .. } => format!("{} crosses named pieces", name(cut)),
            Edit::SetCutEnabled { cut, enabled: true } => format!("switch {} on", name(cut)),
            Edit::SetCutEnabled { cut, enabled: false } => format!("switch {} off", name(cut)),
            Edit::MoveCut { cut, to } => {
                format!("make {} number {}", name(cut), to.saturating_add(1).min(recipe.cuts.len().max(1)))
            }
            Edit::SetKeepBodiesTogether(true) => "keep bodies together".into(),
            Edit::SetKeepBodiesTogether(false) => "part bodies".into(),
            Edit::SetBed(_) => "change the bed".into(),
        }
    }
}

/// Both tilts at a right angle leave no direction.
fn way_out(error: &PlaneError) -> &'static str {
    match error {
        PlaneError::NoDirection => ". Two tilts of 90° leave none: make the cut square to another axis",
        PlaneError::NotFinite(_) | PlaneError::Collinear => "",
    }
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

/// Cuts scale about the origin with the model, so that they stay at the same detail.
fn resize(recipe: &mut Recipe, size: Size) -> Result<(), EditError> {
    if !size.is_usable() {
        return Err(EditError::Scale(size.factor));
    }
    let (before, after) = (recipe.size.scale(), size.scale());
    for cut in &mut recipe.cuts {
        cut.plane.through_mm = cut.plane.through_mm.map(|x| x * (after / before));
        cut.plane.plane()?;
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

fn file_name(path: &str) -> &str {
    path.rsplit(['/', '\\']).next().unwrap_or(path)
}
