//! Where a planar cut lies, in the numbers that a maker types: a place, an axis, two tilts.

use seamwright_geometry::{Plane, PlaneError, Point, Vector};

/// An axis of the stock's frame.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Axis {
    /// Left to right.
    X,
    /// Front to back.
    Y,
    /// Upwards.
    Z,
}

impl Axis {
    /// All three.
    pub const ALL: [Axis; 3] = [Axis::X, Axis::Y, Axis::Z];

    /// Index of its coordinate.
    pub fn index(self) -> usize {
        self as usize
    }

    /// The two axes that a cut square to this one is tilted about, so that (first, second, self) is right-handed.
    pub fn tilt_axes(self) -> [Axis; 2] {
        match self {
            Axis::X => [Axis::Y, Axis::Z],
            Axis::Y => [Axis::Z, Axis::X],
            Axis::Z => [Axis::X, Axis::Y],
        }
    }

    /// The unit vector.
    pub fn vector(self) -> Vector {
        Vector::ith(self.index(), 1.0)
    }

    /// "X", "Y" or "Z".
    pub fn name(self) -> &'static str {
        ["X", "Y", "Z"][self.index()]
    }

    /// The axis most aligned with `direction`.
    pub fn nearest(direction: &Vector) -> Axis {
        Axis::ALL[direction.iamax()]
    }
}

/// A plane as the maker sees it: square to an axis, then tilted about the other two, through a place.
///
/// Tilts are what a protractor shows from two sides: with `[a, b] = axis.tilt_axes()`, `tilt_deg[0]` is the angle seen
/// when looking along `a` and `tilt_deg[1]` the one seen when looking along `b`, so that each can be changed with the
/// other kept. The normal points along `tan(t1) · a − tan(t0) · b + axis`, taken as `(sin t1 cos t0, −cos t1 sin t0,
/// cos t1 cos t0)` so that a right angle is no special case.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CutPlane {
    /// What the cut is square to before it is tilted.
    pub axis: Axis,
    /// A place on the plane, mm; its coordinate along `axis` is the cut's *offset*.
    pub through_mm: [f64; 3],
    /// Tilts about the two `axis.tilt_axes()`, degrees.
    pub tilt_deg: [f64; 2],
}

impl CutPlane {
    /// Square to `axis`, at `offset_mm` along it.
    pub fn square(axis: Axis, offset_mm: f64) -> CutPlane {
        let mut through_mm = [0.0; 3];
        through_mm[axis.index()] = offset_mm;
        CutPlane { axis, through_mm, tilt_deg: [0.0; 2] }
    }

    /// Any plane in these numbers: the axis is the one nearest to the normal and the place is the point of the plane
    /// nearest to `near`. Where the normal points against the axis the sides are exchanged, so that *above* is always
    /// towards the axis.
    pub fn from_plane(plane: &Plane, near: Point) -> CutPlane {
        let axis = Axis::nearest(&plane.normal());
        let towards_axis = plane.normal()[axis.index()] >= 0.0;
        let plane = if towards_axis { *plane } else { plane.flipped() };
        CutPlane { axis, through_mm: near.coords.into(), tilt_deg: [0.0; 2] }.moved_to(&plane)
    }

    /// Any plane in these numbers with its sides as they are: where the normal points against the axis, it is turned over
    /// by its tilts.
    pub(crate) fn along(plane: &Plane, near: Point) -> CutPlane {
        let axis = Axis::nearest(&plane.normal());
        let tilt_deg = CutPlane { axis, through_mm: [0.0; 3], tilt_deg: [0.0; 2] }.tilts_of(&plane.normal());
        CutPlane { axis, through_mm: plane.project(&near).coords.into(), tilt_deg }
    }

    /// The same axis, on `plane`: what a drag of the handles makes of this cut. The place moves to the nearest point
    /// of the plane. A plane that has come to lie nearly along the axis is described by another axis.
    pub fn moved_to(&self, plane: &Plane) -> CutPlane {
        let through = plane.project(&Point::from(self.through_mm));
        if plane.normal()[self.axis.index()].abs() < ALONG_AXIS {
            return CutPlane::from_plane(plane, through);
        }
        CutPlane { axis: self.axis, through_mm: through.coords.into(), tilt_deg: self.tilts_of(&plane.normal()) }
    }

    /// The same for a plane that was turned about `seat`, which becomes the place: turned back about it, by hand or by
    /// typing its tilts, the cut lies where it lay.
    pub fn turned_to(&self, plane: &Plane, seat: Point) -> CutPlane {
        CutPlane { through_mm: seat.coords.into(), ..*self }.moved_to(plane)
    }

    /// The coordinate of the place along the axis, mm.
    pub fn offset_mm(&self) -> f64 {
        self.through_mm[self.axis.index()]
    }

