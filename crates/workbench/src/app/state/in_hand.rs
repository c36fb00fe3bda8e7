//! The cut or the bore in hand: as it is, and as it is shown while it moves.

use seamwright_geometry::{Bounds, Plane};
use seamwright_project::{Bore, Cut, CutForm, CutId, CutPlane, PieceId};

use super::State;
use crate::bench::Tone;

/// A piece as it is without the cut in hand.
#[derive(Clone, Debug)]
pub struct Uncut {
    /// Its identity there.
    pub id: PieceId,
    /// The box around it, mm.
    pub bounds: Bounds,
    /// Whether the cut reaches it where it is shown now.
    pub is_reached: bool,
}

/// A cut as it would be.
#[derive(Clone, Debug, PartialEq)]
pub struct Preview {
    /// Where it would lie.
    pub plane: CutPlane,
    /// What it would be made along.
    pub form: CutForm,
}

impl State {
    /// The cut that is in hand: shown with handles, its card open.
    pub fn cut_in_hand(&self) -> Option<CutId> {
        self.taken_cut.filter(|id| self.recipe().cut(*id).is_some())
    }

    /// The cut in hand.
    pub fn held_cut(&self) -> Option<&Cut> {
        self.taken_cut.and_then(|id| self.recipe().cut(id))
    }

    /// The bore in hand: shown with handles, its card open.
    pub fn held_bore(&self) -> Option<&Bore> {
        self.bore.taken.and_then(|id| self.recipe().bore(id))
    }

    /// The bore in hand as it is shown now.
    pub fn shown_bore(&self) -> Option<Bore> {
        let held = self.held_bore()?;
        Some(self.bore.preview.clone().filter(|preview| preview.id == held.id).unwrap_or_else(|| held.clone()))
    }

    /// Where the cut in hand is shown now.
    pub fn shown_plane(&self) -> Option<CutPlane> {
        let cut = self.held_cut()?;
        Some(self.preview.as_ref().map_or(cut.plane, |preview| preview.plane))
    }

    /// The cut in hand as it is shown now.
    pub fn shown_cut(&self) -> Option<Preview> {
        let cut = self.held_cut()?;
        let as_it_is = || Preview { plane: cut.plane, form: cut.form.clone() };
        Some(self.preview.clone().unwrap_or_else(as_it_is))
    }

    /// Whether a cut or a bore is shown elsewhere than it lies: it is dragged, or a number of it is typed.
    pub fn is_shown_elsewhere(&self) -> bool {
        self.preview.is_some() || self.bore.preview.is_some()
    }

    /// The tones of the two sides of the cut in hand: of each side the worst verdict.
    pub fn side_tones(&self) -> [Tone; 2] {
        self.sides_said().map(|said| said.map_or(Tone::Undecided, |said| said.tone))
    }

    /// The plane of the cut in hand as it is shown now.
    pub fn plane_in_hand(&self) -> Option<Plane> {
        self.shown_plane()?.plane().ok()
    }
}
