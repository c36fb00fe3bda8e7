//! The flat strips that the surface of a cut consists of.

use std::collections::BTreeMap;

use seamwright_geometry::{CutSurface, Plane, Point, Vector};

use super::CapFace;
use crate::recipe::Cut;

/// The strips of a cut: one for a plane, one for each straight part of a profile's line.
pub(super) struct Strips {
    /// A strip's plane, and the two ends of its part of the line; the ends are apart along *w* from what they bound.
    strips: Vec<Strip>,
    along: Vector,
}

struct Strip {
    plane: Plane,
    from: Point,
    to: Point,
}

impl Strips {
    /// `None` where the numbers of the cut make no surface.
    pub fn of(cut: &Cut) -> Option<Strips> {
        let surface = cut.form.surface(&cut.plane).ok()?;
        let CutSurface::Profile(profile) = &surface else {
            let plane = cut.plane.plane().ok()?;
            let place = Point::from(cut.plane.through_mm);
            return Some(Strips { strips: vec![Strip { plane, from: place, to: place }], along: Vector::zeros() });
        };
        let (u, along) = (profile.along(), profile.axis());
        let points: Vec<Point> = profile.points().iter().map(|p| profile.place(*p, 0.0)).collect();
        let (first, last) = (*points.first()?, *points.last()?);
        // The rays at both ends, as parts as long as all the rest: which part is nearest is asked of places only.
        let reach = u * ((last - first).norm() + 1.0);
        let line: Vec<Point> = [first - reach].into_iter().chain(points).chain([last + reach]).collect();
        let strip = |ends: &[Point]| {
            let normal = along.cross(&(ends[1] - ends[0]));
            Some(Strip { plane: Plane::through(ends[0], normal).ok()?, from: ends[0], to: ends[1] })
        };
        Some(Strips { strips: line.windows(2).filter_map(strip).collect(), along })
    }

    /// The plane of a strip that [`sort`](Self::sort) named.
    pub fn plane(&self, strip: usize) -> &Plane {
        &self.strips[strip].plane
    }

    /// The faces by the strip that each belongs to: of those that it is nearly parallel to, the nearest.
    pub fn sort(&self, faces: Vec<CapFace>) -> BTreeMap<usize, Vec<CapFace>> {
        let mut sorted: BTreeMap<usize, Vec<CapFace>> = BTreeMap::new();
        for face in faces {
            sorted.entry(self.strip_of(&face)).or_default().push(face);
        }
        sorted
    }

    fn strip_of(&self, face: &CapFace) -> usize {
        let [a, b, c] = face.corners;
        let normal = (b - a).cross(&(c - a)).try_normalize(0.0).unwrap_or_default();
        let centre = Point::from((a.coords + b.coords + c.coords) / 3.0);
        let far = |strip: &Strip| {
            let leans = strip.plane.normal().dot(&normal).abs() < PARALLEL_COSINE;
            (leans, self.distance(strip, &centre))
        };
        let nearest = self.strips.iter().enumerate().min_by(|(_, a), (_, b)| {
            let ((a_leans, a), (b_leans, b)) = (far(a), far(b));
            a_leans.cmp(&b_leans).then(a.total_cmp(&b))
        });
        nearest.map_or(0, |(strip, _)| strip)
    }

    /// How far `place` is from a strip's part of the line, seen along *w*.
    fn distance(&self, strip: &Strip, place: &Point) -> f64 {
        let seen = |v: Vector| v - self.along * v.dot(&self.along);
        let (part, off) = (strip.to - strip.from, seen(place - strip.from));
        let share = if part.norm_squared() > 0.0 { off.dot(&part) / part.norm_squared() } else { 0.0 };
        (off - part * share.clamp(0.0, 1.0)).norm()
    }
}

/// Faces of a strip lie in its plane, but for rounding; a gap between the two sides turns none of them. The cosine of
/// eight degrees tells them from the next strip of a coarse line; of a finely flattened curve it may be the neighbour,
/// which lies as near. Our own choice, no source.
const PARALLEL_COSINE: f64 = 0.99;
