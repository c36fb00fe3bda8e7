//! What evaluating a recipe gives.

mod bores;
mod crumb;
mod part;
mod piece;
mod stock;

use std::sync::Arc;

use seamwright_geometry::{Bounds, Point, Solid};

use crate::bore::BoreId;
use crate::edit::Edit;
use crate::recipe::{CutId, PieceId, Recipe};
use crate::rods::RodList;

pub use bores::{BoreDone, BoreFacts, Failed};
pub use crumb::Crumb;
pub(crate) use crumb::tell_crumbs;
pub use part::{MendDone, Part, ReliefDone, ShellNow};
pub use piece::{BoreInPiece, CapFacts, Piece, PieceFacts};
pub use stock::Stock;

/// All results of a recipe, stage by stage. A stage that failed leaves the later ones empty and says why in
/// [`failure`](Self::failure).
#[derive(Clone, Debug)]
pub struct Outcome {
    /// The recipe that this is the result of.
    pub recipe: Recipe,
    /// The stock in the units of its file.
    pub stock: Option<Arc<Stock>>,
    /// The box around each shell of the stock, at its size and as it stands, mm; those of dropped ones too.
    pub shell_boxes: Arc<Vec<Bounds>>,
    /// The parts: kept shells, mended, at their real size and as they stand, uncut. The main one first, where it has any.
    pub parts: Vec<Part>,
    /// What the bores that are switched on did.
    pub bores: Vec<BoreDone>,
    /// The rods that go into them, and what to buy.
    pub rods: Arc<RodList>,
    /// The pieces, in the order of their marks: crumbs are the last of their part.
    pub pieces: Vec<Piece>,
    /// The crumbs, where the recipe leaves them out: they are in no list and no kit.
    pub left_out: Vec<Piece>,
    /// Where two pieces meet.
    pub seams: Vec<Seam>,
    /// What was noticed on the way.
    pub notes: Vec<Note>,
    /// The stage that failed, if one did.
    pub failure: Option<Failure>,
    /// Seconds spent on each stage; 0 where the result was known already.
    pub timings: Timings,
}

impl Outcome {
    /// The faces of the main part, or of the first loose one where all is set aside.
    pub fn whole(&self) -> Option<&Arc<Solid>> {
        self.parts.first().map(|part| &part.solid)
    }

    /// The shell of the stock that a face of a part belongs to; `None` for faces made since.
    pub fn shell_of(&self, part: &Part, face: u32) -> Option<u32> {
        let of_stock = part.solid.origins.get(face as usize)?.stock_face()?;
        self.stock.as_ref()?.shell_of_face.get(of_stock as usize).copied()
    }

    /// How a shell is in its part now; `None` where it is in none.
    pub fn shell_now(&self, shell: u32) -> Option<ShellNow> {
        self.parts.iter().find_map(|part| part.shells.get(&shell)).copied()
    }

    /// The shells that are open in their parts, rising.
    pub fn open_shells(&self) -> Vec<u32> {
        let all = self.parts.iter().flat_map(|part| part.shells.iter());
        let mut open: Vec<u32> = all.filter(|(_, now)| **now == ShellNow::Open).map(|(shell, _)| *shell).collect();
        open.sort_unstable();
        open
    }

    /// Whether any part was mended or relieved.
    pub fn is_mended(&self) -> bool {
        self.parts.iter().any(|part| part.closed.is_some())
    }

    /// The box around all parts, mm.
    pub fn bounds(&self) -> Option<Bounds> {
        let boxes = self.parts.iter().filter_map(|part| part.solid.mesh.bounds());
        boxes.reduce(|a, b| a.union(&b))
    }
}

/// Where two pieces meet again.
#[derive(Clone, Debug, PartialEq)]
pub struct Seam {
    /// The cut that made it.
    pub cut: CutId,
    /// The piece below the cut.
    pub below: PieceId,
    /// The piece above the cut.
    pub above: PieceId,
    /// Area that the two share, mm².
    pub area_mm2: f64,
}

/// Something the program noticed.
#[derive(Clone, Debug, PartialEq)]
pub struct Note {
    /// How grave it is.
    pub weight: Weight,
    /// In the maker's words.
    pub text: String,
    /// Where to look, in the frame of the whole, mm.
    pub place: Option<Point>,
    /// The cut it is about.
    pub cut: Option<CutId>,
    /// The bore it is about.
    pub bore: Option<BoreId>,
    /// The piece it is about.
    pub piece: Option<PieceId>,
    /// The change that does what it advises, where it advises one.
    pub edit: Option<Edit>,
}

/// How grave a note is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Weight {
    /// Good to know.
    Remark,
    /// Something will not come out as wished.
    Warning,
}

/// A stage that failed; earlier results stay, later stages wait.
#[derive(Clone, Debug, PartialEq)]
pub struct Failure {
    /// Which stage.
    pub stage: Stage,
    /// What and where, and the way out.
    pub text: String,
    /// The stock's file is missing or is another one than the recipe names: pointing at it mends this.
    pub stock_moved: bool,
    /// Which file that is: 0 for the first, 1 for the first beside it.
    pub source: usize,
}

/// The stages that exist so far, in the order of the flow.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Stage {
    /// Reading the files.
    Stock,
    /// Real size.
    Size,
    /// Which shells are kept.
    Shells,
    /// Channels for rods.
    Bores,
    /// Parting.
    Cuts,
    /// Fit on the bed.
    Fit,
}

/// Seconds that stages took in this evaluation.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Timings {
    /// Reading, merging, inspecting.
    pub stock_s: f64,
    /// Scaling, choosing shells.
    pub part_s: f64,
    /// All bores.
    pub bores_s: f64,
    /// All cuts.
    pub cuts_s: f64,
    /// Measures and fit.
    pub fit_s: f64,
}
