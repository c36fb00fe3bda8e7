//! How a piece lies as it is printed.

use std::fmt;

use seamwright_geometry::{Bed, Motion, ROUNDING_MM, Vector, lay_on, sticks_out_mm};

use crate::outcome::{Outcome, Piece};

/// A pose to print in: resting on z = 0.
#[derive(Clone, Debug, PartialEq)]
pub struct Lay {
    /// `bed_from_piece`.
    pub pose: Motion,
    /// How it lies.
    pub by: LaidBy,
}

/// What a pose to print in was chosen by.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum LaidBy {
    /// The piece lies on its largest cap, that of the cut with this name.
    Cap(String),
    /// It lies as it was found to fit.
    PoseThatFits,
    /// Nothing better is known.
    AsItStands,
}

impl fmt::Display for LaidBy {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            LaidBy::Cap(cut) => write!(f, "cap of {cut}"),
            LaidBy::PoseThatFits => f.write_str("pose that fits"),
            LaidBy::AsItStands => f.write_str("as it stands"),
        }
    }
}

/// How `piece` is laid in the kit: on its largest cap where it fits that way, else in the pose in which it fits, else as
/// it stands. Always resting on z = 0, in the middle of the bed.
pub fn lay(outcome: &Outcome, piece: &Piece) -> Lay {
    let bed = outcome.recipe.beds().nth(piece.bed).unwrap_or(&outcome.recipe.bed);
    let without_raft = Bed { height_mm: bed.height_mm - bed.raft_mm, raft_mm: 0.0, ..bed.clone() };
    let hull = &piece.facts.hull;
    if let Some(cap) = piece.facts.caps.first()
        && let Some(pose) = lay_on(hull, &Vector::from(cap.normal), &without_raft)
        && sticks_out_mm(hull, &pose, &without_raft) <= ROUNDING_MM
    {
        let name = outcome.recipe.cut(cap.cut).map_or_else(|| format!("cut {}", cap.cut.0), |cut| cut.name.clone());
        return Lay { pose, by: LaidBy::Cap(name) };
    }
    if let Some(pose) = &piece.fit.pose {
        let down = nalgebra::Translation3::new(0.0, 0.0, -bed.raft_mm);
        return Lay { pose: down * pose, by: LaidBy::PoseThatFits };
    }
    let [low, high] = bed.extent_mm();
    let (centre, lowest) = (piece.facts.bounds.centre(), piece.facts.bounds.min.z);
    let shift = Vector::new((low[0] + high[0]) / 2.0 - centre.x, (low[1] + high[1]) / 2.0 - centre.y, -lowest);
    Lay { pose: Motion::translation(shift.x, shift.y, shift.z), by: LaidBy::AsItStands }
}
