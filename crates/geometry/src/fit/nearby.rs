//! What bounds the clearance of a body in all attitudes of a box of rotations.
//!
//! A point q of the body, about the middle of a sphere around it, is brought to q + s×q + (1 − cos θ)·(k(k·q) − q) by a
//! rotation by θ about the unit axis k, where s = k·sin θ. A wall with the outward normal n at a distance b, or a floor or
//! ceiling, leaves no more clearance than
//!
//! > b − n·(q + t) − s·(q×n) + (1 − cos θ)·(|q| + n·q)/2
//!
//! where t is where the middle comes to. That is linear in s and t but for the last term, which is of second order: what
//! all points and walls leave is a linear programme, and its answer bounds the clearance of a whole box of rotations far
//! more closely than how far points may move. Points are added to the programme as they stick out of its answer.
//!
//! A zone is kept clear of by a line between, whose direction is one more unknown: see [`Sector`].

use super::disc::Circle;
use super::place::Levelled;
use super::programme::{CLEARANCE, Programme, Row, Unknowns};
use super::room::{Room, Walled};
use super::sector::{Sector, Span};
use super::spins::{Reach, Spins};
use super::{Figure, ROUNDING_MM};
use crate::hull::Point2;
use crate::{Point, Vector};
use nalgebra::{UnitQuaternion, Vector2, Vector3};

/// A body and a room, made ready.
pub(super) struct Surroundings<'a> {
    pub room: &'a Room,
    pub walled: &'a Walled,
    pub figure: &'a Figure<'a>,
    /// The points about the middle of a sphere around them.
    points: Vec<Vector>,
    lengths_mm: Vec<f64>,
    pub middle: Point,
    pub radius_mm: f64,
}

/// A point of the body that is kept from something, and holds the answer of a bound.
#[derive(Clone, Copy, Debug)]
pub(super) struct Contact {
    /// About the middle, in the frame of the piece.
    point: Vector,
    with: With,
}

#[derive(Clone, Copy, Debug)]
enum With {
    /// Kept to `normal · x ≤ at_most`.
    Flat {
        normal: Vector,
        at_most: f64,
    },
    Zone {
        zone: usize,
        corner: Point2,
    },
}

/// Attitudes and places that a bound speaks of.
#[derive(Clone, Debug)]
pub(super) struct Nearby {
    pub spins: Spins,
    /// Where the middle of the body comes to, seen from above: least and largest.
    pub place: [[f64; 2]; 2],
    /// Of each zone, the directions in which a line keeps it clear; none where that is not asked for.
    pub zones: Vec<Option<Sector>>,
    /// What is looked at first: what held the bound of those that these are a part of.
    pub contacts: Vec<Contact>,
}

/// The bound, and the pose that it belongs to.
#[derive(Clone, Debug)]
pub(super) struct Bounded {
    /// No pose nearby has a greater clearance.
    pub at_most: f64,
    /// The clearance of the programme's answer, and its pose.
    pub clearance: f64,
    pub rotation: UnitQuaternion<f64>,
    pub shift: Vector2<f64>,
    /// What of the place is left.
    pub place: [[f64; 2]; 2],
    pub contacts: Vec<Contact>,
    /// What the bound is likely to lose when something is halved.
    pub gains: Gains,
}

/// What a bound is likely to lose, mm.
#[derive(Clone, Debug)]
pub(super) struct Gains {
    /// When a side of the box of rotations is halved.
    pub sides: Vector3<f64>,
    /// When the directions of a line that keeps a zone clear are halved.
    pub zones: Vec<f64>,
    /// When where the body lies is halved along x or y.
    pub place: [f64; 2],
}

/// A point is added where it oversteps by more than this, mm: what is lost by leaving others out.
const CUT_MM: f64 = 0.002;
/// Rounds of adding points at most: a handful is the rule.
const MOST_ROUNDS: usize = 30;
/// Rows that a programme begins with: both sides of six unknowns, and the most clearance.
const WITHOUT_CONTACT: usize = 13;
/// What a long side of a box of rotations is taken to add by itself, as a share of what it may: so that none stays long
/// for ever. Our own choice, no source.
const EVEN_SHARE: f64 = 0.1;
/// Kinds of directions in which the farthest point is looked for on a round bed, each round.
const ROUND_DIRECTIONS: usize = 8;

