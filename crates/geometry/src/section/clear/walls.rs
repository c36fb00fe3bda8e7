//! What bounds the free space of a section, in the coordinates of its plane.

use robust::{Coord, orient2d};

use crate::hull::{Point2, convex_polygon};
use crate::section::frame::{Flat, Frame};
use crate::section::{Section, SectionLoop};
use crate::{Plane, Point};

/// All lines of a section, cut into straight walls.
pub(super) struct Walls {
    /// Those of closed lines first: they bound the material.
    pub sides: Vec<[Flat; 2]>,
    closed: usize,
    /// The convex hull, counter-clockwise.
    hull: Vec<[Flat; 2]>,
    /// Lowest and highest coordinates.
    pub low: Flat,
    pub high: Flat,
    frame: Frame,
}

impl Walls {
    /// `None` without walls that enclose an area, and for coordinates whose squares leave the range of numbers. Lines
    /// with coordinates that are not finite are left out.
    pub fn of(section: &Section, plane: &Plane) -> Option<Walls> {
        let is_measurable = |line: &&SectionLoop| line.points.iter().all(|p| p.iter().all(|x| x.is_finite()));
        let mut lines: Vec<&SectionLoop> = section.loops.iter().filter(is_measurable).collect();
        lines.sort_by_key(|line| !line.closed);
        let frame = Frame::at(plane, *lines.first()?.points.first()?);
        let (mut sides, mut closed) = (Vec::new(), 0);
        for line in lines {
            let places: Vec<Flat> = line.points.iter().map(|p| frame.flat(p)).collect();
            sides.extend(places.windows(2).map(|pair| [pair[0], pair[1]]));
            if let ([first, ..], [.., last], true) = (&places[..], &places[..], line.closed) {
                sides.push([*last, *first]);
                closed = sides.len();
            }
        }
        let corners: Vec<Point2> = sides.iter().flatten().map(|p| Point2::from(*p)).collect();
        let (low, high) = sides
            .iter()
            .flatten()
            .fold((Flat::repeat(f64::INFINITY), Flat::repeat(f64::NEG_INFINITY)), |(low, high), p| {
                (low.inf(p), high.sup(p))
            });
        if !(high - low).norm_squared().is_finite() {
            return None;
        }
        let corners: Vec<Flat> = convex_polygon(corners).iter().map(|p| p.coords).collect();
        let hull: Vec<[Flat; 2]> = around(&corners).collect();
        (hull.len() > 2).then_some(Walls { sides, closed, hull, low, high, frame })
    }

    /// Whether `p` is neither in the material nor on its rim. The material is what the closed lines go round, either way
    /// and however often.
    pub fn is_free(&self, p: &Flat) -> bool {
        let mut turns = 0;
        for [a, b] in &self.sides[..self.closed] {
            let (a_is_below, b_is_below) = (a.y <= p.y, b.y <= p.y);
            if a_is_below == b_is_below {
                continue;
            }
            let left = left_of(a, b, p);
            if left == 0.0 {
                return false;
            }
            if (left > 0.0) == a_is_below {
                turns += if a_is_below { 1 } else { -1 };
            }
        }
        turns == 0
    }

    /// Radius of the largest circle around `p` that no wall crosses and that stays within the hull of all walls, mm;
    /// negative outside of the hull and in the material: then it is how far at least the free space within is.
    pub fn room_around(&self, p: &Flat) -> f64 {
        let inwards = |[a, b]: &[Flat; 2]| (b - a).perp(&(p - a)) / (b - a).norm();
        let within = self.hull.iter().map(inwards).fold(f64::INFINITY, f64::min);
        let nearest = self.sides.iter().map(|side| distance_squared(p, side)).fold(f64::INFINITY, f64::min).sqrt();
        if self.is_free(p) { within.min(nearest) } else { within.min(-nearest) }
    }

    pub fn flat(&self, p: &Point) -> Flat {
        self.frame.flat(p)
    }

    pub fn place(&self, p: &Flat) -> Point {
        self.frame.place(p)
    }
}

/// The edges of a polygon with these corners.
pub(super) fn around(corners: &[Flat]) -> impl Iterator<Item = [Flat; 2]> + '_ {
    corners.iter().zip(corners.iter().cycle().skip(1)).map(|(a, b)| [*a, *b])
}

/// Positive where `p` lies to the left of the way from `a` to `b`, zero where on it: the sign is exact.
pub(super) fn left_of(a: &Flat, b: &Flat, p: &Flat) -> f64 {
    let coord = |p: &Flat| Coord { x: p.x, y: p.y };
    orient2d(coord(a), coord(b), coord(p))
}

fn distance_squared(p: &Flat, [a, b]: &[Flat; 2]) -> f64 {
    let (along, towards) = (b - a, p - a);
    let length_squared = along.norm_squared();
    let share = if length_squared > 0.0 { (towards.dot(&along) / length_squared).clamp(0.0, 1.0) } else { 0.0 };
    (towards - along * share).norm_squared()
}
