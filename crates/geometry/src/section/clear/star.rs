//! What is seen from a place: the room up to the nearest wall in every direction.
//!
//! A ray sweeps once around the place and stops where a wall begins or ends (the angular sweep for visibility polygons:
//! T. Asano, "An efficient algorithm for finding the visibility polygon for a polygonal region with holes", Transactions
//! of the IECE of Japan E68(9):557–559, 1985). Walls may cross here, since shells may: between two stops all walls in
//! question span the whole angle, so that each is the nearest at most once and the next one is found where it crosses.

use std::f64::consts::{PI, TAU};

use super::OPENING_DEG;
use super::walls::{Walls, left_of};
use crate::section::frame::Flat;

/// The region that is seen, as a polygon around the place that it is seen from.
pub(super) struct Star {
    pub centre: Flat,
    /// Corners seen from `centre`, counter-clockwise.
    pub rim: Vec<Flat>,
    /// Straight across all gaps, mm.
    pub openings_mm: f64,
}

/// Share by which another wall must be nearer than the one followed: above the rounding of where a ray meets a wall, far
/// below anything that is measured.
const ROUNDING: f64 = 1e-12;

impl Star {
    /// `None` from within the material, from a wall, and where a gap is seen under more than [`OPENING_DEG`].
    pub fn seen(walls: &Walls, centre: Flat) -> Option<Star> {
        if !walls.is_free(&centre) {
            return None;
        }
        let sides = walls.sides.iter().map(|ends| Side::of(ends, &centre)).collect::<Option<Vec<Side>>>()?;
        let mut stops: Vec<Stop> = Vec::with_capacity(2 * sides.len());
        for (side, Side { ends, angles, .. }) in sides.iter().enumerate() {
            stops.push(Stop { angle: angles[0], begins: true, side, at: ends[0] });
            stops.push(Stop { angle: angles[1], begins: false, side, at: ends[1] });
        }
        stops.sort_by(|a, b| a.angle.total_cmp(&b.angle));
        let open = (0..sides.len()).filter(|&s| sides[s].angles[0] > sides[s].angles[1]).collect();
        let mut sweep = Sweep {
            sides: &sides,
            open,
            at: Flat::new(-1.0, 0.0),
            nearest: None,
            first: None,
            rim: Vec::new(),
            gaps: Gaps::default(),
        };
        sweep.nearest = sweep.nearest_at(&sweep.at);
        sweep.first = sweep.nearest;
        stops.chunk_by(|a, b| a.angle == b.angle).for_each(|group| sweep.stop(group));
        let (rim, openings_mm) = sweep.end()?;
        Some(Star { centre, rim, openings_mm })
    }
}

/// A wall as seen from the centre.
struct Side {
    /// The first is met first, counter-clockwise.
    ends: [Flat; 2],
    /// Where they are seen, above −π up to π. The first is larger where the wall crosses the direction of −x.
    angles: [f64; 2],
    /// Whether it is seen end on.
    is_point: bool,
}

impl Side {
    /// `None` where the centre is on it.
    fn of(ends: &[Flat; 2], centre: &Flat) -> Option<Side> {
        let turn = left_of(centre, &ends[0], &ends[1]);
        let mut ends = ends.map(|p| p - centre);
        if turn < 0.0 || turn == 0.0 && ends[1].norm() < ends[0].norm() {
            ends.swap(0, 1);
        }
        if ends[0].norm() == 0.0 || turn == 0.0 && ends[0].dot(&ends[1]) < 0.0 {
            return None;
        }
        let mut angles = ends.map(|p| if p.y == 0.0 && p.x < 0.0 { PI } else { p.y.atan2(p.x) });
        // Rounding may put the second of two that are seen as one before the first: that is no way all around.
        let is_point = turn == 0.0 || (angles[1] - angles[0]).rem_euclid(TAU) > PI || angles[0] == angles[1];
        if is_point {
            if ends[1].norm() < ends[0].norm() {
                ends.swap(0, 1);
            }
            angles = [angles[0]; 2];
        }
        Some(Side { ends, angles, is_point })
    }

    /// Where the ray through `towards` meets it.
    fn meets(&self, towards: &Flat) -> Flat {
        let [a, b] = &self.ends;
        if self.is_point || towards == a {
            return *a;
        }
        if towards == b {
            return *b;
        }
        let along = b - a;
        let share = a.perp(&along) / towards.perp(&along);
        let length = towards.norm();
        // What a wall that is seen at a grazing angle gives is kept between its ends and its foot.
        let foot = a.perp(b) / along.norm();
        let distance = (share * length).min(a.norm().max(b.norm())).max(foot);
        towards * (distance / length)
    }
}

struct Stop {
    angle: f64,
    begins: bool,
    side: usize,
    at: Flat,
}

struct Sweep<'a> {
    sides: &'a [Side],
    /// The walls that the ray crosses.
    open: Vec<usize>,
    /// Where the ray is.
    at: Flat,
    nearest: Option<usize>,
    /// The nearest wall where the sweep began.
    first: Option<usize>,
    rim: Vec<Flat>,
    gaps: Gaps,
}

