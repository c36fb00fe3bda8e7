//! The exact verdict on one half, in any pose.
//!
//! Few points stand for all of a half within a known distance. If they are too big for a bed, so is the half, which
//! reaches farther. If they fit with more room than that distance at both ends, the half fits in the same pose, and how much
//! room is left is looked up in the tree. Only between the two are all of its points asked.

use super::portion::Portion;
use super::tree::COARSE_POINTS_MM;
use super::{HalfFit, Halves};
use crate::fit::{ROUNDING_MM, Room, room_of};
use crate::{Bed, Cancelled, Fit, Hull, Motion, Point, Progress, Search, Side, Vector, Verdict, fit_preferring};

/// How far outside the hull of the few points others may lie beside what the coarse points lose, mm (our own choice, no source).
const FEW_MM: f64 = 0.05;
/// What two opposite walls may be short by when few points are asked, mm.
const FEW_ERROR_MM: f64 = 2.0 * (COARSE_POINTS_MM + FEW_MM) + ROUNDING_MM;

impl Halves<'_> {
    /// Points that span one half, all the others within: no tolerance of the live fit is in them. Empty when nothing
    /// lies on that side.
    pub fn span(&self, side: Side) -> Vec<Point> {
        Hull::of(&self.points(side, false)).vertices
    }

    /// Few points of one half, all the others no farther outside their hull than half of [`FEW_ERROR_MM`].
    fn few(&self, side: Side) -> Vec<Point> {
        Hull::within(&self.points(side, true), FEW_MM).vertices
    }

    /// All points of one half, or coarse ones where its boxes have them.
    fn points(&self, side: Side, coarse: bool) -> Vec<Point> {
        if self.bounds(side).is_none() {
            return Vec::new();
        }
        self.half(side).points(coarse)
    }

    /// The exact verdict for one half, as [`fit`](crate::fit()) gives it for the piece that a cut would make of it, which
    /// lies on the cut where that fits; `None` when nothing lies on that side, or when the bed holds nothing. How much
    /// room is left, or missing, in the pose of the verdict is told within `error_mm`. It takes from milliseconds to a
    /// second or two and belongs on a worker.
    ///
    /// A half that falls apart into several bodies is taken as one.
    pub fn exact_fit(
        &self,
        side: Side,
        bed: &Bed,
        search: Search,
        progress: &Progress,
    ) -> Result<Option<HalfFit>, Cancelled> {
        let (Ok(room), Some(bounds)) = (room_of(bed), self.bounds(side)) else { return Ok(None) };
        let caps = [self.cap_normal(side)];
        // What is exact anyway has no few points; and what reaches up to a zone must be known by its height.
        if self.tolerance_mm > 0.0 && room.levels_mm().is_empty() {
            let few = fit_preferring(&self.few(side), bed, search, &caps, progress)?;
            let surely = match few.verdict {
                Verdict::TooBig => true,
                Verdict::Undecided => false,
                _ => few.slack_mm >= FEW_ERROR_MM,
            };
            if let Some(told) = surely.then(|| self.told(side, &few, &room, bounds.size())).flatten() {
                return Ok(Some(told));
            }
        }
        let fit = fit_preferring(&self.span(side), bed, search, &caps, progress)?;
        let sizes_mm = bounds.size().into();
        Ok(Some(HalfFit { verdict: fit.verdict, sizes_mm, slack_mm: fit.slack_mm, error_mm: 0.0 }))
    }

    /// What few points tell, with the room that all of the half leaves in that pose.
    fn told(&self, side: Side, few: &Fit, room: &Room, size: Vector) -> Option<HalfFit> {
        let pose = few.pose.as_ref().or(few.excess.as_ref().map(|excess| &excess.pose))?;
        let caps = [self.cap_normal(side)];
        let portion: Portion<'_> = self.portion(side, &caps);
        let slack_mm = match few.verdict {
            Verdict::AsItStands => portion.slack_standing_mm(room, size)?,
            _ => portion.slack_with_up_mm(room, &up_of(pose))?,
        };
        // What is too big in every pose is so in this one.
        let slack_mm = if few.verdict == Verdict::TooBig { slack_mm.min(few.slack_mm) } else { slack_mm };
        Some(HalfFit { verdict: few.verdict, sizes_mm: size.into(), slack_mm, error_mm: 2.0 * self.tolerance_mm })
    }
}

/// What points up in a pose, in the frame of what is posed.
fn up_of(bed_from_piece: &Motion) -> Vector {
    bed_from_piece.inverse() * Vector::z()
}
