//! Looking at a body with one direction down: the best turn about the vertical in that attitude. In a plain box it is
//! exact, on a round bed too; elsewhere it comes with a bound.

use super::disc::Circle;
use super::figure::Figure;
use super::place::Levelled;
use super::room::{Ground, Room, Shadow, Walled};
use super::swing::{Effort, Swing, swing};
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
        Look::with(figure, down, room, |shadow, walled| swing(shadow, walled, effort))
    }

    /// Looks at a body under a rotation, turned in no other way where turns matter. `None` without points.
    pub fn under(figure: &Figure, rotation: &UnitQuaternion<f64>, room: &Room) -> Option<Look> {
        let down = rotation.inverse() * -Vector::z();
        let turn = rotation * Levelled::by(&down).turned(0.0).inverse();
        let turn_rad = 2.0 * turn.k.atan2(turn.w);
        Look::with(figure, &down, room, |shadow, walled| {
            let spot = walled.spot(&shadow.turned(turn_rad), f64::NEG_INFINITY)?;
            Some(Swing { turn_rad, slack_mm: 2.0 * spot.clearance, at_most_mm: 2.0 * spot.at_most, looked_at: 1 })
        })
    }

    /// Looks, with what tells the turn where it must be searched for.
    fn with(
        figure: &Figure,
        down: &Vector,
        room: &Room,
        swing: impl Fn(&Shadow, &Walled) -> Option<Swing>,
    ) -> Option<Look> {
        let seen = figure.seen(&Levelled::by(down), room.levels_mm())?;
        let [width, depth, height] = room.size_mm;
        let (spare_mm, height_mm) = (height - seen.height_mm, seen.height_mm);
        let in_box = seen.outline.best_turn([width, depth]);
        let mut carried_by_two = false;
        let (turn, at_most_mm, looked_at) = match &room.ground {
            Ground::Box => (in_box, in_box.slack_mm, 1),
            Ground::Disc(disc) => {
                let circle = Circle::around(seen.outline.corners())?;
                let slack_mm = 2.0 * (disc.radius - circle.radius);
                carried_by_two = circle.carried_by_two(seen.outline.corners());
                (Turn { slack_mm, ..seen.outline.turned(0.0, [width, depth]) }, slack_mm, 1)
            }
            Ground::Walled(walled) => {
                let swing = swing(&seen.to_shadow(), walled)?;
                let turned = seen.outline.turned(swing.turn_rad, [width, depth]);
                (Turn { slack_mm: swing.slack_mm, ..turned }, swing.at_most_mm, swing.looked_at)
            }
        };
        let slack_mm = turn.slack_mm.min(spare_mm);
        Some(Look {
            down: *down,
            turn,
            height_mm,
            slack_mm,
            in_box_mm: in_box.slack_mm,
            at_most_mm,
            carried_by_two,
            looked_at,
        })
    }

    /// The rotation from the piece's frame.
    pub fn rotation(&self) -> UnitQuaternion<f64> {
        Levelled::by(&self.down).turned(self.turn.turn_rad)
    }
}