impl Sweep<'_> {
    fn stop(&mut self, group: &[Stop]) {
        let Some(first) = group.first() else { return };
        self.go_on_to(&first.at);
        let before = self.nearest;
        let points = group.iter().filter(|stop| self.sides[stop.side].is_point).map(|stop| stop.at);
        let point = points.min_by(|a, b| a.norm_squared().total_cmp(&b.norm_squared()));
        let is_wall = |stop: &&Stop| !self.sides[stop.side].is_point;
        let (begin, end): (Vec<&Stop>, Vec<&Stop>) = group.iter().filter(is_wall).partition(|stop| stop.begins);
        self.open.extend(begin.iter().map(|stop| stop.side));
        self.open.retain(|&side| !end.iter().any(|stop| stop.side == side));
        let after = self.nearest_at(&first.at).map(|best| match before {
            Some(before) if self.open.contains(&before) && !self.is_nearer(best, before, &first.at) => before,
            _ => best,
        });
        let meets = |side: Option<usize>| side.map(|side| self.sides[side].meets(&first.at));
        let (from, to) = (meets(before), meets(after));
        let reach = [from, to].iter().flatten().map(|p| p.norm_squared()).fold(f64::INFINITY, f64::min);
        let point = point.filter(|p| p.norm_squared() < reach);
        if before == after && point.is_none() {
            return;
        }
        let seen: Vec<Flat> = [from, point, to].into_iter().flatten().collect();
        if from.is_none() {
            self.gaps.end(seen.first());
        }
        seen.iter().for_each(|p| self.add(*p));
        self.gaps.from = seen.last().copied().filter(|_| to.is_none());
        self.nearest = after;
    }

    /// The rim and the length across the gaps.
    fn end(mut self) -> Option<(Vec<Flat>, f64)> {
        let first = *self.rim.first()?;
        self.go_on_to(&Flat::new(-1.0, 0.0));
        // Back where it began: two walls may be equally near there.
        if self.nearest != self.first {
            let seen = [self.nearest, self.first].into_iter().flatten();
            let seen: Vec<Flat> = seen.map(|side| self.sides[side].meets(&self.at)).collect();
            seen.iter().for_each(|p| self.add(*p));
        }
        // A gap in which the sweep ends, it began in: its other side is what was seen first.
        self.gaps.end(Some(&first));
        let is_around = self.gaps.widest_rad <= OPENING_DEG.to_radians();
        (is_around && self.rim.len() > 2).then_some((self.rim, self.gaps.bridged_mm))
    }

    /// Turns the ray, following the nearest wall and changing to another where that crosses it.
    fn go_on_to(&mut self, next: &Flat) {
        // Each wall is the nearest once at most.
        for _ in 0..self.open.len() {
            let Some(nearest) = self.nearest else { break };
            let turned = |p: &Flat| self.at.perp(p).atan2(self.at.dot(p));
            let change = |&other: &usize| {
                let p = crossing(&self.sides[nearest], &self.sides[other])?;
                Some((turned(&p).clamp(0.0, turned(next).max(0.0)), other, p))
            };
            let nearer = self.open.iter().filter(|&&other| self.is_nearer(other, nearest, next));
            let Some((angle, other, p)) = nearer.filter_map(change).min_by(|a, b| a.0.total_cmp(&b.0)) else { break };
            if angle > 0.0 {
                self.add(p);
                self.at = p;
            } else {
                let [from, to] = [nearest, other].map(|side| self.sides[side].meets(&self.at));
                self.add(from);
                self.add(to);
            }
            self.nearest = Some(other);
        }
        self.at = *next;
    }

    fn nearest_at(&self, towards: &Flat) -> Option<usize> {
        let reach = |&side: &usize| self.sides[side].meets(towards).norm_squared();
        self.open.iter().copied().min_by(|a, b| reach(a).total_cmp(&reach(b)))
    }

    fn is_nearer(&self, side: usize, than: usize, towards: &Flat) -> bool {
        let [a, b] = [side, than].map(|side| self.sides[side].meets(towards).norm());
        a < b * (1.0 - ROUNDING)
    }

    fn add(&mut self, p: Flat) {
        if self.rim.last() != Some(&p) {
            self.rim.push(p);
        }
    }
}

/// Where the lines of two walls cross.
fn crossing(s: &Side, t: &Side) -> Option<Flat> {
    let ([a, b], [c, d]) = (&s.ends, &t.ends);
    let (along, other) = (b - a, d - c);
    let p = a + along * ((c - a).perp(&other) / along.perp(&other));
    p.iter().all(|x| x.is_finite()).then_some(p)
}

/// The gaps in the walls.
#[derive(Default)]
struct Gaps {
    /// Where the last wall ended, while no other has begun.
    from: Option<Flat>,
    bridged_mm: f64,
    widest_rad: f64,
}

impl Gaps {
    /// A wall begins here.
    fn end(&mut self, at: Option<&Flat>) {
        let (Some(from), Some(to)) = (self.from.take(), at) else { return };
        self.bridged_mm += (to - from).norm();
        // Beyond half a turn the angle is negative.
        let angle = from.perp(to).atan2(from.dot(to));
        self.widest_rad = self.widest_rad.max(if angle < 0.0 { TAU + angle } else { angle });
    }
}
