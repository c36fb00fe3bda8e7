//! A body in the middle one of some attitudes: what its points say of the others, as rows of a linear programme.

use super::ROUNDING_MM;
use super::disc::Circle;
use super::nearby::{Contact, Gains, Nearby, Surroundings, With};
use super::programme::{CLEARANCE, Programme, Row, Unknowns};
use super::sector::{Sector, Span};
use super::spins::Reach;
use crate::Vector;
use crate::hull::Point2;
use nalgebra::{UnitQuaternion, Vector2};

/// Rows that a programme begins with: both sides of six unknowns, and the most clearance.
pub(super) const WITHOUT_CONTACT: usize = 13;
/// Kinds of directions in which the farthest point is looked for on a round bed, each round. Our own choice, no source.
const ROUND_DIRECTIONS: usize = 8;

/// Points of a turned body, about its middle.
struct Covered {
    points: Vec<Vector>,
    lengths_mm: Vec<f64>,
}

/// A body in the middle one of some attitudes.
pub(super) struct Around<'a> {
    of: &'a Surroundings<'a>,
    whole: Covered,
    /// What of it is above each of the room's levels in all of them.
    above: Vec<Covered>,
    pub reach: Reach,
    /// Where the middle can come to.
    pub place: [[f64; 2]; 2],
}

impl<'a> Around<'a> {
    /// `None` where the body is too long everywhere.
    pub fn of(
        of: &'a Surroundings<'a>,
        nearby: &Nearby,
        centre: &UnitQuaternion<f64>,
        enough: f64,
    ) -> Option<Around<'a>> {
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
    pub fn ranges(&self, most: f64) -> Unknowns {
        let [x, y] = self.place.map(|[low, high]| low.abs().max(high.abs()));
        let radius = self.of.radius_mm;
        Unknowns::from_column_slice(&[radius, radius, radius, x, y, self.of.room.size_mm[2] + radius, most.abs()])
    }

    /// What is known without any point.
    pub fn programme(&self, most: f64) -> Option<Programme> {
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
    pub fn row(&self, nearby: &Nearby, contact: &Contact) -> Option<Row> {
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
    pub fn gain(&self, nearby: &Nearby, contact: &Contact, weight: f64, at: &Unknowns, gains: &mut Gains) {
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
    pub fn sticking_out(&self, nearby: &Nearby, at: &Unknowns) -> Vec<Contact> {
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
