//! What evaluating a recipe gives.

use std::collections::BTreeMap;
use std::path::PathBuf;
use std::sync::Arc;

use seamwright_geometry::bore::WallProfile;
use seamwright_geometry::exchange::Unit;
use seamwright_geometry::mend::{MendReport, MendStep};
use seamwright_geometry::{Bounds, Fit, Mesh, Point, ReliefReport, Report, Side, Solid, ThinRim};

use crate::bore::BoreId;
use crate::edit::Edit;
use crate::recipe::{CutId, PartId, PieceId, Recipe};
use crate::rods::RodList;

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
    /// The pieces, in the order of their marks.
    pub pieces: Vec<Piece>,
    /// Where two pieces meet.
    pub seams: Vec<Seam>,
    /// What was noticed on the way.
    pub notes: Vec<Note>,
    /// The stage that failed, if one did.
    pub failure: Option<Failure>,
    /// Seconds spent on each stage; 0 where the result was known already.
    pub timings: Timings,
}

/// A part before it is cut.
#[derive(Clone, Debug)]
pub struct Part {
    /// Which.
    pub id: PartId,
    /// Its faces, mm.
    pub solid: Arc<Solid>,
    /// What each step of mending that is switched on did, in their order.
    pub mended: Arc<Vec<MendDone>>,
    /// What each relief that is switched on did, in their order.
    pub relieved: Arc<Vec<ReliefDone>>,
    /// Whether it is closed, where it was mended or relieved; else the stock's report tells.
    pub closed: Option<bool>,
    /// Its shells, by their numbers in the stock, and how each is now, mended or not.
    pub shells: Arc<BTreeMap<u32, ShellNow>>,
}

/// How a shell of the stock is in its part, after the mends and reliefs that are switched on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ShellNow {
    /// Every edge of it balances.
    Closed,
    /// It has open edges, or the surface that it was united with has.
    Open,
    /// Nothing is left of it.
    Gone,
}

/// What a step of mending did.
#[derive(Clone, Debug, PartialEq)]
pub struct MendDone {
    /// Its place among the mends of the recipe.
    pub at: usize,
    /// What it did, or why it could not.
    pub result: Result<MendReport, String>,
}

/// What a relief did.
#[derive(Clone, Debug, PartialEq)]
pub struct ReliefDone {
    /// Its place among the reliefs of the recipe.
    pub at: usize,
    /// What it did, in units of the file, or why it could not.
    pub result: Result<ReliefReport, String>,
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

/// What a bore did.
#[derive(Clone, Debug)]
pub struct BoreDone {
    /// Which.
    pub bore: BoreId,
    /// The part that it goes through.
    pub part: PartId,
    /// What it is like, or why it was not made.
    pub result: Result<Arc<BoreFacts>, Failed>,
}

/// Why something was not made.
#[derive(Clone, Debug, PartialEq)]
pub struct Failed {
    /// In the maker's words, with the way out.
    pub why: String,
    /// Where.
    pub place: Option<Point>,
}

/// Measures of a bore, mm.
#[derive(Clone, Debug)]
pub struct BoreFacts {
    /// Its line as it was made: with blind ends where they came to lie.
    pub line: Vec<Point>,
    /// Where on the line, from its first point, its channel begins: at its mouth, or where it stops.
    pub from_mm: f64,
    /// Where it ends.
    pub to_mm: f64,
    /// Whether it begins, and ends, within the material.
    pub blind: [bool; 2],
    /// What passes: its diameter, or its width across flats.
    pub diameter_mm: f64,
    /// Volume that it took away, mm³; 0 where it misses the material.
    pub removed_mm3: f64,
    /// Where it comes through the surface, in order along it.
    pub mouths: Vec<Point>,
    /// The wall that is left around it, along it.
    pub profile: WallProfile,
}

/// An open end that goes in aslant, or where the surface is rounded, is open on one side a little farther than on the
/// other: so far from its end, in diameters, that is a mouth and no fault (our own choice, no source).
const MOUTH_DIAMETERS: f64 = 1.0;

impl BoreFacts {
    /// How long its channel is, from end to end, mm.
    pub fn length_mm(&self) -> f64 {
        self.to_mm - self.from_mm
    }

    /// The thinnest wall around it, mm; 0 where it breaks through, `None` where it meets no material.
    pub fn least_wall_mm(&self) -> Option<f64> {
        if self.broken_mm().next().is_none() { self.profile.least.map(|least| least.wall_mm) } else { Some(0.0) }
    }

