//! How a piece lies as it is printed.

use seamwright_geometry::{Bed, Motion, ROUNDING_MM, Vector, lay_on, sticks_out_mm};

use crate::outcome::{Outcome, Piece};

/// A pose to print in: resting on z = 0.
#[derive(Clone, Debug, PartialEq)]
pub struct Lay {
    /// `bed_from_piece`.
    pub pose: Motion,
    /// How it lies, in words.
    pub words: String,
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
        return Lay { pose, words: format!("cap of {name}") };
    }
    if let Some(pose) = &piece.fit.pose {
        let down = nalgebra::Translation3::new(0.0, 0.0, -bed.raft_mm);
        return Lay { pose: down * pose, words: "pose that fits".into() };
    }
    let [low, high] = bed.extent_mm();
    let (centre, lowest) = (piece.facts.bounds.centre(), piece.facts.bounds.min.z);
    let shift = Vector::new((low[0] + high[0]) / 2.0 - centre.x, (low[1] + high[1]) / 2.0 - centre.y, -lowest);
    Lay { pose: Motion::translation(shift.x, shift.y, shift.z), words: "as it stands".into() }
}
