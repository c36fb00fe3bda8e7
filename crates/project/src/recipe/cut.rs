//! Cuts as the maker decided them, and pieces by the sides of the cuts that bound them.

use std::collections::BTreeSet;

use seamwright_geometry::{FaceOrigin, Side};

use super::PartId;
use crate::cut_form::CutForm;
use crate::cut_plane::CutPlane;

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
    /// The part that it cuts.
    pub part: PartId,
    /// Where it lies.
    pub plane: CutPlane,
    /// What it is made along: the plane itself, or a line drawn over it.
    pub form: CutForm,
    /// Width of the gap that it leaves between its two sides, mm.
    pub kerf_mm: f64,
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
    /// The part that it is cut from.
    pub part: PartId,
    /// The cuts that bound the piece, with the side it is on, by rising cut identity. Empty for the uncut whole.
    pub path: Vec<(CutId, Side)>,
    /// Tells apart bodies with the same path: counted from 0 along the axis on which they lie farthest apart.
    pub body: u32,
}

impl std::fmt::Display for PieceId {
    /// `1b.3a#0`: below cut 1, above cut 3, first body; of a loose part `2/1b.3a#0`.
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        if self.part != PartId::MAIN {
            write!(f, "{}/", self.part.0)?;
        }
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
        let (part, rest) = match text.split_once('/') {
            Some((part, rest)) => (PartId(part.parse().map_err(|_| wrong())?), rest),
            None => (PartId::MAIN, text),
        };
        let (path, body) = rest.split_once('#').ok_or_else(wrong)?;
        let step = |step: &str| {
            let side = match step.chars().last()? {
                'b' => Side::Below,
                'a' => Side::Above,
                _ => return None,
            };
            Some((CutId(step[..step.len() - 1].parse().ok()?), side))
        };
        let path = path.split('.').filter(|s| !s.is_empty()).map(step).collect::<Option<Vec<_>>>().ok_or_else(wrong)?;
        Ok(PieceId { part, path, body: body.parse().map_err(|_| wrong())? })
    }
}