    /// The same tilts at another offset along the axis.
    pub fn with_offset_mm(mut self, offset_mm: f64) -> CutPlane {
        self.through_mm[self.axis.index()] = offset_mm;
        self
    }

    /// The plane itself. Fails where a number is not finite, or both tilts are right angles.
    pub fn plane(&self) -> Result<Plane, PlaneError> {
        let [first, second] = self.axis.tilt_axes();
        let (sin0, cos0) = sin_cos_deg(self.tilt_deg[0]);
        let (sin1, cos1) = sin_cos_deg(self.tilt_deg[1]);
        let mut normal = Vector::zeros();
        normal[first.index()] = sin1 * cos0;
        normal[second.index()] = -cos1 * sin0;
        normal[self.axis.index()] = cos1 * cos0;
        Plane::through(Point::from(self.through_mm), normal)
    }

    fn tilts_of(&self, normal: &Vector) -> [f64; 2] {
        let [first, second] = self.axis.tilt_axes();
        let turned_over = normal[self.axis.index()] < 0.0;
        let n = if turned_over { -normal } else { *normal };
        let up = n[self.axis.index()];
        let tilt0 = (-n[second.index()]).atan2(up).to_degrees();
        let tilt1 = n[first.index()].atan2(up).to_degrees();
        let tilt0 = match turned_over {
            false => tilt0,
            true if tilt0 > 0.0 => tilt0 - 180.0,
            true => tilt0 + 180.0,
        };
        // `-0.0` would be shown as such.
        [tilt0 + 0.0, tilt1 + 0.0]
    }
}

/// A normal with a smaller share than this along the axis (tilts beyond 87°) is better told by another axis: near a
/// right angle both tilts run away. Our own choice, no source.
const ALONG_AXIS: f64 = 0.05;

/// Sine and cosine, exact at multiples of 90°, so that a cut typed as square is square to the last bit.
pub(crate) fn sin_cos_deg(angle_deg: f64) -> (f64, f64) {
    match angle_deg.rem_euclid(360.0) {
        0.0 => (0.0, 1.0),
        90.0 => (1.0, 0.0),
        180.0 => (0.0, -1.0),
        270.0 => (-1.0, 0.0),
        _ => angle_deg.to_radians().sin_cos(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn an_untilted_cut_is_square_to_its_axis_to_the_last_bit() {
        let plane = CutPlane::square(Axis::Y, 84.5).plane().unwrap();
        assert_eq!((plane.normal(), plane.offset_mm()), (Vector::y(), 84.5));
    }

    #[test]
    fn tilts_turn_the_normal_as_documented() {
        let cut = CutPlane { axis: Axis::Z, through_mm: [1.0, 2.0, 3.0], tilt_deg: [30.0, 20.0] };
        let (t0, t1) = (30f64.to_radians(), 20f64.to_radians());
        let expected = Vector::new(t1.tan(), -t0.tan(), 1.0).normalize();
        assert!((cut.plane().unwrap().normal() - expected).norm() < 1e-15);
    }

    #[test]
    fn a_cut_tilted_about_its_seat_comes_back_when_the_tilt_is_typed_as_none() {
        let cut = CutPlane { through_mm: [60.0, -20.0, 158.79], ..CutPlane::square(Axis::Z, 0.0) };
        let seat = Point::new(3.0, 4.0, 158.79);
        let leaning = Plane::through(seat, Vector::new(0.1, -0.2, 1.0)).unwrap();
        let tilted = cut.turned_to(&leaning, seat);
        assert!((tilted.plane().unwrap().offset_mm() - leaning.offset_mm()).abs() < 1e-9);
        assert_eq!(tilted.offset_mm(), cut.offset_mm());
        let back = CutPlane { tilt_deg: [0.0; 2], ..tilted };
        assert_eq!(back.plane().unwrap(), cut.plane().unwrap());
    }

    proptest! {
        #[test]
        fn any_plane_survives_the_way_into_numbers_and_back(
            n in prop::array::uniform3(-1.0..1.0f64), offset in -500.0..500.0f64, near in prop::array::uniform3(-300.0..300.0f64),
        ) {
            prop_assume!(Vector::from(n).norm() > 0.01);
            let plane = Plane::new(Vector::from(n), offset).unwrap();
            let back = CutPlane::from_plane(&plane, Point::from(near)).plane().unwrap();
            let moved = CutPlane::square(Axis::Z, 3.0).moved_to(&plane).plane().unwrap();
            prop_assert!((moved.normal() - plane.normal()).norm() < 1e-9 || (moved.normal() + plane.normal()).norm() < 1e-9);
            let same = if back.normal().dot(&plane.normal()) < 0.0 { back.flipped() } else { back };
            prop_assert!((same.normal() - plane.normal()).norm() < 1e-12);
            prop_assert!((same.offset_mm() - plane.offset_mm()).abs() < 1e-9);
        }
    }
}
