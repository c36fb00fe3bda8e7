//! Looking at a body with one direction down: the best turn about the vertical in that attitude, which is exact.

use super::place::Levelled;
use super::turn::{Outline2, Turn};
use crate::hull::Point2;
use crate::{Point, Vector};
use nalgebra::UnitQuaternion;

/// The best pose with a given direction down.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Look {
    /// Piece direction that points down, unit length.
    pub down: Vector,
    /// Best turn about the vertical in that attitude, of the levelled body.
    pub turn: Turn,
    /// Height in that attitude, mm.
    pub height_mm: f64,
    /// The lesser of the turn's slack and the spare height, mm.
    pub slack_mm: f64,
}

impl Look {
    /// Looks at `points` with the unit vector `down` pointing down. `None` without points.
    pub fn at(points: &[Point], down: &Vector, room_mm: [f64; 3]) -> Option<Look> {
        let (outline, height_mm) = seen_from_above(points, &Levelled::by(down))?;
        let turn = outline.best_turn([room_mm[0], room_mm[1]]);
        Some(Look { down: *down, turn, height_mm, slack_mm: turn.slack_mm.min(room_mm[2] - height_mm) })
    }

    /// The rotation from the piece's frame.
    pub fn rotation(&self) -> UnitQuaternion<f64> {
        Levelled::by(&self.down).turned(self.turn.turn_rad)
    }
}

/// Outline and height of a levelled body. `None` without points.
pub(crate) fn seen_from_above(points: &[Point], level: &Levelled) -> Option<(Outline2, f64)> {
    let [x, y, up] = level.axes;
    let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
    let flat: Vec<Point2> = points
        .iter()
        .map(|p| {
            let z = up.dot(&p.coords);
            (low, high) = (low.min(z), high.max(z));
            Point2::new(x.dot(&p.coords), y.dot(&p.coords))
        })
        .collect();
    Some((Outline2::of(flat)?, high - low))
}
