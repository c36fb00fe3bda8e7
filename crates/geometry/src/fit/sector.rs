//! Directions in which a line between a zone and a body may face.
//!
//! A convex body is clear of a convex zone where a line between them has all of the body on its far side: for a unit
//! vector u, every point x of the body and every corner z of the zone, u·(x − z) is at least the clearance c. Where u is
//! within an angle η of the middle direction v of a sector, and w is upright to v,
//!
//! > c ≤ v·(x − z) + tan η·|w·(x − z)|
//!
//! The last term is convex, so that between the least and the largest w·(x − z) that may come up it is at most its chord,
//! which is linear. Of a point right before the corner it is next to nothing: the one where the body's edge passes there
//! is asked for, as well as the corners of the body.

use super::ROUNDING_MM;
use crate::Vector;
use crate::hull::Point2;
use nalgebra::Vector2;
use std::f64::consts::TAU;

/// A range of directions, seen from above.
#[derive(Clone, Copy, Debug)]
pub(super) struct Sector {
    middle_rad: f64,
    half_rad: f64,
    /// The middle direction, and how far to the sides of it others reach.
    towards: Vector2<f64>,
    gives: f64,
}

/// Where along a line a point may come to, mm.
#[derive(Clone, Copy, Debug)]
pub(super) struct Span {
    pub middle_mm: f64,
    pub half_mm: f64,
}

/// Sectors to begin with. Our own choice, no source.
const FIRST_SECTORS: u32 = 8;
/// Directions nearer than this are the same, rad: a metre away they are a thousandth of a micrometre apart.
const SAME_RAD: f64 = 1e-9;
/// Steps in which the edge before a corner is looked for: each begins at a corner farther out.
/// Our own choice, no source.
const MOST_STEPS: usize = 64;
/// What the edge before a corner may still be found nearer by, mm.
const NEARER_MM: f64 = 1e-6;

impl Sector {
    /// All directions.
    pub fn all() -> impl Iterator<Item = Sector> {
        let half_rad = TAU / f64::from(FIRST_SECTORS) / 2.0;
        (0..FIRST_SECTORS).map(move |k| Sector::of(f64::from(2 * k) * half_rad, half_rad))
    }

    /// Directions near one.
    pub fn around(towards: &Vector2<f64>, half_rad: f64) -> Sector {
        Sector::of(towards.y.atan2(towards.x), half_rad)
    }

    fn of(middle_rad: f64, half_rad: f64) -> Sector {
        let towards = Vector2::new(middle_rad.cos(), middle_rad.sin());
        Sector { middle_rad, half_rad, towards, gives: half_rad.tan() }
    }

    /// Upright to the middle direction.
    pub fn along(&self) -> Vector2<f64> {
        Vector2::new(-self.towards.y, self.towards.x)
    }

    /// How far counter-clockwise a direction is from the middle.
    fn off(&self, angle_rad: f64) -> f64 {
        (angle_rad - self.middle_rad + TAU / 2.0).rem_euclid(TAU) - TAU / 2.0
    }

    /// The outward directions of a zone's edges that are within, from the middle, with the edges' ends.
    fn edges<'a>(&'a self, zone: &'a [Point2]) -> impl Iterator<Item = (f64, [Point2; 2])> + 'a {
        let next = zone.iter().cycle().skip(1);
        let edges = zone.iter().zip(next).map(|(a, b)| (self.off((a.x - b.x).atan2(b.y - a.y)), [*a, *b]));
        edges.filter(|(off, _)| off.abs() < self.half_rad - SAME_RAD)
    }

    /// Two halves; where edges of the zone face that way, they meet at one of those, since the farthest corner of the zone
    /// changes there.
    pub fn split(&self, zone: &[Point2]) -> [Sector; 2] {
        let at = self.edges(zone).map(|(off, _)| off).min_by(|a, b| a.abs().total_cmp(&b.abs())).unwrap_or(0.0);
        let part = |from: f64, to: f64| Sector::of(self.middle_rad + f64::midpoint(from, to), (to - from) / 2.0);
        [part(-self.half_rad, at), part(at, self.half_rad)]
    }

