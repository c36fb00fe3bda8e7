//! Planes and their two sides.

use crate::{Bounds, Point, Vector};

/// The plane `normal · p = offset_mm`. *Above* is where `normal · p` is larger.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Plane {
    normal: Vector,
    offset_mm: f64,
}

/// One of the two sides of a cut.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Side {
    /// Where `normal · p` is smaller than the plane's offset.
    Below,
    /// Where `normal · p` is larger than the plane's offset.
    Above,
}

impl Side {
    /// Below, above: the order in which results for both sides are given.
    pub const BOTH: [Side; 2] = [Side::Below, Side::Above];

    /// The other side.
    pub fn other(self) -> Side {
        match self {
            Side::Below => Side::Above,
            Side::Above => Side::Below,
        }
    }
}

/// Why four numbers are no plane.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum PlaneError {
    /// A component is NaN or infinite.
    #[error("a plane needs four finite numbers; this one has {0}")]
    NotFinite(f64),
    /// The normal has no direction.
    #[error("the normal of a plane must have a length; (0, 0, 0) points nowhere")]
    NoDirection,
    /// The points lie on one line, or there are fewer than three.
    #[error("these points lie on one line: pick at least three that span a plane")]
    Collinear,
}

impl Plane {
    /// The plane `normal · p = offset`, with `normal` of any length: both are divided by it.
    pub fn new(normal: Vector, offset: f64) -> Result<Plane, PlaneError> {
        if let Some(&bad) = normal.iter().chain([&offset]).find(|x| !x.is_finite()) {
            return Err(PlaneError::NotFinite(bad));
        }
        let largest = normal.amax();
        if largest == 0.0 {
            return Err(PlaneError::NoDirection);
        }
        // Scaled first, so that very long and very short normals do not overflow in the norm. A normal that is
        // already of unit length is kept to the last bit.
        let scaled = normal / largest;
        let length = scaled.norm() * largest;
        if (length - 1.0).abs() <= f64::EPSILON {
            return Ok(Plane { normal, offset_mm: offset });
        }
        Ok(Plane { normal: scaled / scaled.norm(), offset_mm: offset / length })
    }

    /// The plane through `point` square to `normal`.
    pub fn through(point: Point, normal: Vector) -> Result<Plane, PlaneError> {
        let unit = Plane::new(normal, 0.0)?.normal;
        Plane::new(unit, unit.dot(&point.coords))
    }

    /// The plane with this normal, which must be of unit length, at this finite offset.
    pub(crate) fn of_unit(normal: Vector, offset_mm: f64) -> Plane {
        Plane { normal, offset_mm }
    }

    /// The same moved along its normal.
    pub(crate) fn moved(&self, mm: f64) -> Plane {
        Plane { normal: self.normal, offset_mm: self.offset_mm + mm }
    }

    /// Unit normal, towards *above*.
    pub fn normal(&self) -> Vector {
        self.normal
    }

    /// Distance of the plane from the origin along the normal, mm.
    pub fn offset_mm(&self) -> f64 {
        self.offset_mm
    }

    /// Signed distance of `p`, positive above, mm. For measuring, not for deciding topology.
    pub fn distance_mm(&self, p: &Point) -> f64 {
        self.normal.dot(&p.coords) - self.offset_mm
    }

    /// The point of the plane nearest to `p`.
    pub fn project(&self, p: &Point) -> Point {
        p - self.normal * self.distance_mm(p)
    }

    /// The side on which all of `bounds` lies, farther than `margin_mm` from the plane; `None` where the plane may touch it.
    /// A cheap look before an exact one: the farthest corner against the normal decides.
    pub fn side_of_box(&self, bounds: &Bounds, margin_mm: f64) -> Option<Side> {
        let (low, high) = (bounds.min.coords, bounds.max.coords);
        let reach = |towards: &Vector, away: &Vector| -> f64 {
            (0..3).map(|k| self.normal[k] * if self.normal[k] > 0.0 { towards[k] } else { away[k] }).sum::<f64>()
                - self.offset_mm
        };
        // Rounding of the two sums, three products each, is far below this share of the largest number in them.
        let rounding = 16.0 * f64::EPSILON * (low.amax().max(high.amax()) + self.offset_mm.abs());
        if reach(&high, &low) < -(margin_mm + rounding) {
            Some(Side::Below)
        } else if reach(&low, &high) > margin_mm + rounding {
            Some(Side::Above)
        } else {
            None
        }
    }

    /// The same plane with its sides exchanged.
    pub fn flipped(&self) -> Plane {
        Plane { normal: -self.normal, offset_mm: -self.offset_mm }
    }

    /// Two unit vectors that span the plane; `u × v = normal`.
    pub fn basis(&self) -> (Vector, Vector) {
        let n = self.normal;
        // The axis least aligned with the normal: its cross product has a length of at least √(2/3).
        let helper = Vector::ith(n.iamin(), 1.0);
        let u = helper.cross(&n).normalize();
        (u, n.cross(&u))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_box_is_on_a_side_only_when_all_its_corners_are() {
        let bounds = Bounds { min: Point::new(-1.0, -1.0, -1.0), max: Point::new(1.0, 1.0, 1.0) };
        let diagonal = Vector::new(1.0, -1.0, 1.0);
        let reach = 3.0 / 3f64.sqrt();
        for (offset, side) in [
            (reach + 0.01, Some(Side::Below)),
            (reach - 0.01, None),
            (0.0, None),
            (0.01 - reach, None),
            (-reach - 0.01, Some(Side::Above)),
        ] {
            let plane = Plane::new(diagonal.normalize(), offset).unwrap();
            assert_eq!(plane.side_of_box(&bounds, 0.0), side, "offset {offset}");
            assert_eq!(plane.side_of_box(&bounds, 0.02), None.or(side.filter(|_| offset.abs() > reach + 0.02)));
        }
    }
}
