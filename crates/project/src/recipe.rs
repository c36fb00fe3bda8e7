//! The recipe: what the maker decided. Parameters and identities, never results.

mod cut;
mod new_names;
mod size;

use std::collections::BTreeSet;

use seamwright_geometry::Bed;
use seamwright_geometry::mend::MendStep;

use crate::bore::{Bore, BoreId};
use crate::measure::{Measure, MeasureId};
use crate::relief::Relief;
use crate::stance::{Stance, Turn};

pub use cut::{Cut, CutId, NotAPieceId, PieceId, Scope};
pub use size::{Size, SizedBy};

/// Everything the maker decided about one part of a costume. Small, plain, and enough to make all results again.
#[derive(Clone, Debug, PartialEq)]
pub struct Recipe {
    /// Name of the part ("helm").
    pub name: String,
    /// Name of the costume that the part belongs to; empty when it stands alone.
    pub costume: String,
    /// The file that the stock is read from; `None` before one was opened.
    pub stock: Option<SourceFile>,
    /// Further files that share the frame and the unit of the first: together they are one stock.
    pub beside: Vec<SourceFile>,
    /// How the numbers of the file become millimetres.
    pub size: Size,
    /// How the size was arrived at.
    pub sized_by: SizedBy,
    /// How the model stands.
    pub stance: Stance,
    /// Shells of the stock that are left out, by their number in the health report.
    pub dropped_shells: BTreeSet<u32>,
    /// Shells that are set aside as parts of their own, with cuts of their own.
    pub loose: Vec<LoosePart>,
    /// What is mended before the cuts, in this order.
    pub mends: Vec<Mend>,
    /// Room made in shells for others, after the mends.
    pub reliefs: Vec<Relief>,
    /// The bores, in the order in which they are made; all before the cuts.
    pub bores: Vec<Bore>,
    /// The cuts, in the order in which they are made.
    pub cuts: Vec<Cut>,
    /// What was measured on the model: notes, which change nothing that is made.
    pub measures: Vec<Measure>,
    /// Bodies that a cut leaves unconnected stay one piece.
    pub keep_bodies_together: bool,
    /// Crumbs, which nobody meant, are in no list and no kit.
    pub leave_out_crumbs: bool,
    /// The printer's bed; with several, the one that is shown and that cuts are placed for.
    pub bed: Bed,
    /// What the maker calls that bed; empty where it needs no name.
    pub bed_name: String,
    /// Beds of further printers: a piece that fits any of them can be printed.
    pub more_beds: Vec<NamedBed>,
    /// The identity that the next cut gets. Identities are never used twice, so that marks and scopes keep their
    /// meaning after a cut is removed.
    pub next_cut: CutId,
    /// The identity that the next bore gets.
    pub next_bore: BoreId,
    /// The identity that the next measure gets.
    pub next_measure: MeasureId,
    /// The identity that the next loose part gets.
    pub next_part: PartId,
}

/// What a project is called until it has a name or a model.
pub const UNNAMED: &str = "part";

impl Recipe {
    /// A recipe with no stock and no cuts, for a bed of 220 × 220 × 250 mm.
    pub fn new(name: impl Into<String>) -> Recipe {
        Recipe {
            name: name.into(),
            costume: String::new(),
            stock: None,
            beside: Vec::new(),
            size: Size::default(),
            sized_by: SizedBy::AsMade,
            stance: Stance::default(),
            dropped_shells: BTreeSet::new(),
            loose: Vec::new(),
            mends: Vec::new(),
            reliefs: Vec::new(),
            bores: Vec::new(),
            cuts: Vec::new(),
            measures: Vec::new(),
            keep_bodies_together: false,
            leave_out_crumbs: false,
            bed: default_bed(),
            bed_name: String::new(),
            more_beds: Vec::new(),
            next_cut: CutId(1),
            next_bore: BoreId(1),
            next_measure: MeasureId(1),
            next_part: PartId(1),
        }
    }

