//! A curve drawn in a frame and extruded.

use super::simple;
use crate::{Bounds, Plane, Point, Side, SurfaceError, Vector};

/// A curve drawn in a frame and extruded both ways for ever: it parts space by a ruled surface.
///
/// The frame has its origin anywhere and three unit vectors square to one another: u along the curve, v *out* of it, and
/// w = u × v, along which the curve is extruded. The curve is a polyline through points (u, v), prolonged from its first
/// point for ever along −u and from its last along +u. It may overhang itself, as a dovetail does, but neither touches
/// nor crosses itself. *Above* is the side of +v at its ends.
#[derive(Clone, Debug, PartialEq)]
pub struct Profile {
    origin: Point,
    along: Vector,
    out: Vector,
    axis: Vector,
    points: Vec<[f64; 2]>,
}

/// A straight part of the curve of a [`Profile`].
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Track {
    /// Before the first point.
    Beginning,
    /// From the point with this number, from 0, to the next.
    From(usize),
    /// After the last point.
    End,
}

impl std::fmt::Display for Track {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Track::Beginning => write!(f, "the straight beginning"),
            Track::From(point) => write!(f, "the line from point {point}"),
            Track::End => write!(f, "the straight end"),
        }
    }
}

impl Profile {
    /// The most points that a profile can have. A curve of a metre flattened to a hundredth of a millimetre has a few
    /// hundred; this leaves room and keeps a cut along it quick (our own choice, no source).
    pub const MOST_POINTS: usize = 4096;
    /// How far off points can lie, mm: a thousand kilometres. Products of two such numbers are far from any overflow, so
    /// that places are told exactly (our own choice, no source).
    pub const FARTHEST_MM: f64 = 1e9;

    /// The curve through `points` (u, v), mm, in the frame at `origin` with u along `along` and v along `out`, of which
    /// only the part square to `along` counts. The lengths of the two vectors do not matter.
    pub fn new(origin: Point, along: Vector, out: Vector, points: Vec<[f64; 2]>) -> Result<Profile, SurfaceError> {
        let mut numbers = origin.iter().chain(along.iter()).chain(out.iter()).chain(points.iter().flatten());
        if let Some(&bad) = numbers.find(|x| !x.is_finite()) {
            return Err(SurfaceError::NotFinite(bad));
        }
        if points.is_empty() {
            return Err(SurfaceError::NoPoints);
        }
        if points.len() > Self::MOST_POINTS {
            return Err(SurfaceError::TooManyPoints { count: points.len(), most: Self::MOST_POINTS });
        }
        if origin.coords.amax() > Self::FARTHEST_MM {
            return Err(SurfaceError::OriginTooFar);
        }
        if let Some(index) = points.iter().position(|p| p[0].abs().max(p[1].abs()) > Self::FARTHEST_MM) {
            return Err(SurfaceError::TooFar { index });
        }
        let along = unit(along).ok_or(SurfaceError::NoDirection)?;
        let out = square_to(out, along).ok_or(SurfaceError::NoDirection)?;
        simple::check(&points)?;
        Ok(Profile { origin, along, out, axis: along.cross(&out), points })
    }

    /// Origin of the frame.
    pub fn origin(&self) -> Point {
        self.origin
    }

    /// Unit vector u, along the curve.
    pub fn along(&self) -> Vector {
        self.along
    }

    /// Unit vector v, towards *above* at the ends of the curve.
    pub fn out(&self) -> Vector {
        self.out
    }

    /// Unit vector w = u × v, along which the curve is extruded.
    pub fn axis(&self) -> Vector {
        self.axis
    }

    /// The points of the curve (u, v), mm.
    pub fn points(&self) -> &[[f64; 2]] {
        &self.points
    }

    /// The same curve, moved along u and v, mm.
    pub(crate) fn moved(&self, [u, v]: [f64; 2]) -> Profile {
        Profile { origin: self.place([u, v], 0.0), ..self.clone() }
    }

    /// Where `p` lies as seen along w: (u, v), mm.
    pub fn seen(&self, p: &Point) -> [f64; 2] {
        let d = p - self.origin;
        [d.dot(&self.along), d.dot(&self.out)]
    }

    /// How far `p` lies along w, mm.
    pub fn depth_mm(&self, p: &Point) -> f64 {
        (p - self.origin).dot(&self.axis)
    }

    /// The place at (u, v) and depth w, mm.
    pub fn place(&self, [u, v]: [f64; 2], w: f64) -> Point {
        self.origin + self.along * u + self.out * v + self.axis * w
    }

    /// The plane v = 0.
    pub(crate) fn level(&self) -> Plane {
        Plane::of_unit(self.out, self.out.dot(&self.origin.coords))
    }

    /// The side on which a spot (u, v) lies, for telling, not for deciding topology; a spot on the curve is *below*.
    pub fn side(&self, at: [f64; 2]) -> Side {
        simple::side(&self.points, at)
    }

    /// See [`CutSurface::side_of_box`](crate::CutSurface::side_of_box).
    pub(super) fn side_of_box(&self, bounds: &Bounds, on_mm: f64) -> Option<Side> {
        let middle = self.seen(&bounds.centre());
        let half = bounds.size() / 2.0;
        let reach = |axis: &Vector| half.abs().dot(&axis.abs());
        // Rounding of a sum of three products is far below this share of the largest number in it.
        let largest =
            (bounds.min - self.origin).amax().max((bounds.max - self.origin).amax()) + self.origin.coords.amax();
        let margin = on_mm + 32.0 * f64::EPSILON * largest;
        let (du, dv) = (reach(&self.along) + margin, reach(&self.out) + margin);
        let (low, high) = ([middle[0] - du, middle[1] - dv], [middle[0] + du, middle[1] + dv]);
        let finite = low.iter().chain(&high).all(|x| x.is_finite());
        let clear = finite && !simple::meets_box(&self.points, low, high);
        clear.then(|| self.side(middle))
    }
}

/// The vector of unit length with this direction.
fn unit(v: Vector) -> Option<Vector> {
    let largest = v.amax();
    (largest > 0.0).then(|| (v / largest).normalize())
}

/// Two directions count as one where the sine of the angle between them is below this: what is left of a vector after
/// taking off its part along another is then mostly rounding.
const PARALLEL: f64 = 1e-9;

/// The unit vector square to the unit vector `axis` that lies in one plane with it and `v`, on the side of `v`.
pub(super) fn square_to(v: Vector, axis: Vector) -> Option<Vector> {
    let v = unit(v)?;
    let rest = v - axis * v.dot(&axis);
    // Once more, to take back what rounding left along the axis.
    let rest = rest - axis * rest.dot(&axis);
    (rest.norm() > PARALLEL).then(|| rest.normalize())
}

#[cfg(test)]
mod tests;
