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

use super::around::{Around, WITHOUT_CONTACT};
use super::place::Levelled;
use super::room::{Room, Walled};
use super::sector::Sector;
use super::spins::Spins;
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
    pub points: Vec<Vector>,
    pub lengths_mm: Vec<f64>,
    pub middle: Point,
    pub radius_mm: f64,
}

/// A point of the body that is kept from something, and holds the answer of a bound.
#[derive(Clone, Copy, Debug)]
pub(super) struct Contact {
    /// About the middle, in the frame of the piece.
    pub point: Vector,
    pub with: With,
}

#[derive(Clone, Copy, Debug)]
pub(super) enum With {
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
/// Our own choice, no source.
const CUT_MM: f64 = 0.002;
/// Rounds of adding points at most: a handful is the rule. Our own choice, no source.
const MOST_ROUNDS: usize = 30;
/// What a long side of a box of rotations is taken to add by itself, as a share of what it may: so that none stays long
/// for ever. Our own choice, no source.
const EVEN_SHARE: f64 = 0.1;

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