    /// The parts of the stock that are cut each for itself: the main one, then the loose ones.
    pub fn parts(&self) -> impl Iterator<Item = PartId> {
        [PartId::MAIN].into_iter().chain(self.loose.iter().map(|part| part.id))
    }

    /// The part that a shell belongs to; `None` for one that is dropped.
    pub fn part_of_shell(&self, shell: u32) -> Option<PartId> {
        if self.dropped_shells.contains(&shell) {
            return None;
        }
        let loose = self.loose.iter().find(|part| part.shells.contains(&shell));
        Some(loose.map_or(PartId::MAIN, |part| part.id))
    }

    /// What its stance does to places of the model at its size.
    pub fn turn(&self) -> Turn {
        self.stance.turn(self.size.scale())
    }

    /// What a part is called.
    pub fn part_name(&self, part: PartId) -> &str {
        let loose = self.loose.iter().find(|loose| loose.id == part);
        loose.map_or(self.name.as_str(), |loose| loose.name.as_str())
    }

    /// Shells are known by their numbers, which other files give to other shells.
    pub(crate) fn forget_shells(&mut self) {
        self.dropped_shells.clear();
        self.loose.clear();
        self.reliefs.clear();
        self.cuts.retain(|cut| cut.part == PartId::MAIN);
        self.bores.retain(|bore| bore.part == PartId::MAIN);
        self.measures.retain(|measure| measure.part == PartId::MAIN);
    }

    /// The files of the stock, the first one first.
    pub fn sources(&self) -> impl Iterator<Item = &SourceFile> {
        self.stock.iter().chain(&self.beside)
    }

    /// The bore with this identity.
    pub fn bore(&self, id: BoreId) -> Option<&Bore> {
        self.bores.iter().find(|bore| bore.id == id)
    }

    /// All beds, the first one first.
    pub fn beds(&self) -> impl Iterator<Item = &Bed> {
        [&self.bed].into_iter().chain(self.more_beds.iter().map(|more| &more.bed))
    }

    /// What a bed is called, by its place among [`beds`](Self::beds).
    pub fn bed_name(&self, at: usize) -> String {
        let name = match at {
            0 => self.bed_name.as_str(),
            _ => self.more_beds.get(at - 1).map_or("", |more| more.name.as_str()),
        };
        if name.is_empty() { format!("bed {}", at + 1) } else { name.to_owned() }
    }

    /// The cut with this identity.
    pub fn cut(&self, id: CutId) -> Option<&Cut> {
        self.cuts.iter().find(|cut| cut.id == id)
    }
}

/// A bed and what the maker calls it.
#[derive(Clone, Debug, PartialEq)]
pub struct NamedBed {
    /// Its name ("the large one"); may be empty.
    pub name: String,
    /// Its numbers.
    pub bed: Bed,
}

/// The bed that a new project starts with: 220 × 220 × 250 mm (a common size of small printers; common practice, no
/// source) with 2 mm kept free at every edge (also common practice, no source).
pub fn default_bed() -> Bed {
    Bed { margin_mm: 2.0, ..Bed::rectangle(220.0, 220.0, 250.0) }
}

/// A file that the stock was read from, and how to tell that it is still the same file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SourceFile {
    /// Relative to the folder of the project file wherever possible, with `/` between folders.
    pub path: String,
    /// Length in bytes.
    pub bytes: u64,
    /// SHA-256 of the content, lower-case hexadecimal.
    pub sha256: String,
}

/// Identity of a part within its recipe.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct PartId(pub u32);

impl PartId {
    /// All that is not set aside.
    pub const MAIN: PartId = PartId(0);
}

/// Shells that are set aside as a part of their own.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LoosePart {
    /// Identity, given when the part was set aside, and never used twice.
    pub id: PartId,
    /// What the maker calls it ("visor").
    pub name: String,
    /// Its shells, by their number in the health report.
    pub shells: BTreeSet<u32>,
}

/// A step of mending.
#[derive(Clone, Debug, PartialEq)]
pub struct Mend {
    /// What is done.
    pub step: MendStep,
    /// A step that is switched off stays in the recipe and does nothing.
    pub enabled: bool,
}
