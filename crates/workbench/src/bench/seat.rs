//! Where the handles of a cut hang after it was tilted.

use seamwright_geometry::{Plane, Point};

use super::cut_in_hand::CutInHand;

/// Remembers the place that a cut was tilted about, so that its handles don't jump back over its anchor when they are let
/// go.
#[derive(Clone, Copy, Debug, Default)]
pub struct SeatMemory {
    kept: Option<Kept>,
}

#[derive(Clone, Copy, Debug)]
struct Kept {
    seat: Point,
    plane: Plane,
    /// The anchor that was given then: another one means another cut.
    anchor: Point,
}

/// A plane that turns by more than this from one frame to the next, with no hand on it, is another cut.
const MOST_TURN_COSINE: f64 = 0.94;

/// A seat farther than this from the plane, as a share of the diagonal of what is cut, belonged to another cut.
const MOST_SHIFT_SHARE: f64 = 0.25;

impl SeatMemory {
    /// A drag ended: `cut` hangs on `seat` from now on, and has `plane`.
    pub fn keep(&mut self, seat: Point, plane: Plane, cut: &CutInHand) {
        let anchor = self.kept.map_or(cut.anchor, |kept| kept.anchor);
        self.kept = Some(Kept { seat, plane, anchor });
    }

    /// Puts the anchor of `cut` where its handles hung last, if it is still the same cut.
    pub fn apply(&mut self, cut: &mut CutInHand) {
        let Some(kept) = &mut self.kept else { return };
        let far = cut.plane.distance_mm(&kept.seat).abs() > MOST_SHIFT_SHARE * cut.around.diagonal();
        let turned = cut.plane.normal().dot(&kept.plane.normal()) < MOST_TURN_COSINE;
        if cut.anchor != kept.anchor || far || turned {
            self.kept = None;
            return;
        }
        kept.plane = cut.plane;
        kept.seat = cut.plane.project(&kept.seat);
        cut.anchor = kept.seat;
    }
}
