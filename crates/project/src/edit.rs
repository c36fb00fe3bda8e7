//! Every change of a recipe is one value of [`Edit`].

mod apply;
mod bores;
mod error;
mod following;
mod measures;
mod title;

use std::collections::BTreeSet;

use seamwright_geometry::Bed;

use crate::bore::{BoreChange, BoreId};
use crate::cut_form::CutForm;
use crate::cut_plane::CutPlane;
use crate::measure::{MeasureId, Measured};
use crate::recipe::{CutId, Mend, NamedBed, PartId, Scope, Size, SizedBy, SourceFile};
use crate::relief::Relief;
use crate::stance::Stance;

pub use apply::MOST_KERF_MM;
pub(crate) use apply::check_kerf;
pub use bores::{NewBore, NewMagnets};
pub use error::EditError;

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
    /// Whether crumbs, which nobody meant, are left out of list and kit.
    SetLeaveOutCrumbs(bool),
    /// Sets the first bed.
    SetBed(Bed),
    /// Sets all beds, the first one first.
    SetBeds(Vec<NamedBed>),
}

fn file_stem(path: &str) -> &str {
    let name = file_name(path);
    name.rsplit_once('.').map_or(name, |(stem, _)| stem)
}

fn file_name(path: &str) -> &str {
    path.rsplit(['/', '\\']).next().unwrap_or(path)
}
