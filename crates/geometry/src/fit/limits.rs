//! What bounds the slack in the attitudes around one that was looked at.
//!
//! A direction within an angle δ of the one looked at is reached by tilting the body by δ at most about a level axis, and
//! turning it about the vertical, which every look does in all ways anyway.
//!
//! * A width w, held by two points at most a diameter D apart, becomes no less than D·cos(δ + arccos(w/D)).
//! * Seen from above, two points whose heights differ by no more than the body's height h come nearer by no more than
//!   h·sin δ + D·(1 − cos δ).
//! * About the middle of its height, no point moves sideways by more than h/2·sin δ + R·(1 − cos δ), where R is the radius
//!   of a sphere around the body. On round beds the slack grows by no more than twice that.

use super::figure::Figure;
use super::look::Look;
use super::room::{Ground, Room};
use crate::Point;

/// What is known of a body and a room.
pub(super) struct Limits<'a> {
    diameter_mm: f64,
    /// Of a sphere around the body.
    radius_mm: f64,
    room: &'a Room,
}

/// Added to every bound, above the rounding of sizes of metre-long bodies, mm.
const ROUNDING_OF_LOOK_MM: f64 = 1e-9;

impl<'a> Limits<'a> {
    /// For a body whose diameter is `diameter_mm` at most. `None` without points.
    pub fn of(figure: &Figure, diameter_mm: f64, room: &'a Room) -> Option<Limits<'a>> {
        Some(Limits { diameter_mm, radius_mm: sphere_around(figure.points())?.1, room })
    }

    /// The most slack with a direction down that lies within `chord` of the one looked at.
    pub fn at_most_mm(&self, look: &Look, chord: f64) -> f64 {
        let angle = angle(chord);
        let least_width = |width: f64| {
            let from_longest = (width / self.diameter_mm).clamp(-1.0, 1.0).acos();
            self.diameter_mm * (angle + from_longest).min(std::f64::consts::PI).cos()
        };
        let nearer_mm = look.height_mm * angle.sin() + self.diameter_mm * (1.0 - angle.cos());
        let [width, depth, height] = self.room.size_mm;
        let upright = height - least_width(look.height_mm);
        // At every turn one of the two widths is at least its side less the turn's slack.
        let level = |side: f64| {
            let at_least = side - look.in_box_mm;
            side - least_width(at_least).max(at_least - nearer_mm)
        };
        let in_box = upright.min(level(width).max(level(depth)));
        let by_moves = look.at_most_mm + 2.0 * self.level_moved_mm(look.height_mm, chord);
        match &self.room.ground {
            // Other beds are explored with other bounds.
            Ground::Box | Ground::Walled(_) => in_box + ROUNDING_OF_LOOK_MM,
            Ground::Disc(disc) => {
                // Where two points carry the smallest circle they come nearer as any two do.
                let diameter = 2.0 * disc.radius;
                let by_two = if look.carried_by_two {
                    diameter - least_width(diameter - look.at_most_mm)
                } else {
                    f64::INFINITY
                };
                in_box.min(by_moves).min(by_two) + ROUNDING_OF_LOOK_MM
            }
        }
    }

    /// How far a point of the body moves sideways at most, of a body so high.
    fn level_moved_mm(&self, height_mm: f64, chord: f64) -> f64 {
        let angle = angle(chord);
        let by_tilt = height_mm / 2.0 * angle.sin() + self.radius_mm * (1.0 - angle.cos());
        by_tilt.min(self.radius_mm * chord)
    }
}

/// The angle of a chord of the unit circle, rad; a right angle at most, beyond which no cell reaches.
fn angle(chord: f64) -> f64 {
    (2.0 * (chord / 2.0).min(1.0).asin()).min(std::f64::consts::FRAC_PI_2)
}

/// A sphere around `points`, a little larger than the smallest, with its middle in their hull: the middle steps towards
/// the farthest point, by less each time (M. Bădoiu and K. L. Clarkson, *Smaller core-sets for balls*, SODA 2003). `None`
/// without points.
pub(super) fn sphere_around(points: &[Point]) -> Option<(Point, f64)> {
    const STEPS: u32 = 200;
    let farthest = |c: &Point| {
        points.iter().max_by(|p, q| nalgebra::distance_squared(p, c).total_cmp(&nalgebra::distance_squared(q, c)))
    };
    let mut centre = *points.first()?;
    for step in 1..=STEPS {
        centre += (farthest(&centre)? - centre) / f64::from(step + 1);
    }
    Some((centre, (farthest(&centre)? - centre).norm()))
}