    /// The corners of a zone that reach farthest in some direction of the sector.
    pub fn corners(&self, zone: &[Point2]) -> Vec<Point2> {
        let farthest = |off: f64| {
            let towards = Vector2::new((self.middle_rad + off).cos(), (self.middle_rad + off).sin());
            zone.iter().max_by(|p, q| towards.dot(&p.coords).total_cmp(&towards.dot(&q.coords))).copied()
        };
        let ends = [-self.half_rad, 0.0, self.half_rad].into_iter().filter_map(farthest);
        let mut corners: Vec<Point2> = ends.chain(self.edges(zone).flat_map(|(_, ends)| ends)).collect();
        corners.sort_unstable_by(|p, q| p.x.total_cmp(&q.x).then(p.y.total_cmp(&q.y)));
        corners.dedup();
        corners
    }

    /// What a point keeps to that is kept from a corner of a zone, and may come to `span`: `normal · x + clearance` is no
    /// more than the second. It holds for poses that fit.
    pub fn row(&self, corner: &Point2, span: &Span) -> (Vector2<f64>, f64) {
        let (slope, offset) = self.chord(corner, span);
        let inward = self.towards + self.along() * (self.gives * slope);
        // Clearances a little below none are asked for, which grow by no more than this.
        (-inward, -inward.dot(&corner.coords) + self.gives * offset + ROUNDING_MM)
    }

    /// Half of the range.
    pub fn half_rad(&self) -> f64 {
        self.half_rad
    }

    /// How much a row gives a point over what is asked for in the middle direction, and how much of it is due to the chord.
    pub fn given(&self, corner: &Point2, span: &Span, at: &Point2) -> (f64, f64) {
        let (slope, offset) = self.chord(corner, span);
        let along = self.along().dot(&(at - corner));
        let chord = (slope * along + offset).max(0.0);
        (self.gives * chord, self.gives * (chord - along.abs()).max(0.0))
    }

    /// The chord of |w·(x − z)|, as its slope and its value where w·(x − z) is none.
    fn chord(&self, corner: &Point2, span: &Span) -> (f64, f64) {
        let middle = span.middle_mm - self.along().dot(&corner.coords);
        let (low, high) = (middle - span.half_mm, middle + span.half_mm);
        if low >= 0.0 {
            (1.0, 0.0)
        } else if high <= 0.0 {
            (-1.0, 0.0)
        } else {
            ((high + low) / (high - low), -2.0 * high * low / (high - low))
        }
    }

    /// Points of a body that come nearest to a corner of a zone: one of its own corners, and the point of the edge that
    /// passes right before it. `seen` says where they are from above, `span` where each may come to.
    pub fn nearest(
        &self,
        corner: &Point2,
        body: &[Vector],
        seen: &[Point2],
        span: impl Fn(usize) -> Span,
    ) -> impl Iterator<Item = Vector> {
        let (towards, along, gives) = (self.towards, self.along(), self.gives);
        let place = |p: &Point2| (along.dot(&(p - corner)), towards.dot(&(p - corner)));
        let places: Vec<(f64, f64)> = seen.iter().map(place).collect();
        let apart = |k: usize| {
            let (slope, offset) = self.chord(corner, &span(k));
            places[k].1 + gives * (slope * places[k].0 + offset)
        };
        let nearest = (0..body.len()).map(|k| (apart(k), k)).min_by(|a, b| a.0.total_cmp(&b.0));
        let before = edge_before(&places).map(|(i, j, share)| body[i] + (body[j] - body[i]) * share);
        nearest.map(|(_, k)| body[k]).into_iter().chain(before)
    }
}

