//! A cut along points that were picked one after the other, carried straight into the picture.

use seamwright_geometry::{Plane, PlaneError, Point, Vector};

use crate::cut_form::{CutForm, CutProfile, Line, frame};
use crate::cut_plane::CutPlane;

/// Why picked points make no line.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum DrawnLineError {
    /// There is no line through one place.
    #[error("a line needs two points or more that lie apart as seen from here")]
    TooFew,
    /// The points make no plane to draw over.
    #[error(transparent)]
    Plane(#[from] PlaneError),
}

/// The plane and the form of a cut that follows `points` in their order, carried along `through`: the direction in
/// which the maker looked. The plane holds the first and the last point, as seen along `through`.
pub fn cut_along(points: &[Point], through: Vector) -> Result<(CutPlane, CutForm), DrawnLineError> {
    let [first, .., last] = points else { return Err(DrawnLineError::TooFew) };
    let through = through.try_normalize(0.0).ok_or(PlaneError::NoDirection)?;
    let chord = last - first;
    let seen = chord - through * chord.dot(&through);
    // Ends nearer to each other than this share of what lies between them in depth give no direction as seen from here.
    if seen.norm() <= chord.norm().max(reach(points)) * SEEN_SHARE {
        return Err(DrawnLineError::TooFew);
    }
    let u = seen.normalize();
    let mean = points.iter().map(|p| p.coords).sum::<Vector>() / points.len() as f64;
    // In depth the cut's place is amid the points; over the chord it is halfway between its ends.
    let half = first + chord / 2.0;
    let place = half + through * (mean - half.coords).dot(&through);
    let plane = CutPlane::from_plane(&Plane::through(place, through.cross(&u))?, place);
    let flat = plane.plane()?;
    let [u0, w0] = frame(&flat, plane.axis, 0.0)?;
    let turn_deg = u.dot(&w0).atan2(u.dot(&u0)).to_degrees();
    let [u, _] = frame(&flat, plane.axis, turn_deg)?;
    let origin = Point::from(plane.through_mm);
    let mut points_mm: Vec<[f64; 2]> =
        points.iter().map(|p| p - origin).map(|d| [d.dot(&u), d.dot(&flat.normal())]).collect();
    points_mm.dedup();
    Ok((plane, CutForm::Profile(CutProfile { line: Line::Drawn { points_mm, smooth: false }, turn_deg })))
}

/// A hundredth is what a hand with a mouse cannot place on purpose.
const SEEN_SHARE: f64 = 0.01;

fn reach(points: &[Point]) -> f64 {
    points.iter().map(|p| (p - points[0]).norm()).fold(0.0, f64::max)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;
    use seamwright_geometry::CutSurface;

    use super::*;

    proptest! {
        #[test]
        fn the_surface_passes_through_every_picked_point(
            through in prop::array::uniform3(-1.0..1.0f64),
            start in prop::array::uniform3(-100.0..100.0f64),
            // Steps that go forward as seen, so that the line cannot cross itself.
            steps in prop::collection::vec((2.0..30.0f64, -20.0..20.0f64, -50.0..50.0f64), 1..8),
        ) {
            let through = Vector::from(through);
            prop_assume!(through.norm() > 0.1);
            let w = through.normalize();
            let u = w.cross(&Vector::ith(w.iamin(), 1.0)).normalize();
            let v = w.cross(&u);
            let mut points = vec![Point::from(start)];
            for (along, up, deep) in steps {
                points.push(points[points.len() - 1] + u * along + v * up + w * deep);
            }
            let (plane, form) = cut_along(&points, through).unwrap();
            // A steep line may turn back on its chord; such a line is refused later, with its place.
            let Ok(CutSurface::Profile(profile)) = form.surface(&plane) else { return Ok(()) };
            for (p, seen) in points.iter().zip(profile.points()) {
                let off = p - profile.origin();
                let at = profile.along() * seen[0] + profile.out() * seen[1];
                let apart = off - at;
                prop_assert!((apart - w * apart.dot(&w)).norm() < 1e-6, "{apart:?}");
            }
        }
    }

    #[test]
    fn points_in_one_line_of_sight_make_no_line() {
        let points = [Point::new(1.0, 2.0, 0.0), Point::new(1.0, 2.0, 30.0)];
        assert_eq!(cut_along(&points, Vector::z()), Err(DrawnLineError::TooFew));
        assert_eq!(cut_along(&points[..1], Vector::x()), Err(DrawnLineError::TooFew));
    }
}
