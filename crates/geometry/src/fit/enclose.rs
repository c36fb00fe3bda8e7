//! Exploring all rotations on beds that are no plain rectangle and no plain circle, with a bound on what was not looked at.
//!
//! Rotations are split into boxes, each with a bound (see `nearby`), most promising first, until a pose is found or no box
//! can hold one (branch and bound). Where the bound's own pose would be in the way of a zone, the directions of a line
//! between are split instead, and where the body lies.

use super::ROUNDING_MM;
use super::explore::{End, Exploration, Patience, better};
use super::look::Look;
use super::nearby::{Bounded, Nearby, Surroundings};
use super::place::Levelled;
use super::sector::Sector;
use super::spins::Spins;
use crate::{Cancelled, Progress, Vector};
use nalgebra::UnitQuaternion;
use rayon::prelude::*;
use std::cmp::Ordering;
use std::collections::BinaryHeap;

/// How many of the first poses are climbed from. Our own choice, no source.
const CLIMBS: usize = 6;
/// Boxes split at a time, in parallel. Our own choice, no source.
const BATCH: usize = 64;
/// A pose that leaves as much more than the best, mm, is climbed from: others become better as boxes become smaller. Our
/// own choice, no source.
const WORTH_A_CLIMB_MM: f64 = 1.0;
/// Zones are asked for one by one in boxes of rotations whose chords are no longer: in larger ones the best place in the
/// middle tells as much in one look. Our own choice, no source.
const ZONES_WITHIN: f64 = 0.1;
/// What is likely to be gained where the bound's pose enters a zone, as a share of how far. Our own choice, no source.
const ENTERED_SHARE: f64 = 0.25;
/// The same of a zone that is kept clear of, less closely. Our own choice, no source.
const STILL_ENTERED_SHARE: f64 = 0.05;
/// Clearances nearer than this are no reason to split anything, mm.
const NO_GAP_MM: f64 = 1e-4;

/// Explores the attitudes of a body in a room with walls. `accept` has the last word on a pose that seems to fit.
pub(super) fn explore_walled(
    of: &Surroundings,
    patience: Patience,
    progress: &Progress,
    accept: impl Fn(&Look) -> bool,
) -> Result<Option<Exploration>, Cancelled> {
    explore(of, Spins::all(), patience, progress, accept)
}

/// The best turn of a body with `down` pointing down, or one that fits. `None` without points.
pub(super) fn best_turn(
    of: &Surroundings,
    down: &Vector,
    looks: usize,
    progress: &Progress,
) -> Result<Option<Look>, Cancelled> {
    let turns = Spins::turns(&Levelled::by(down).turned(0.0));
    let patience = Patience { looks, most_looks: looks };
    let Some(found) = explore(of, turns, patience, progress, |_| true)? else { return Ok(None) };
    Ok(Some(climb(of, found.best, Spins::turns_around, progress)?.0))
}

