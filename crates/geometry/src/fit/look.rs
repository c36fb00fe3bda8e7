//! Looking at a body with one direction down: the best turn about the vertical in that attitude. In a plain box it is
//! exact, on a round bed too; elsewhere it comes with a bound.

use super::disc::Circle;
use super::figure::Figure;
use super::place::Levelled;
use super::room::{Ground, Room};
use super::swing::{Arc, Effort, swing_within};
use super::turn::Turn;
use crate::Vector;
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
    /// No turn leaves more in the box around the room, mm.
    pub in_box_mm: f64,
    /// No turn leaves more, mm.
    pub at_most_mm: f64,
    /// Whether two points alone carry the smallest circle around what is seen; told on round beds only.
    pub carried_by_two: bool,
    /// Turns looked at.
    pub looked_at: usize,
}

impl Look {
    /// Looks at a body with the unit vector `down` pointing down. `None` without points.
    pub fn at(figure: &Figure, down: &Vector, room: &Room, effort: Effort) -> Option<Look> {
        Some(Look::around(figure, down, room, &Arc::all(), |_| effort, 0.0)?.0)
    }

    /// Looks, so that the bound also holds for the same body with each of its points as much as `moved_mm` higher or
    /// lower: zones overhead are then taken to begin higher. `effort` says what is spent on turns, given the height. Where
    /// turns must be searched for, only `turns` are, and those left open are told, too.
    pub fn around(
        figure: &Figure,
        down: &Vector,
        room: &Room,
        turns: &[Arc],
        effort: impl Fn(f64) -> Effort,
        moved_mm: f64,
    ) -> Option<(Look, Vec<Arc>)> {
        let level = Levelled::by(down);
        // A point may rise while the lowest one sinks.
        let levels: Vec<f64> = room.levels_mm().iter().map(|level| level + 2.0 * moved_mm).collect();
        let seen = figure.seen(&level, &levels)?;
        let [width, depth, height] = room.size_mm;
        let (spare_mm, height_mm) = (height - seen.height_mm, seen.height_mm);
        let in_box = seen.outline.best_turn([width, depth]);
        let (mut carried_by_two, mut left_open) = (false, Vec::new());
        let (turn, at_most_mm, looked_at) = match &room.ground {
            Ground::Box => (in_box, in_box.slack_mm, 1),
            Ground::Disc(disc) => {
                let circle = Circle::around(seen.outline.corners())?;
                let slack_mm = 2.0 * (disc.radius - circle.radius);
                carried_by_two = circle.carried_by_two(seen.outline.corners());
                (Turn { slack_mm, ..seen.outline.turned(0.0, [width, depth]) }, slack_mm, 1)
            }
            Ground::Walled(walled) => {
                let (swing, left) = swing_within(&seen.to_shadow(), walled, effort(height_mm), turns)?;
                left_open = left;
                let turned = seen.outline.turned(swing.turn_rad, [width, depth]);
                (Turn { slack_mm: swing.slack_mm, ..turned }, swing.at_most_mm, swing.looked_at)
            }
        };
        let slack_mm = turn.slack_mm.min(spare_mm);
        let look = Look {
            down: *down,
            turn,
            height_mm,
            slack_mm,
            in_box_mm: in_box.slack_mm,
            at_most_mm,
            carried_by_two,
            looked_at,
        };
        Some((look, left_open))
    }

    /// The rotation from the piece's frame.
    pub fn rotation(&self) -> UnitQuaternion<f64> {
        Levelled::by(&self.down).turned(self.turn.turn_rad)
    }
}