impl<'a> Surroundings<'a> {
    pub fn of(figure: &'a Figure<'a>, room: &'a Room, walled: &'a Walled) -> Option<Surroundings<'a>> {
        let (middle, radius_mm) = super::limits::sphere_around(figure.points())?;
        let points: Vec<Vector> = figure.points().iter().map(|p| p - middle).collect();
        let lengths_mm = points.iter().map(Vector::norm).collect();
        Some(Surroundings { room, walled, figure, points, lengths_mm, middle, radius_mm: radius_mm.max(ROUNDING_MM) })
    }

    /// Anywhere in the room.
    pub fn anywhere(&self, spins: Spins) -> Nearby {
        let side = |k: usize| [self.room.middle[k] - self.room.size_mm[k], self.room.middle[k] + self.room.size_mm[k]];
        let zones = vec![None; self.walled.zones().len()];
        Nearby { spins, place: [side(0), side(1)], zones, contacts: Vec::new() }
    }

    /// The bound on attitudes nearby, of which none has a clearance above `parent_at_most`. `None` where none leaves as
    /// much as `enough`; it holds for poses that fit.
    pub fn bound(&self, nearby: &Nearby, parent_at_most: f64, enough: f64) -> Option<Bounded> {
        let centre = nearby.spins.centre();
        let around = Around::of(self, nearby, &centre, enough)?;
        let mut programme = around.programme(parent_at_most)?;
        let mut contacts = Vec::new();
        for contact in &nearby.contacts {
            let contact = Contact { point: centre * contact.point, ..*contact };
            if let Some(row) = around.row(nearby, &contact) {
                programme.add(row);
                contacts.push(contact);
            }
        }
        for _ in 0..MOST_ROUNDS {
            programme.solve(enough);
            if programme.clearance() < enough {
                break;
            }
            let before = contacts.len();
            for contact in around.sticking_out(nearby, programme.at()) {
                if let Some(row) = around.row(nearby, &contact).filter(|row| row.over(programme.at()) > CUT_MM) {
                    programme.add(row);
                    contacts.push(contact);
                }
            }
            if contacts.len() == before {
                break;
            }
        }
        let at_most = programme.at_most(&around.ranges(parent_at_most)).min(parent_at_most);
        if at_most < enough {
            return None;
        }
        let even = around.reach.edges.map(|edge| edge.norm_squared() * EVEN_SHARE * self.radius_mm);
        let mut gains = Gains { sides: even.into(), zones: vec![0.0; nearby.zones.len()], place: [0.0; 2] };
        let mut holding = Vec::new();
        for (row, weight, at_most) in programme.held() {
            if let Some(contact) = row.checked_sub(WITHOUT_CONTACT).and_then(|row| contacts.get(row)) {
                around.gain(nearby, contact, weight, programme.at(), &mut gains);
                holding.push(Contact { point: centre.inverse() * contact.point, ..*contact });
            } else if row < WITHOUT_CONTACT && (row % 7) < 3 {
                gains.sides[row % 7] += 0.5 * weight * at_most;
            }
        }
        let at = programme.at();
        let sine: Vector = at.fixed_rows::<3>(0) / self.radius_mm;
        let turn = match sine.try_normalize(0.0) {
            Some(axis) => UnitQuaternion::from_scaled_axis(axis * sine.norm().min(1.0).asin()),
            None => UnitQuaternion::identity(),
        };
        let (rotation, shift) = (turn * centre, Vector2::new(at[3], at[4]));
        let clearance = programme.clearance();
        Some(Bounded { at_most, clearance, rotation, shift, place: around.place, contacts: holding, gains })
    }
}

