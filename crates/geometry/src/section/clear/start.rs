//! Where the room is: the centre of the largest circle in free space with walls around it.
//!
//! Squares are opened from the one that promises most, and quartered, until none can hold a much larger circle than the
//! one found (branch and bound; the same question as in D. Garcia-Castellanos and U. Lombardo, "Poles of
//! inaccessibility", Scottish Geographical Journal 123(3):227–233, 2007).

use std::cmp::Ordering;
use std::collections::BinaryHeap;

use super::Room;
use super::star::Star;
use super::walls::Walls;
use crate::section::frame::Flat;

/// A room is at least this share of the section wide (our own choice, no source), and the squares that it is looked for
/// in are as wide: one less than √2 times as wide as a square may be missed. Smaller ones are pockets of the relief.
const COARSE: f64 = 1.0 / 32.0;

/// The circle found is at least this share of the largest one, but for what [`COARSE`] misses (our own choice, no
/// source). It decides which of several rooms is taken, and where the search for the room begins.
const GOOD_ENOUGH: f64 = 0.99;

/// The largest room as seen from its middle; `None` where no free space has walls around it.
pub(super) fn largest(walls: &Walls) -> Option<Star> {
    let size = (walls.high - walls.low).max();
    let mut open = BinaryHeap::from([Square::new(walls, (walls.low + walls.high) / 2.0, size / 2.0)]);
    let mut best: Option<(f64, Star)> = None;
    while let Some(square) = open.pop() {
        let found = best.as_ref().map_or(COARSE * size / 2.0, |(room, _)| *room);
        if square.promise * GOOD_ENOUGH <= found {
            break;
        }
        let star = Some(square.middle).filter(|_| square.room > found);
        let star = star.and_then(|middle| Star::seen(walls, middle)).filter(|star| Room::is_around(walls, star));
        // Where there is less room than found already, the promise soon breaks.
        if star.is_some() || 2.0 * square.half > COARSE * size || square.room <= found {
            let quarter = square.half / 2.0;
            for (x, y) in [(-1.0, -1.0), (1.0, -1.0), (-1.0, 1.0), (1.0, 1.0)] {
                open.push(Square::new(walls, square.middle + Flat::new(x, y) * quarter, quarter));
            }
        }
        if let Some(star) = star {
            best = Some((square.room, star));
        }
    }
    best.map(|(_, star)| star)
}

struct Square {
    middle: Flat,
    half: f64,
    /// Around the middle.
    room: f64,
    /// No place in the square has more room.
    promise: f64,
}

impl Square {
    fn new(walls: &Walls, middle: Flat, half: f64) -> Square {
        let room = walls.room_around(&middle);
        Square { middle, half, room, promise: room + half * std::f64::consts::SQRT_2 }
    }
}

impl PartialEq for Square {
    fn eq(&self, other: &Square) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}

impl Eq for Square {}

impl PartialOrd for Square {
    fn partial_cmp(&self, other: &Square) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Square {
    fn cmp(&self, other: &Square) -> Ordering {
        self.promise.total_cmp(&other.promise)
    }
}