/// Of points given by how far along a line they are and how far before it, the two between which their hull is least far
/// before its origin, and the share of the way from the one to the other.
fn edge_before(places: &[(f64, f64)]) -> Option<(usize, usize, f64)> {
    let least = |k: &usize, l: &usize| places[*k].1.total_cmp(&places[*l].1);
    let mut left = (0..places.len()).filter(|k| places[*k].0 <= 0.0).min_by(least)?;
    let mut right = (0..places.len()).filter(|k| places[*k].0 > 0.0).min_by(least)?;
    for _ in 0..MOST_STEPS {
        let slope = (places[right].1 - places[left].1) / (places[right].0 - places[left].0);
        let below = |k: usize| places[k].1 - places[left].1 - slope * (places[k].0 - places[left].0);
        let lowest = (0..places.len()).map(|k| (below(k), k)).min_by(|a, b| a.0.total_cmp(&b.0))?;
        if lowest.0 >= -NEARER_MM {
            break;
        }
        if places[lowest.1].0 <= 0.0 { left = lowest.1 } else { right = lowest.1 }
    }
    Some((left, right, -places[left].0 / (places[right].0 - places[left].0)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::hull::convex_polygon;
    use proptest::prelude::*;

    fn polygon() -> impl Strategy<Value = Vec<Point2>> {
        prop::collection::vec([-20.0_f64..20.0, -20.0_f64..20.0], 3..12)
            .prop_map(|points| convex_polygon(points.into_iter().map(Point2::from).collect()))
            .prop_filter("flat", |polygon| polygon.len() > 2)
    }

    proptest! {
        /// Wherever a line keeps a body clear, the rows of the sector it faces allow as much.
        #[test]
        fn a_sector_allows_all_that_its_lines_keep_clear(
            zone in polygon(), body in polygon(), shift in [-60.0_f64..60.0, -60.0_f64..60.0], angle in 0.0..TAU, splits in 0..6,
        ) {
            let shift = Vector2::from(shift);
            let u = Vector2::new(angle.cos(), angle.sin());
            let reach = |points: &[Point2], u: &Vector2<f64>| points.iter().map(|p| u.dot(&p.coords)).fold(f64::NEG_INFINITY, f64::max);
            let clearance = -reach(&body, &-u) + u.dot(&shift) - reach(&zone, &u);
            prop_assume!(clearance >= 0.0);
            let mut sector = Sector::all().find(|sector| sector.off(angle).abs() <= sector.half_rad).unwrap();
            for _ in 0..splits {
                sector = sector.split(&zone).into_iter().find(|half| half.off(angle).abs() <= half.half_rad + 1e-9).unwrap();
            }
            let points: Vec<Vector> = body.iter().map(|p| Vector::new(p.x, p.y, 0.0)).collect();
            let seen: Vec<Point2> = body.iter().map(|p| p + shift).collect();
            let span = |p: &Vector| Span { middle_mm: sector.along().dot(&(p.xy() + shift)), half_mm: 5.0 };
            let span_of = |k: usize| span(&points[k]);
            let corners = sector.corners(&zone);
            prop_assert!(!corners.is_empty());
            for corner in &corners {
                for point in sector.nearest(corner, &points, &seen, span_of) {
                    let (normal, at_most) = sector.row(corner, &span(&point));
                    prop_assert!(normal.dot(&(point.xy() + shift)) + clearance <= at_most + 1e-9);
                }
            }
        }
    }

    #[test]
    fn the_edge_before_a_corner_is_found() {
        let places = [(-5.0, 2.0), (-1.0, 3.0), (4.0, 1.0), (6.0, 9.0), (0.5, 4.0)];
        let (left, right, share) = edge_before(&places).unwrap();
        assert_eq!((left, right), (0, 2));
        assert!((share - 5.0 / 9.0).abs() < 1e-12);
        assert_eq!(edge_before(&places[..2]), None);
    }
}