impl Surroundings<'_> {
    /// What no pose nearby leaves more of, by the best place in the middle attitude: zones are told exactly there, and no
    /// point is farther from where it is then than this gives it. `None` where none leaves room enough.
    pub fn by_best_place(&self, spins: &Spins, enough: f64) -> Option<f64> {
        let gives_mm = self.radius_mm * spins.reach().chord;
        let levels: Vec<f64> = self.room.levels_mm().iter().map(|level| level + 2.0 * gives_mm).collect();
        let shadow = self.figure.seen(&Levelled::under(&spins.centre()), &levels)?.shadow();
        let spot = self.walled.spot(&shadow, enough - gives_mm)?;
        Some(spot.at_most + gives_mm).filter(|at_most| *at_most >= enough)
    }

    /// The best place of the body under a rotation: where the middle comes to, what is left there, and the directions of
    /// lines that keep it clear of the zones, none of them wider than `half_rad` to either side.
    pub fn best_place(&self, rotation: &UnitQuaternion<f64>, half_rad: f64) -> Option<(f64, Vec<Option<Sector>>)> {
        let seen = self.figure.seen(&Levelled::under(rotation), self.room.levels_mm())?;
        let spare_mm = self.room.size_mm[2] - seen.height_mm;
        let shadow = seen.shadow();
        let spot = self.walled.spot(&shadow, f64::NEG_INFINITY)?;
        let sector = |towards: Option<Vector2<f64>>| towards.map(|towards| Sector::around(&towards, half_rad));
        let sectors = self.walled.clear_towards(&shadow.moved(spot.shift)).map(sector).collect();
        Some((spot.clearance.min(spare_mm / 2.0), sectors))
    }

    /// What is left in the pose of a bound: to the walls, the floor and the ceiling, and to each of the zones.
    pub fn left(&self, bounded: &Bounded) -> Option<(f64, Vec<f64>)> {
        let seen = self.figure.seen(&Levelled::under(&bounded.rotation), self.room.levels_mm())?;
        let height_mm = seen.height_mm;
        let to = bounded.shift - (bounded.rotation * self.middle).xy().coords;
        let shadow = seen.shadow().moved(to);
        let (walls, zones) = self.walled.left(&shadow);
        Some((walls.min((self.room.size_mm[2] - height_mm) / 2.0), zones))
    }
}

/// Points of a turned body, about its middle.
struct Covered {
    points: Vec<Vector>,
    lengths_mm: Vec<f64>,
}

/// A body in the middle one of some attitudes.
struct Around<'a> {
    of: &'a Surroundings<'a>,
    whole: Covered,
    /// What of it is above each of the room's levels in all of them.
    above: Vec<Covered>,
    reach: Reach,
    /// Where the middle can come to.
    place: [[f64; 2]; 2],
}