fn explore(
    of: &Surroundings,
    spins: Vec<Spins>,
    patience: Patience,
    progress: &Progress,
    accept: impl Fn(&Look) -> bool,
) -> Result<Option<Exploration>, Cancelled> {
    let (figure, room) = (of.figure, of.room);
    let most = room.size_mm.into_iter().fold(f64::INFINITY, f64::min) / 2.0;
    let fits = |look: &Look| look.slack_mm >= -ROUNDING_MM;
    let turns_only = matches!(spins.first(), Some(Spins::Turns(_)));
    let (mut looked_at, start) = (spins.len(), spins.first().map(Spins::centre).unwrap_or_default());
    let first: Vec<Open> = spins.into_par_iter().filter_map(|spins| Open::of(of, of.anywhere(spins), most)).collect();
    let mut tried: Vec<&Open> = first.iter().collect();
    tried.sort_by(|a, b| b.clearance.total_cmp(&a.clearance));
    let climbs = if turns_only { 0 } else { CLIMBS };
    let climbed: Vec<(Look, usize)> = tried[..climbs.min(tried.len())]
        .par_iter()
        .filter_map(|open| Look::under(figure, &open.rotation, room))
        .map(|look| climb(of, look, Spins::around, progress))
        .collect::<Result<_, _>>()?;
    let upright = Look::under(figure, &start, room);
    looked_at += climbed.iter().map(|(_, looks)| looks).sum::<usize>();
    let Some(mut best) = climbed.iter().map(|(look, _)| *look).chain(upright).reduce(better) else { return Ok(None) };
    if let Some((found, _)) = climbed.iter().find(|(look, _)| fits(look) && accept(look)) {
        return Ok(Some(Exploration { best: *found, looked_at, end: End::Found }));
    }
    let mut open: BinaryHeap<Open> = first.into();
    loop {
        progress.check()?;
        let batch: Vec<Open> = std::iter::from_fn(|| open.pop()).take(BATCH).collect();
        let Some(at_most) = batch.iter().map(|open| open.at_most).reduce(f64::max) else {
            return Ok(Some(Exploration { best, looked_at, end: End::Excluded }));
        };
        if patience.is_over(looked_at, best.slack_mm, 2.0 * at_most) {
            return Ok(Some(Exploration { best, looked_at, end: End::Open { at_most_mm: 2.0 * at_most } }));
        }
        let parts: Vec<(Nearby, f64)> =
            batch.iter().flat_map(|open| open.split(of).into_iter().map(|part| (part, open.at_most))).collect();
        looked_at += parts.len();
        let parts: Vec<Open> = parts.into_par_iter().filter_map(|(part, most)| Open::of(of, part, most)).collect();
        for part in parts {
            if 2.0 * part.clearance > best.slack_mm + NO_GAP_MM
                && let Some(look) = Look::under(figure, &part.rotation, room)
            {
                let worth_a_climb = !turns_only && !fits(&look) && look.slack_mm > best.slack_mm + WORTH_A_CLIMB_MM;
                let (top, looks) = if worth_a_climb { climb(of, look, Spins::around, progress)? } else { (look, 1) };
                looked_at += looks;
                best = better(best, top);
                if fits(&top) && accept(&top) {
                    return Ok(Some(Exploration { best: top, looked_at, end: End::Found }));
                }
            }
            open.push(part);
        }
    }
}

/// Half widths of the boxes of rotations that a climb looks into: from a few degrees down to a thousandth of a millimetre
/// of a metre.
const CLIMB_FROM: f64 = 0.06;
const CLIMB_TO: f64 = 5e-7;
/// A climb's box becomes as much smaller where nothing better is in it, and larger where there is.
/// Our own choice, no source.
const CLIMB_SHRINK: f64 = 0.4;
const CLIMB_GROW: f64 = 1.5;
/// Steps of a climb at most: two dozen are the rule. Our own choice, no source.
const CLIMB_STEPS: usize = 80;
/// Lines between body and zones may turn by as much in a step as rotations do, and by this at least, rad.
/// Our own choice, no source.
const CLIMB_LINES_RAD: f64 = 1e-3;

/// Climbs from a pose to where none around is better, and says in how many looks: each step goes where the bound on those
/// around would have it.
fn climb(
    of: &Surroundings,
    from: Look,
    near: impl Fn(&UnitQuaternion<f64>, f64) -> Spins,
    progress: &Progress,
) -> Result<(Look, usize), Cancelled> {
    let (mut best, mut looks, mut half) = (from, 0, CLIMB_FROM);
    let mut rotation = best.rotation();
    let Some((mut clearance, mut zones)) = of.best_place(&rotation, half) else { return Ok((best, 1)) };
    let most = of.room.size_mm.into_iter().fold(f64::INFINITY, f64::min) / 2.0;
    for _ in 0..CLIMB_STEPS {
        if half <= CLIMB_TO {
            break;
        }
        progress.check()?;
        looks += 1;
        let nearby = Nearby { zones: zones.clone(), ..of.anywhere(near(&rotation, half)) };
        let lines_rad = (2.0 * half).max(CLIMB_LINES_RAD);
        let found = of.bound(&nearby, most, clearance).filter(|found| found.clearance > clearance + NO_GAP_MM / 10.0);
        let next = found.and_then(|found| Some((found.rotation, of.best_place(&found.rotation, lines_rad)?)));
        match next {
            Some((better, (left, towards))) if left > clearance => {
                (rotation, clearance, zones) = (better, left, towards);
                half = (half * CLIMB_GROW).min(CLIMB_FROM);
            }
            _ => half *= CLIMB_SHRINK,
        }
    }
    if let Some(top) = Look::under(of.figure, &rotation, of.room) {
        best = better(best, top);
    }
    Ok((best, looks + 1))
}

