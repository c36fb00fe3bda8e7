//! Turning about the vertical on beds that are no plain rectangle: the best turn, with a bound on turns between those
//! looked at.
//!
//! In a range of turns a footprint reaches everywhere at least as far as the least that it reaches in any of them, which
//! bounds what walls leave. Turned by δ about the middle of its smallest circle, of radius R, it moves nowhere by more
//! than 2R·sin(δ/2), which bounds what zones leave. The turns are split where that leaves most hope (branch and bound
//! over one angle).

use super::disc::Circle;
use super::room::{Ground, Room, Shadow, Walled};
use super::{ROUNDING_MM, is_near_limit};
use std::cmp::Ordering;
use std::collections::BinaryHeap;
use std::f64::consts::TAU;

/// The best turn found.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Swing {
    /// Counter-clockwise seen from above.
    pub turn_rad: f64,
    /// What is left in that turn, both ends together, mm; negative when it sticks out.
    pub slack_mm: f64,
    /// No turn leaves more, mm.
    pub at_most_mm: f64,
    /// Turns looked at.
    pub looked_at: usize,
}

/// What a search for a turn may spend and when it may stop.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Effort {
    /// Turns looked at.
    pub patience: usize,
    /// Turns looked at where it is neither known whether one fits nor certain that the limit is near.
    pub most_patience: usize,
    /// It stops once no turn leaves more than the best found by this, mm, or by a small share where the limit is far.
    pub settled_mm: f64,
}

impl Effort {
    /// The best turn, to a hundredth of a millimetre near the limit.
    pub const BEST: Effort = Effort { patience: 4000, most_patience: 8000, settled_mm: 0.01 };
    /// What a frame has time for.
    pub const LIVE: Effort = Effort { patience: 120, most_patience: 120, settled_mm: 0.1 };

    fn is_spent(&self, best: &Swing) -> bool {
        let decided = best.slack_mm >= -ROUNDING_MM || best.at_most_mm < -ROUNDING_MM;
        let enough = decided || is_near_limit(best.slack_mm, best.at_most_mm);
        best.looked_at >= if enough { self.patience } else { self.most_patience }
    }
}

/// Turns that a search begins with.
const FIRST_TURNS: u32 = 24;

/// The best turn of what covers `shadow` in a room that is no plain box. `None` for a shadow of nothing.
pub(crate) fn best_swing(shadow: &Shadow, room: &Room, effort: Effort) -> Option<Swing> {
    let circle = Circle::around(&shadow.whole)?;
    match &room.ground {
        Ground::Disc(disc) => {
            let slack_mm = 2.0 * (disc.radius - circle.radius);
            Some(Swing { turn_rad: 0.0, slack_mm, at_most_mm: slack_mm, looked_at: 1 })
        }
        Ground::Walled(walled) => swing(shadow, walled, effort),
        Ground::Box => None,
    }
}

/// The best turn of what covers `shadow` between walls. `None` for a shadow of nothing.
pub(super) fn swing(shadow: &Shadow, walled: &Walled, effort: Effort) -> Option<Swing> {
    let circle = Circle::around(&shadow.whole)?;
    let about_its_middle = shadow.moved(-circle.centre.coords);
    let look = |turn_rad: f64, half_rad: f64| -> Option<(f64, f64)> {
        let turned = about_its_middle.turned(turn_rad);
        let moved_mm = 2.0 * circle.radius * (half_rad / 2.0).sin();
        let around = walled.spot_around(&turned, half_rad, moved_mm)?;
        // Half of it at each end.
        let spot = walled.spot(&turned, f64::NEG_INFINITY)?;
        Some((2.0 * spot.clearance, 2.0 * around.at_most))
    };
    let mut open = BinaryHeap::new();
    let mut best = Swing { turn_rad: 0.0, slack_mm: f64::NEG_INFINITY, at_most_mm: f64::INFINITY, looked_at: 0 };
    let visit = |turn_rad: f64, half_rad: f64, parent_mm: f64, open: &mut BinaryHeap<Arc>, best: &mut Swing| {
        let (slack_mm, at_most_mm) = look(turn_rad, half_rad)?;
        best.looked_at += 1;
        // Of turns equally good the smallest is taken, which the order of looking sees to.
        if slack_mm > best.slack_mm + EQUAL_MM {
            (best.slack_mm, best.turn_rad) = (slack_mm, turn_rad);
        }
        open.push(Arc { turn_rad, half_rad, at_most_mm: at_most_mm.min(parent_mm) });
        Some(())
    };
    for arc in Arc::all() {
        visit(arc.turn_rad, arc.half_rad, arc.at_most_mm, &mut open, &mut best)?;
    }
    while let Some(top) = open.peek() {
        best.at_most_mm = top.at_most_mm.max(best.slack_mm);
        let settled_mm = effort.settled_mm.max(SETTLED_SHARE * best.slack_mm.abs());
        let settled = best.at_most_mm <= best.slack_mm + settled_mm;
        if settled || effort.is_spent(&best) {
            break;
        }
        let Some(Arc { turn_rad, half_rad, at_most_mm }) = open.pop() else { break };
        for side in [-0.5, 0.5] {
            visit(turn_rad + side * half_rad, half_rad / 2.0, at_most_mm, &mut open, &mut best)?;
        }
    }
    let turn = best.turn_rad.rem_euclid(TAU);
    best.turn_rad = if turn > TAU / 2.0 { turn - TAU } else { turn };
    Some(best)
}

/// Far from the limit the best turn is settled to this share of what it leaves or lacks: 0.2 mm of 40 mm. Our own choice,
/// no source.
const SETTLED_SHARE: f64 = 0.005;

/// Slacks closer than this are equal: rounding of metre-long outlines is far below.
const EQUAL_MM: f64 = 1e-7;

/// A range of turns that may still hold a better one; the most promising is the greatest.
#[derive(Clone, Copy, Debug)]
struct Arc {
    turn_rad: f64,
    half_rad: f64,
    /// What none of them leaves more of, mm.
    at_most_mm: f64,
}

impl Arc {
    /// All turns: those around none, then those to either side of them.
    fn all() -> Vec<Arc> {
        let half_rad = TAU / f64::from(FIRST_TURNS) / 2.0;
        let arc = |k: u32| {
            let steps = f64::from(k.div_ceil(2)) * if k % 2 == 1 { 1.0 } else { -1.0 };
            Arc { turn_rad: steps * 2.0 * half_rad, half_rad, at_most_mm: f64::INFINITY }
        };
        (0..FIRST_TURNS).map(arc).collect()
    }
}

impl Ord for Arc {
    fn cmp(&self, other: &Arc) -> Ordering {
        self.at_most_mm.total_cmp(&other.at_most_mm)
    }
}

impl PartialOrd for Arc {
    fn partial_cmp(&self, other: &Arc) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl PartialEq for Arc {
    fn eq(&self, other: &Arc) -> bool {
        self.cmp(other).is_eq()
    }
}

impl Eq for Arc {}