impl<'a> Around<'a> {
    /// `None` where the body is too long everywhere.
    fn of(of: &'a Surroundings<'a>, nearby: &Nearby, centre: &UnitQuaternion<f64>, enough: f64) -> Option<Around<'a>> {
        let reach = nearby.spins.reach();
        let turn = centre.to_rotation_matrix();
        let points: Vec<Vector> = of.points.iter().map(|p| turn * p).collect();
        let mut place = nearby.place;
        for (k, [low, high]) in place.iter_mut().enumerate() {
            // Whatever the attitude, a point is no nearer to the wall than it is now, less what it moves.
            let (mut to_low, mut to_high) = (0.0_f64, 0.0_f64);
            for (point, length) in points.iter().zip(&of.lengths_mm) {
                let moved = length * reach.chord;
                (to_low, to_high) = (to_low.max(-point[k] - moved), to_high.max(point[k] - moved));
            }
            let (middle, half) = (of.room.middle[k], of.room.size_mm[k] / 2.0 - enough);
            (*low, *high) = (low.max(middle - half + to_low), high.min(middle + half - to_high));
            if *low > *high {
                return None;
            }
        }
        let above =
            of.walled.levels_mm.iter().map(|level| above(&points, of, level + 2.0 * of.radius_mm * reach.chord));
        let above =
            above.map(|points| Covered { lengths_mm: points.iter().map(Vector::norm).collect(), points }).collect();
        let whole = Covered { points, lengths_mm: of.lengths_mm.clone() };
        Some(Around { of, whole, above, reach, place })
    }

    /// How far from nothing the unknowns may be.
    fn ranges(&self, most: f64) -> Unknowns {
        let [x, y] = self.place.map(|[low, high]| low.abs().max(high.abs()));
        let radius = self.of.radius_mm;
        Unknowns::from_column_slice(&[radius, radius, radius, x, y, self.of.room.size_mm[2] + radius, most.abs()])
    }

    /// What is known without any point.
    fn programme(&self, most: f64) -> Option<Programme> {
        let side = |k: usize, sign: f64, at_most: f64| Row { row: Unknowns::ith(k, sign), at_most };
        let [[left, right], [front, back]] = self.place;
        let (radius, height) = (self.of.radius_mm, self.of.room.size_mm[2]);
        let spins = self.reach.sides(radius)?;
        let mut rows = spins[..3].to_vec();
        rows.extend([side(3, -1.0, -left), side(4, -1.0, -front), side(5, -1.0, radius)]);
        rows.push(side(CLEARANCE, 1.0, most));
        rows.extend(&spins[3..]);
        rows.extend([side(3, 1.0, right), side(4, 1.0, back), side(5, 1.0, height + radius)]);
        debug_assert_eq!(rows.len(), WITHOUT_CONTACT);
        Programme::new(rows)
    }

    /// What a contact keeps to, its point turned to the middle attitude.
    fn row(&self, nearby: &Nearby, contact: &Contact) -> Option<Row> {
        let point = &contact.point;
        let (normal, at_most) = match &contact.with {
            With::Flat { normal, at_most } => (*normal, *at_most),
            With::Zone { zone, corner } => {
                let sector = nearby.zones[*zone].as_ref()?;
                let (normal, at_most) = sector.row(corner, &self.span(sector, point, point.norm()));
                (Vector::new(normal.x, normal.y, 0.0), at_most)
            }
        };
        let mut row = Unknowns::zeros();
        row.fixed_rows_mut::<3>(0).copy_from(&(point.cross(&normal) / self.of.radius_mm));
        row.fixed_rows_mut::<3>(3).copy_from(&normal);
        row[CLEARANCE] = 1.0;
        Some(Row { row, at_most: at_most - normal.dot(point) + self.reach.taken_off(&normal, point) })
    }

    /// What is likely to be gained by halving, where a contact holds the answer with so much weight.
    fn gain(&self, nearby: &Nearby, contact: &Contact, weight: f64, at: &Unknowns, gains: &mut Gains) {
        let normal = match &contact.with {
            With::Flat { normal, .. } => *normal,
            With::Zone { zone, corner } => {
                let Some(sector) = &nearby.zones[*zone] else { return };
                let sine: Vector = at.fixed_rows::<3>(0) / self.of.radius_mm;
                let span = self.span(sector, &contact.point, contact.point.norm());
                let (given, chord_above) = sector.given(corner, &span, &self.seen(&contact.point, &sine, at));
                gains.zones[*zone] += 0.5 * weight * given;
                let along = sector.along().abs();
                for (axis, gain) in gains.place.iter_mut().enumerate() {
                    let slides = along[axis] * (self.place[axis][1] - self.place[axis][0]) / 2.0;
                    *gain += 0.5 * weight * chord_above * slides / span.half_mm.max(ROUNDING_MM);
                }
                let (normal, _) = sector.row(corner, &span);
                Vector::new(normal.x, normal.y, 0.0)
            }
        };
        // Of second order: half a side takes off a quarter.
        gains.sides += self.reach.taken_off_by_edges(&normal, &contact.point) * (0.75 * weight);
    }

    /// Points that stick out of the programme's answer most.
    fn sticking_out(&self, nearby: &Nearby, at: &Unknowns) -> Vec<Contact> {
        let sine: Vector = at.fixed_rows::<3>(0) / self.of.radius_mm;
        let mut contacts = Vec::new();
        let mut flat = |normal: Vector, at_most: f64| {
            let point = self.farthest(&normal, &sine);
            contacts.extend(point.map(|point| Contact { point: *point, with: With::Flat { normal, at_most } }));
        };
        flat(-Vector::z(), 0.0);
        flat(Vector::z(), self.of.room.size_mm[2]);
        match self.of.walled.round() {
            None => {
                for wall in self.of.walled.walls() {
                    flat(Vector::new(wall.normal.x, wall.normal.y, 0.0), wall.at_most);
                }
            }
            Some(circle) => contacts.extend(self.beyond(circle, &sine, at)),
        }
        for (index, (zone, sector)) in self.of.walled.zones().iter().zip(&nearby.zones).enumerate() {
            let Some(sector) = sector else { continue };
            let covered = zone.level.map_or(&self.whole, |level| &self.above[level]);
            let seen: Vec<Point2> = covered.points.iter().map(|point| self.seen(point, &sine, at)).collect();
            let span = |k: usize| self.span(sector, &covered.points[k], covered.lengths_mm[k]);
            for corner in sector.corners(&zone.corners) {
                let points = sector.nearest(&corner, &covered.points, &seen, span);
                contacts.extend(points.map(|point| Contact { point, with: With::Zone { zone: index, corner } }));
            }
        }
        contacts
    }

    /// The farthest points from the middle of a round wall, on all sides.
    fn beyond(&self, circle: &Circle, sine: &Vector, at: &Unknowns) -> impl Iterator<Item = Contact> {
        let mut farthest: [Option<(f64, usize, Vector2<f64>)>; ROUND_DIRECTIONS] = [None; ROUND_DIRECTIONS];
        for (index, point) in self.whole.points.iter().enumerate() {
            let seen = self.seen(point, sine, at) - circle.centre;
            let distance = seen.norm();
            let turn = seen.y.atan2(seen.x) / std::f64::consts::TAU + 0.5;
            let kind = ((turn * ROUND_DIRECTIONS as f64) as usize).min(ROUND_DIRECTIONS - 1);
            if distance > 0.0 && farthest[kind].is_none_or(|(before, ..)| distance > before) {
                farthest[kind] = Some((distance, index, seen));
            }
        }
        farthest.into_iter().flatten().map(|(distance, index, seen)| {
            let normal = Vector::new(seen.x, seen.y, 0.0) / distance;
            let at_most = circle.radius + circle.centre.coords.dot(&normal.xy());
            Contact { point: self.whole.points[index], with: With::Flat { normal, at_most } }
        })
    }

    /// Where along a sector's line a point may come to, in attitudes and places nearby.
    fn span(&self, sector: &Sector, point: &Vector, length_mm: f64) -> Span {
        let along = sector.along();
        let [x, y] = self.place;
        let middle = Vector2::new((x[0] + x[1]) / 2.0, (y[0] + y[1]) / 2.0);
        let half = Vector2::new((x[1] - x[0]) / 2.0, (y[1] - y[0]) / 2.0);
        let half_mm = along.abs().dot(&half) + length_mm * self.reach.chord;
        Span { middle_mm: along.dot(&(point.xy() + middle)), half_mm }
    }

    /// The point that sticks out most in a direction, turned on a little.
    fn farthest(&self, normal: &Vector, sine: &Vector) -> Option<&Vector> {
        let direction = normal + normal.cross(sine) - self.reach.mean_taken_off(normal);
        let points = &self.whole.points;
        let along = |k: usize| direction.dot(&points[k]);
        let farthest = (0..points.len()).map(|k| (along(k), k)).max_by(|a, b| a.0.total_cmp(&b.0))?;
        Some(&points[farthest.1])
    }

    /// A point seen from above in the programme's answer.
    fn seen(&self, point: &Vector, sine: &Vector, at: &Unknowns) -> Point2 {
        let moved = sine.cross(point);
        Point2::new(point.x + moved.x + at[3], point.y + moved.y + at[4])
    }
}

/// What of a turned body is higher than `level` over its lowest point.
fn above(points: &[Vector], of: &Surroundings, level: f64) -> Vec<Vector> {
    let level = points.iter().map(|p| p.z).fold(f64::INFINITY, f64::min) + level;
    let mut above: Vec<Vector> = points.iter().filter(|p| p.z > level).copied().collect();
    if above.is_empty() {
        return above;
    }
    for [i, j] in of.figure.edges().iter().map(|ends| ends.map(|i| i as usize)) {
        let (h, k) = (points[i].z - level, points[j].z - level);
        if (h > 0.0) != (k > 0.0) {
            above.push(points[i] + (points[j] - points[i]) * (h / (h - k)));
        }
    }
    above
}