/// What may still hold a pose; the most promising is the greatest.
struct Open {
    nearby: Nearby,
    at_most: f64,
    rotation: UnitQuaternion<f64>,
    /// What is left in the pose of the bound.
    clearance: f64,
    next: Next,
}

/// What is split next.
#[derive(Clone, Copy, Debug)]
enum Next {
    /// The rotations, across a side.
    Spins(usize),
    /// The directions of a line that keeps a zone clear.
    Zone(usize),
    /// Where the body lies, along x or y.
    Place(usize),
}

impl Open {
    fn of(of: &Surroundings, nearby: Nearby, most: f64) -> Option<Open> {
        let enough = -ROUNDING_MM / 2.0;
        let bounded = of.bound(&nearby, most, enough)?;
        let (in_walls, in_zones) = of.left(&bounded)?;
        let clearance = in_zones.iter().copied().fold(in_walls, f64::min);
        let mut next = next(of, &bounded, &nearby, &in_zones);
        let mut most = bounded.at_most;
        if nearby.zones.iter().all(Option::is_none) {
            let reach = nearby.spins.reach();
            if clearance < -of.radius_mm * reach.chord {
                most = most.min(of.by_best_place(&nearby.spins, enough)?);
            }
            if !matches!(next, Next::Spins(_)) && reach.chord > ZONES_WITHIN {
                next = Next::Spins(bounded.gains.sides.imax());
            }
        }
        let Bounded { rotation, place, contacts, .. } = bounded;
        Some(Open { nearby: Nearby { place, contacts, ..nearby }, at_most: most, rotation, clearance, next })
    }

    fn split(&self, of: &Surroundings) -> Vec<Nearby> {
        let with_zone = |zone: usize, sector: Sector| {
            let mut part = self.nearby.clone();
            part.zones[zone] = Some(sector);
            part
        };
        match self.next {
            Next::Spins(axis) => {
                self.nearby.spins.split(axis).map(|spins| Nearby { spins, ..self.nearby.clone() }).into()
            }
            Next::Zone(zone) => match &self.nearby.zones[zone] {
                None => Sector::all().map(|sector| with_zone(zone, sector)).collect(),
                Some(sector) => {
                    let halves = sector.split(&of.walled.zones()[zone].corners);
                    halves.map(|sector| with_zone(zone, sector)).into()
                }
            },
            Next::Place(axis) => {
                let [low, high] = self.nearby.place[axis];
                let middle = f64::midpoint(low, high);
                let half = |side: [f64; 2]| {
                    let mut part = self.nearby.clone();
                    part.place[axis] = side;
                    part
                };
                vec![half([low, middle]), half([middle, high])]
            }
        }
    }
}

/// What is likely to lower the bound most is split.
fn next(of: &Surroundings, bounded: &Bounded, nearby: &Nearby, in_zones: &[f64]) -> Next {
    let gains = &bounded.gains;
    let side = gains.sides.imax();
    let mut best = (gains.sides[side], Next::Spins(side));
    let mut offer = |gain: f64, next: Next| {
        if gain > best.0.max(NO_GAP_MM) {
            best = (gain, next);
        }
    };
    for (axis, gain) in gains.place.iter().enumerate() {
        offer(*gain, Next::Place(axis));
    }
    for (zone, sector) in nearby.zones.iter().enumerate() {
        offer(gains.zones[zone], Next::Zone(zone));
        // What the pose of the bound enters may hold nothing of it yet.
        let share = if sector.is_some() { STILL_ENTERED_SHARE } else { ENTERED_SHARE };
        let entered = (bounded.clearance - in_zones[zone]) * share;
        let next = sector.as_ref().and_then(|sector| {
            let along = sector.along().abs();
            let slides = [0, 1].map(|axis| along[axis] * (bounded.place[axis][1] - bounded.place[axis][0]) / 2.0);
            let is_wide = slides[0] + slides[1] > sector.half_rad() * of.radius_mm;
            is_wide.then(|| Next::Place(usize::from(slides[1] > slides[0])))
        });
        offer(entered, next.unwrap_or(Next::Zone(zone)));
    }
    best.1
}

impl Ord for Open {
    fn cmp(&self, other: &Open) -> Ordering {
        self.at_most.total_cmp(&other.at_most)
    }
}

impl PartialOrd for Open {
    fn partial_cmp(&self, other: &Open) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl PartialEq for Open {
    fn eq(&self, other: &Open) -> bool {
        self.cmp(other).is_eq()
    }
}

impl Eq for Open {}
