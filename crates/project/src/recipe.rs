//! The recipe: what the maker decided. Parameters and identities, never results.

use std::collections::BTreeSet;

use seamwright_geometry::{Bed, FaceOrigin, Side};

use crate::cut_plane::CutPlane;

/// Everything the maker decided about one part of a costume. Small, plain, and enough to make all results again.
#[derive(Clone, Debug, PartialEq)]
pub struct Recipe {
    /// Name of the part ("helm").
    pub name: String,
    /// Name of the costume that the part belongs to; empty when it stands alone.
    pub costume: String,
    /// The file that the stock is read from; `None` before one was opened.
    pub stock: Option<SourceFile>,
    /// How the numbers of the file become millimetres.
    pub size: Size,
    /// Shells of the stock that are left out, by their number in the health report.
    pub dropped_shells: BTreeSet<u32>,
    /// The cuts, in the order in which they are made.
    pub cuts: Vec<Cut>,
    /// Bodies that a cut leaves unconnected stay one piece.
    pub keep_bodies_together: bool,
    /// The printer's bed.
    pub bed: Bed,
    /// The identity that the next cut gets. Identities are never used twice, so that marks and scopes keep their
    /// meaning after a cut is removed.
    pub next_cut: CutId,
}

impl Recipe {
    /// A recipe with no stock and no cuts, for a bed of 220 × 220 × 250 mm.
    pub fn new(name: impl Into<String>) -> Recipe {
        Recipe {
            name: name.into(),
            costume: String::new(),
            stock: None,
            size: Size::default(),
            dropped_shells: BTreeSet::new(),
            cuts: Vec::new(),
            keep_bodies_together: false,
            bed: default_bed(),
            next_cut: CutId(1),
        }
    }

    /// The cut with this identity.
    pub fn cut(&self, id: CutId) -> Option<&Cut> {
        self.cuts.iter().find(|cut| cut.id == id)
    }
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

/// How the numbers of the file become millimetres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Size {
    /// The unit that the file was modelled in.
    pub unit: Unit,
    /// What the model is enlarged by after that.
    pub factor: f64,
}

impl Default for Size {
    fn default() -> Self {
        Size { unit: Unit::Millimetre, factor: 1.0 }
    }
}

impl Size {
    /// Millimetres per unit of the file, everything included.
    pub fn scale(&self) -> f64 {
        self.unit.in_mm() * self.factor
    }

    /// Whether a model can have it: a scale above nothing that is a number.
    pub(crate) fn is_usable(&self) -> bool {
        let scale = self.scale();
        scale > 0.0 && scale.is_finite()
    }
}

/// A unit of length that a mesh file may have been modelled in: those of the 3MF core specification.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Unit {
    /// 0.001 mm.
    Micron,
    /// 1 mm, the default of 3MF and of nearly all files for printing.
    Millimetre,
    /// 10 mm.
    Centimetre,
    /// 25.4 mm exactly (international inch, 1959).
    Inch,
    /// 304.8 mm exactly (international foot, 1959).
    Foot,
    /// 1000 mm.
    Metre,
}

impl Unit {
    /// All units, small to large.
    pub const ALL: [Unit; 6] = [Unit::Micron, Unit::Millimetre, Unit::Centimetre, Unit::Inch, Unit::Foot, Unit::Metre];

    /// Its length in millimetres.
    pub fn in_mm(self) -> f64 {
        match self {
            Unit::Micron => 0.001,
            Unit::Millimetre => 1.0,
            Unit::Centimetre => 10.0,
            Unit::Inch => 25.4,
            Unit::Foot => 304.8,
            Unit::Metre => 1000.0,
        }
    }

    /// Its name as the 3MF core specification writes it, used in project files too.
    pub fn name(self) -> &'static str {
        match self {
            Unit::Micron => "micron",
            Unit::Millimetre => "millimeter",
            Unit::Centimetre => "centimeter",
            Unit::Inch => "inch",
            Unit::Foot => "foot",
            Unit::Metre => "meter",
        }
    }
}

/// Identity of a cut within its recipe.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct CutId(pub u32);

impl CutId {
    /// The last identity that a cut can have: faces of caps carry it, and have no room for more.
    pub const LAST: CutId = CutId(FaceOrigin::LAST_LABEL);
}

/// One parting of the stock.
#[derive(Clone, Debug, PartialEq)]
pub struct Cut {
    /// Identity, given when the cut was added.
    pub id: CutId,
    /// What the maker calls it ("brow").
    pub name: String,
    /// Where it lies.
    pub plane: CutPlane,
    /// What it may cut.
    pub scope: Scope,
    /// A cut that is switched off stays in the recipe and does nothing.
    pub enabled: bool,
}

/// What a cut may cut.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Scope {
    /// All that it crosses.
    All,
    /// Only these pieces, as they are when its turn comes, and whatever was cut from them by then.
    Pieces(BTreeSet<PieceId>),
}

/// Identity of a piece: the sides of the cuts whose caps bound it. It survives edits elsewhere, and does not depend on
/// the order of the cuts.
#[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct PieceId {
    /// The cuts that bound the piece, with the side it is on, by rising cut identity. Empty for the uncut whole.
    pub path: Vec<(CutId, Side)>,
    /// Tells apart bodies with the same path: counted from 0 along the axis on which they lie farthest apart.
    pub body: u32,
}

impl std::fmt::Display for PieceId {
    /// `1b.3a#0`: below cut 1, above cut 3, first body.
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        for (i, (cut, side)) in self.path.iter().enumerate() {
            let dot = if i == 0 { "" } else { "." };
            write!(f, "{dot}{}{}", cut.0, if *side == Side::Below { 'b' } else { 'a' })?;
        }
        write!(f, "#{}", self.body)
    }
}

/// Text that is not the identity of a piece.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("\"{0}\" is not the identity of a piece; it looks like 1b.3a#0")]
pub struct NotAPieceId(String);

impl std::str::FromStr for PieceId {
    type Err = NotAPieceId;

    fn from_str(text: &str) -> Result<PieceId, NotAPieceId> {
        let wrong = || NotAPieceId(text.to_owned());
        let (path, body) = text.split_once('#').ok_or_else(wrong)?;
        let step = |step: &str| {
            let side = match step.chars().last()? {
                'b' => Side::Below,
                'a' => Side::Above,
                _ => return None,
            };
            Some((CutId(step[..step.len() - 1].parse().ok()?), side))
        };
        let path = path.split('.').filter(|s| !s.is_empty()).map(step).collect::<Option<Vec<_>>>().ok_or_else(wrong)?;
        Ok(PieceId { path, body: body.parse().map_err(|_| wrong())? })
    }
}
