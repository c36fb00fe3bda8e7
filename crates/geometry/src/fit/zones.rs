//! The place within walls and clear of zones that leaves the most room, with a bound on what was not looked at.
//!
//! A convex footprint is clear of a convex zone exactly when a line along an edge of one of them separates the two. So
//! each zone that is in the way is a choice among lines, and each choice is one more wall. The best place with the
//! walls alone bounds the best place with any choice; choices are made best first (branch and bound).

use super::free_place::free_place;
use super::walls::{Corner, Wall};
use crate::hull::Point2;
use nalgebra::Vector2;
use std::cmp::Ordering;
use std::collections::BinaryHeap;

/// A place of a footprint.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Spot {
    /// What the footprint is moved by.
    pub shift: Vector2<f64>,
    /// What is left there, to the nearest wall or line; negative where it sticks out.
    pub clearance: f64,
    /// No place has a greater clearance, unless both are positive: then zones may be farther than the lines along
    /// edges tell.
    pub at_most: f64,
}

/// Choices looked at before the clearance is halved instead: round zones have dozens of lines, and several of them more
/// choices than can be looked at. Our own choice, no source.
const MOST_CHOICES: usize = 24;
/// Halving ends when no place leaves more than the best found by this, mm: a tenth of what the best turn is settled to.
const HALVED_MM: f64 = 0.001;

/// The best shift within `walls` (that begin with `corner`'s) at which each of the `zones` is beyond at least one of
/// its lines. A search ends early where no place has a clearance of `enough` at most.
pub(crate) fn best_spot(corner: Corner, walls: &[Wall], zones: &[Vec<Wall>], enough: f64) -> Spot {
    let mut best = Spot { shift: corner.shift, clearance: f64::NEG_INFINITY, at_most: corner.clearance };
    let left = |walls: &[Wall], shift: &Vector2<f64>| walls.iter().map(|w| w.left(shift)).fold(f64::INFINITY, f64::min);
    let beyond = |zone: &[Wall], shift: &Vector2<f64>| {
        zone.iter().map(|line| line.left(shift)).fold(f64::NEG_INFINITY, f64::max)
    };
    let here = |shift: &Vector2<f64>| {
        let to_zones = zones.iter().map(|zone| beyond(zone, shift)).fold(f64::INFINITY, f64::min);
        to_zones.min(left(walls, shift))
    };
    let mut open = BinaryHeap::from([Choice { corner: corner.within(walls), lines: Vec::new() }]);
    for _ in 0..MOST_CHOICES {
        let Some(choice) = open.pop() else { break };
        let Corner { shift, clearance, .. } = choice.corner;
        best.at_most = clearance;
        let in_the_way = (0..zones.len()).map(|k| (beyond(&zones[k], &shift), k)).min_by(|a, b| a.0.total_cmp(&b.0));
        let found = in_the_way.map_or(f64::INFINITY, |(beyond, _)| beyond).min(left(walls, &shift));
        if found > best.clearance {
            (best.shift, best.clearance) = (shift, found);
        }
        if found >= clearance - SETTLED_MM || best.clearance >= clearance - SETTLED_MM || clearance < enough {
            return best;
        }
        let Some((_, zone)) = in_the_way else { return best };
        let mut all: Vec<Wall> = walls.iter().chain(&choice.lines).copied().collect();
        for line in &zones[zone] {
            all.push(*line);
            // A line that leaves less than is found already needs no further look.
            let corner = choice.corner.above(&all, best.clearance);
            all.pop();
            if let Some(corner) = corner {
                let lines = choice.lines.iter().chain([line]).copied().collect();
                open.push(Choice { corner, lines });
            }
        }
        if open.is_empty() {
            best.at_most = best.clearance;
            return best;
        }
    }
    best.at_most = open.peek().map_or(best.clearance, |choice| choice.corner.clearance.max(best.clearance));
    while best.at_most > best.clearance + HALVED_MM && best.at_most >= enough {
        // What is hopeless is told by a single look.
        let clearance = if best.clearance < enough - HALVED_MM {
            enough - HALVED_MM / 2.0
        } else {
            f64::midpoint(best.clearance, best.at_most)
        };
        match free_place(walls, zones, clearance) {
            Some(shift) => (best.shift, best.clearance) = (shift, here(&shift)),
            None => best.at_most = clearance,
        }
    }
    best
}

/// Clearances closer than this are equal, mm: above the rounding of places a metre away.
const SETTLED_MM: f64 = 1e-8;

/// The lines of which one must lie between the convex polygons `zone`, which stays, and `footprint`, which is moved.
pub(crate) fn lines_between(zone: &[Point2], footprint: &[Point2]) -> Vec<Wall> {
    let reach =
        |points: &[Point2], n: &Vector2<f64>| points.iter().map(|p| n.dot(&p.coords)).fold(f64::NEG_INFINITY, f64::max);
    let along = |polygon: &[Point2]| -> Vec<Vector2<f64>> {
        let next = polygon.iter().cycle().skip(1);
        let outward = |(a, b): (&Point2, &Point2)| Vector2::new(b.y - a.y, a.x - b.x).try_normalize(0.0);
        polygon.iter().zip(next).filter_map(outward).collect()
    };
    // The footprint lies on the far side of a line of the zone, or the zone on the far side of one of its own.
    let of_zone = along(zone).into_iter().map(|n| -n);
    // A footprint of one or two corners has no edges that bound it: upright and level lines do for a point.
    let of_footprint = along(footprint).into_iter();
    of_zone
        .chain(of_footprint)
        .map(|normal| Wall { normal, at_most: -reach(zone, &-normal) - reach(footprint, &normal) })
        .collect()
}

struct Choice {
    corner: Corner,
    lines: Vec<Wall>,
}

impl Ord for Choice {
    fn cmp(&self, other: &Choice) -> Ordering {
        self.corner.clearance.total_cmp(&other.corner.clearance)
    }
}

impl PartialOrd for Choice {
    fn partial_cmp(&self, other: &Choice) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl PartialEq for Choice {
    fn eq(&self, other: &Choice) -> bool {
        self.cmp(other).is_eq()
    }
}

impl Eq for Choice {}
