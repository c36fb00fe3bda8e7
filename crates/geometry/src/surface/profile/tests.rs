use super::*;
use crate::{CutSurface, Track};

fn profile(points: &[[f64; 2]]) -> Result<Profile, SurfaceError> {
    Profile::new(Point::origin(), Vector::x(), Vector::z(), points.to_vec())
}

fn meets(points: &[[f64; 2]]) -> Option<(Track, Track)> {
    match profile(points) {
        Ok(_) => None,
        Err(SurfaceError::MeetsItself { first, second, .. }) => Some((first, second)),
        Err(other) => panic!("{other}"),
    }
}

#[test]
fn the_frame_is_made_square() {
    let profile =
        Profile::new(Point::new(1.0, 2.0, 3.0), Vector::new(0.0, 5.0, 0.0), Vector::new(0.0, 9.0, 2.0), vec![[0.0; 2]])
            .unwrap();
    assert_eq!((profile.along(), profile.out(), profile.axis()), (Vector::y(), Vector::z(), Vector::x()));
    let place = profile.place([4.0, 5.0], 6.0);
    assert_eq!(place, Point::new(7.0, 6.0, 8.0));
    assert_eq!((profile.seen(&place), profile.depth_mm(&place)), ([4.0, 5.0], 6.0));
}

#[test]
fn what_is_no_profile_is_told() {
    let new = |along: Vector, out: Vector, points| Profile::new(Point::origin(), along, out, points);
    assert_eq!(new(Vector::x(), Vector::x() * 3.0, vec![[0.0; 2]]), Err(SurfaceError::NoDirection));
    assert_eq!(new(Vector::zeros(), Vector::x(), vec![[0.0; 2]]), Err(SurfaceError::NoDirection));
    assert!(matches!(new(Vector::x(), Vector::z(), vec![[f64::NAN, 0.0]]), Err(SurfaceError::NotFinite(_))));
    assert_eq!(profile(&[]), Err(SurfaceError::NoPoints));
    assert_eq!(profile(&[[0.0, 0.0], [0.0, -2e9]]), Err(SurfaceError::TooFar { index: 1 }));
    assert_eq!(profile(&[[0.0; 2], [1.0, 1.0], [1.0, 1.0]]), Err(SurfaceError::Repeated { index: 1, at: [1.0, 1.0] }));
    let many: Vec<[f64; 2]> = (0..=Profile::MOST_POINTS).map(|i| [i as f64, 0.0]).collect();
    assert!(matches!(profile(&many), Err(SurfaceError::TooManyPoints { .. })));
    assert!(profile(&many[1..]).is_ok());
}

#[test]
fn a_profile_that_meets_itself_is_refused_with_the_two_parts() {
    let (begin, end, from) = (Track::Beginning, Track::End, Track::From);
    assert_eq!(meets(&[[0.0, 0.0]]), None);
    assert_eq!(meets(&[[0.0, 0.0], [2.0, 5.0], [-2.0, 5.0], [0.5, 0.0]]), Some((from(0), from(2))));
    // A dovetail overhangs and is fine.
    assert_eq!(meets(&[[-1.0, 0.0], [-2.0, 3.0], [2.0, 3.0], [1.0, 0.0]]), None);
    // Back along itself, and along the rays.
    assert_eq!(meets(&[[0.0, 0.0], [2.0, 2.0], [1.0, 1.0]]), Some((from(0), from(1))));
    assert_eq!(meets(&[[0.0, 0.0], [-2.0, 0.0], [-2.0, 1.0]]), Some((begin, from(0))));
    assert_eq!(meets(&[[0.0, 1.0], [2.0, 0.0], [1.0, 0.0]]).map(|m| m.1), Some(end));
    // Through a ray, onto a ray, a ray through a line, ray upon ray.
    assert_eq!(meets(&[[0.0, 0.0], [0.0, 2.0], [-3.0, 2.0], [-3.0, -1.0]]), Some((begin, from(2))));
    assert_eq!(meets(&[[0.0, 0.0], [0.0, 2.0], [-3.0, 0.0], [-1.0, 5.0]]).map(|m| m.0), Some(begin));
    assert_eq!(meets(&[[0.0, 0.0], [0.0, 2.0], [-3.0, 1.0]]), Some((from(0), end)));
    assert_eq!(meets(&[[0.0, 0.0], [0.0, 2.0], [-3.0, 2.0], [-3.0, 0.0]]), Some((begin, from(2))));
    // Corners that touch lines and one another.
    assert_eq!(meets(&[[0.0, 0.0], [4.0, 1.0], [4.0, 2.0], [2.0, 0.5], [0.0, 3.0]]).map(|m| m.0), Some(from(0)));
    assert!(meets(&[[0.0, 0.0], [4.0, 1.0], [4.0, 2.0], [0.0, 0.0], [9.0, -1.0]]).is_some());
}

#[test]
fn a_box_is_on_a_side_only_where_the_curve_keeps_clear_of_it() {
    let dovetail: CutSurface =
        CutSurface::Profile(profile(&[[-1.0, 0.0], [-2.0, 3.0], [2.0, 3.0], [1.0, 0.0]]).unwrap());
    let side = |low: [f64; 2], high: [f64; 2]| {
        let at = |[u, v]: [f64; 2], w: f64| Point::new(u, w, v);
        dovetail.side_of_box(&Bounds { min: at(low, -9.0), max: at(high, 9.0) }, 1e-3)
    };
    assert_eq!(side([-5.0, 0.1], [-2.1, 0.9]), Some(Side::Above));
    assert_eq!(side([-0.9, 0.1], [0.9, 2.9]), Some(Side::Below), "in the tail");
    assert_eq!(side([-1.8, 0.1], [-1.5, 0.5]), Some(Side::Above), "beneath its overhang");
    assert_eq!(side([-1.8, 0.1], [-1.5, 2.0]), None);
    assert_eq!(side([-50.0, -5.0], [50.0, -0.01]), Some(Side::Below));
    assert_eq!(side([-50.0, -5.0], [50.0, -0.000_5]), None, "nearer than the margin");
    assert_eq!(side([3.0, -5.0], [4.0, 5.0]), None);
    assert_eq!(side([-5.0, 3.1], [5.0, 4.0]), Some(Side::Above));
}