    /// Where it breaks through the surface beside its line, from where to where along it, mm; its open mouths are none.
    pub fn broken_mm(&self) -> impl Iterator<Item = [f64; 2]> {
        let reach_mm = MOUTH_DIAMETERS * self.diameter_mm;
        let is_mouth = move |from_mm: f64, to_mm: f64| {
            let at_first = !self.blind[0] && to_mm <= self.from_mm + reach_mm;
            let at_last = !self.blind[1] && from_mm >= self.to_mm - reach_mm;
            at_first || at_last
        };
        let broken = self.profile.broken.iter().map(|broken| [broken.from_mm, broken.to_mm]);
        broken.filter(move |[from_mm, to_mm]| !is_mouth(*from_mm, *to_mm))
    }
}

/// The stock as it was read.
#[derive(Clone, Debug)]
pub struct Stock {
    /// Where it was read from, the first file first.
    pub files: Vec<PathBuf>,
    /// The number of the first shell of each file.
    pub first_shell: Vec<u32>,
    /// The faces, in units of the file.
    pub mesh: Mesh,
    /// The shell of each face.
    pub shell_of_face: Vec<u32>,
    /// For each shell that is the wall of a cavity, the shell of the solid that the cavity is in.
    pub cavity_of: Vec<Option<u32>>,
    /// Its health and measures, in units of the file.
    pub report: Report,
    /// Shells by the name that their part has in its file: the shell of its first face.
    pub names: Vec<(u32, String)>,
    /// Faces with coordinates that are not numbers, set aside at reading.
    pub set_aside: usize,
    /// What else was passed over or put right at reading, each with the name of its file.
    pub remarks: Vec<String>,
    /// The unit that the first file states; only 3MF does.
    pub stated_unit: Option<Unit>,
    /// The mends that leave its visible form as it is.
    pub safe_mends: Vec<MendStep>,
    /// Seconds for reading the file.
    pub read_s: f64,
    /// Seconds for merging equal vertices.
    pub merge_s: f64,
}

impl Stock {
    /// Corners of the shells that are not dropped, in units of the file: what the model stands on is among them. Corners of
    /// several faces come several times.
    pub fn kept_corners<'a>(&'a self, recipe: &'a Recipe) -> impl Iterator<Item = Point> + 'a {
        let kept: Vec<bool> =
            (0..self.report.shells.len() as u32).map(|shell| recipe.part_of_shell(shell).is_some()).collect();
        let faces = self.mesh.triangles.iter().zip(&self.shell_of_face);
        let faces = faces.filter(move |(_, shell)| kept.get(**shell as usize).copied().unwrap_or(false));
        faces.flat_map(|(face, _)| face.map(|v| self.mesh.vertices[v as usize]))
    }

    /// The shell of the solid that a shell bounds: itself, but for the wall of a cavity.
    pub fn solid_of(&self, shell: u32) -> u32 {
        self.cavity_of.get(shell as usize).copied().flatten().unwrap_or(shell)
    }

    /// The walls of the cavities of a solid, rising.
    pub fn cavities_of(&self, shell: u32) -> impl Iterator<Item = u32> {
        (0..).zip(&self.cavity_of).filter(move |(_, home)| **home == Some(shell)).map(|(cavity, _)| cavity)
    }
}

/// One closed solid to print.
#[derive(Clone, Debug)]
pub struct Piece {
    /// Identity, which survives edits elsewhere.
    pub id: PieceId,
    /// Short mark that is printed and written on the assembly sheet ("A1").
    pub mark: String,
    /// The pieces that this one was cut from, the uncut whole first.
    pub lineage: Vec<PieceId>,
    /// The faces, where the piece belongs in the whole, in mm.
    pub solid: Arc<Solid>,
    /// Its measures.
    pub facts: Arc<PieceFacts>,
    /// Whether and how it fits: on the first bed that takes it, else on the one on which it sticks out least.
    pub fit: Arc<Fit>,
    /// That bed, by its place among [`Recipe::beds`].
    pub bed: usize,
    /// Whether and how it fits each of the beds.
    pub fits: Vec<Arc<Fit>>,
}

/// A piece that is smaller than this on all sides is hardly meant, mm (common practice, no source).
const CRUMB_MM: f64 = 5.0;

impl Piece {
    /// Its largest size as it stands in the whole, mm.
    pub fn size_mm(&self) -> f64 {
        self.facts.bounds.size().amax()
    }

    /// Whether it was cut off and is so small that nobody meant it.
    pub fn is_crumb(&self) -> bool {
        self.size_mm() < CRUMB_MM && !self.id.path.is_empty()
    }
}

/// Measures of a piece.
#[derive(Clone, Debug)]
pub struct PieceFacts {
    /// Upright box as it stands in the whole, mm.
    pub bounds: Bounds,
    /// Volume, mm³.
    pub volume_mm3: f64,
    /// Surface, mm².
    pub area_mm2: f64,
    /// Whether every edge is shared by faces that balance.
    pub closed: bool,
    /// Caps, largest first.
    pub caps: Vec<CapFacts>,
    /// Corners of the convex hull: all that fit needs.
    pub hull: Vec<Point>,
    /// A few open edges' places, where it is not closed.
    pub open_places: Vec<Point>,
    /// The bores that cross it, and where.
    pub bores: Vec<BoreInPiece>,
}

/// A bore within a piece.
#[derive(Clone, Debug, PartialEq)]
pub struct BoreInPiece {
    /// Which.
    pub bore: BoreId,
    /// Where its walls begin in this piece, from the first point of its line, mm.
    pub from_mm: f64,
    /// Where they end.
    pub to_mm: f64,
    /// The places on its line.
    pub ends: [Point; 2],
}

/// Measures of the cap that a cut left on a piece.
#[derive(Clone, Debug, PartialEq)]
pub struct CapFacts {
    /// The cut.
    pub cut: CutId,
    /// The side of the cut that the piece is on here.
    pub side: Side,
    /// Outward normal, unit length; of a cap that is not flat, the mean.
    pub normal: [f64; 3],
    /// Whether all of it lies in one plane, so that the piece can stand on it.
    pub flat: bool,
    /// Area, mm².
    pub area_mm2: f64,
    /// Where the piece ends in a thin wedge along its rim, if that is long enough to be told.
    pub thin_rim: Option<ThinRim>,
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
