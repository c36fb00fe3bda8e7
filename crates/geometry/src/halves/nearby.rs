//! The place for a plane that is nearest to where it is and leaves two sides that fit.
//!
//! Moved towards a side that is too big, a plane makes that side smaller and the other larger. So where one side alone
//! is too big there is one way to go, the first offset at which that side fits is found by halving, and if the other
//! side is too big there, no offset is any good. This holds for any question about the sides that grows with them, so
//! that the quick verdicts of a drag and the exact ones of the pieces that are really made are asked in the same way.

use super::Stretch;
use crate::{Cancelled, Plane, Point, Progress, Side, Vector};
use nalgebra::{Unit, UnitQuaternion};
use std::f64::consts::TAU;

/// Moves are found to this, mm: half of the last digit that is told of one.
pub const MOVE_MM: f64 = 0.05;

/// The offset nearest to `from_mm` at which both sides of a plane fit, to a twentieth of a millimetre and not nearer
/// than the nearest; `None` where there is none. `fits` says whether a side fits at an offset; it is asked as seldom as
/// halving allows, first at the end of a stretch that is known to be near. `extent_mm` is where one side becomes nothing.
pub fn nearest_offset<E>(
    from_mm: f64,
    extent_mm: [f64; 2],
    guess: Option<Stretch>,
    mut fits: impl FnMut(Side, f64) -> Result<bool, E>,
) -> Result<Option<f64>, E> {
    let (side, end) = match (fits(Side::Below, from_mm)?, fits(Side::Above, from_mm)?) {
        (true, true) => return Ok(Some(from_mm)),
        (false, false) => return Ok(None),
        (false, true) => (Side::Below, extent_mm[0]),
        (true, false) => (Side::Above, extent_mm[1]),
    };
    let guess = guess.map(|stretch| match side {
        Side::Below => stretch.below_fits_to_mm,
        Side::Above => stretch.above_fits_from_mm,
    });
    // A good guess is an end: it fits there, and no longer a little nearer.
    let nearer = (from_mm - end).signum() * MOVE_MM;
    let mut guesses = guess.into_iter().flat_map(|guess| [guess, guess + nearer]);
    let (mut good, mut bad) = (end, from_mm);
    while (bad - good).abs() > MOVE_MM {
        let between = |at: &f64| *at > good.min(bad) && *at < good.max(bad);
        let at = guesses.next().filter(between).unwrap_or((good + bad) / 2.0);
        if fits(side, at)? {
            good = at;
        } else {
            bad = at;
        }
    }
    Ok(fits(side.other(), good)?.then_some(good))
}

/// A place for a plane near to where it is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Nearby {
    /// The plane there.
    pub plane: Plane,
    /// How far it is moved along its (new) normal, mm, measured at the place that it was to go through.
    pub moved_mm: f64,
    /// How far it is tilted about that place, degrees; 0 where moving alone is enough.
    pub tilted_deg: f64,
}

/// Tilts that are tried, degrees. More than the last would be another cut.
const TILTS_DEG: [f64; 9] = [1.0, 2.0, 3.0, 5.0, 8.0, 12.0, 17.0, 23.0, 30.0];
/// Directions to tilt in.
const AROUND: u32 = 12;
/// Halvings of the step between two tilts: to a hundredth of a degree or two.
const HALVINGS: u32 = 6;

/// The place nearest to `plane` at which both sides fit, given the `stretch` for any normal: moved along the normal if
/// that is enough, else tilted about `through` as little as is found, and moved only if no tilt as small does alone.
/// `None` where no tilt that was tried (up to 30° in twelve directions) leaves a place.
pub fn place_nearby(
    plane: &Plane,
    through: &Point,
    stretch: impl Fn(&Vector) -> Option<Stretch>,
    progress: &Progress,
) -> Result<Option<Nearby>, Cancelled> {
    let normal = plane.normal();
    let with_normal = |normal: Vector, from_mm: f64, tilted_deg: f64| {
        let [low, high] = stretch(&normal)?.both_mm()?;
        let offset = from_mm.clamp(low, high);
        let plane = Plane::new(normal, offset).ok()?;
        Some(Nearby { plane, moved_mm: offset - from_mm, tilted_deg })
    };
    if let Some(moved) = with_normal(normal, plane.offset_mm(), 0.0) {
        return Ok(Some(moved));
    }
    let helper = Vector::ith(normal.iamin(), 1.0);
    let u = helper.cross(&normal).normalize();
    let tilted = |azimuth: f64, deg: f64| {
        let axis = Unit::new_normalize(UnitQuaternion::from_scaled_axis(normal * azimuth) * u);
        let normal = UnitQuaternion::from_axis_angle(&axis, deg.to_radians()) * normal;
        with_normal(normal, normal.dot(&through.coords), deg)
    };
    let mut before = 0.0;
    for deg in TILTS_DEG {
        let mut any: Vec<(Nearby, f64)> = Vec::new();
        for k in 0..AROUND {
            progress.check()?;
            let azimuth = f64::from(k) * TAU / f64::from(AROUND);
            any.extend(tilted(azimuth, deg).map(|found| (found, azimuth)));
        }
        // The direction that needs the least move is halved first; others are only as far as they beat it.
        any.sort_by(|a, b| a.0.moved_mm.abs().total_cmp(&b.0.moved_mm.abs()));
        let mut best: Option<Nearby> = None;
        for (found, azimuth) in any {
            let (mut low, mut high, mut least) = (before, deg, found);
            let finest = (deg - before) / f64::from(1 << HALVINGS);
            if let Some(best) = best {
                let smaller = best.tilted_deg - finest;
                let Some(found) = (smaller > before).then(|| tilted(azimuth, smaller)).flatten() else { continue };
                (least, high) = (found, smaller);
            }
            while high - low > finest * 1.5 {
                progress.check()?;
                let middle = (low + high) / 2.0;
                match tilted(azimuth, middle) {
                    Some(found) => (least, high) = (found, middle),
                    None => low = middle,
                }
            }
            best = Some(least);
        }
        if best.is_some() {
            return Ok(best);
        }
        before = deg;
    }
    Ok(None)
}

#[cfg(test)]
mod tests {
    use super::super::stretch::tests::{bar, support};
    use super::*;
    use crate::{Bed, Search, solids};
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn the_nearest_offset_is_the_nearest_end_of_what_is_good(
            from in -50.0_f64..350.0, below_to in 0.0_f64..300.0, above_from in 0.0_f64..300.0, guessed: bool,
            off in -3.0_f64..3.0,
        ) {
            let guess = guessed.then_some(Stretch { below_fits_to_mm: below_to + off, above_fits_from_mm: above_from + off });
            let mut asked = 0;
            let found = nearest_offset(from, [0.0, 300.0], guess, |side, at| {
                asked += 1;
                Ok::<_, Cancelled>(if side == Side::Below { at <= below_to } else { at >= above_from })
            });
            let found = found.unwrap();
            prop_assert!(asked < 20);
            if above_from > below_to {
                // Nothing is good; between the two, halving may not tell a twentieth of a millimetre.
                prop_assert_eq!(found, None);
            } else if let Some(at) = found {
                prop_assert!(at <= below_to && at >= above_from, "{at} does not fit");
                let nearest = from.clamp(above_from, below_to);
                prop_assert!((at - nearest).abs() <= MOVE_MM + 1e-9, "{at} for {nearest}");
            } else {
                prop_assert!(below_to - above_from < 2.0 * MOVE_MM, "there is a place, and none was found");
            }
        }
    }

    #[test]
    fn a_good_guess_spares_most_questions() {
        let asked = |guess| {
            let mut asked = 0;
            let fits = |side, at: f64| {
                asked += 1;
                Ok::<_, Cancelled>(side == Side::Above || at <= 123.4)
            };
            let found = nearest_offset(200.0, [0.0, 300.0], guess, fits).unwrap().unwrap();
            assert!(found <= 123.4 && found > 123.3);
            asked
        };
        assert!(asked(Some(Stretch { below_fits_to_mm: 123.39, above_fits_from_mm: 0.0 })) <= 5);
        assert!(asked(None) > 10);
    }

    #[test]
    fn what_stops_the_question_stops_the_search() {
        assert_eq!(nearest_offset(1.0, [0.0, 9.0], None, |_, _| Err(Cancelled)), Err(Cancelled));
    }

    #[test]
    fn a_cut_is_moved_to_the_nearest_end_of_its_stretch_and_both_sides_fit_there() {
        let bed = Bed::rectangle(50.0, 50.0, 180.0);
        let support = bar();
        let stretch = |normal: &Vector| support.stretch(normal, &bed, Search::Turned);
        for (offset, moved) in [(100.0, 20.0), (150.0, 0.0), (190.5, -10.5)] {
            let plane = Plane::new(Vector::z(), offset).unwrap();
            let near = place_nearby(&plane, &Point::new(20.0, 20.0, offset), stretch, &Progress::new());
            let near = near.unwrap().unwrap();
            assert!((near.moved_mm - moved).abs() < 0.02 && near.tilted_deg == 0.0, "{near:?}");
            for fit in support.split(&near.plane).fit_both(&bed, Search::Turned) {
                assert!(fit.unwrap().verdict.fits());
            }
        }
    }

    #[test]
    fn a_cut_that_moving_does_not_help_is_tilted() {
        // A leaning bar: level cuts leave ends that lean out; cuts square to it can lie on the cut.
        let lean = crate::Motion::rotation(Vector::y() * 0.3);
        let bar = solids::cuboid(Point::new(-20.0, -20.0, -100.0), Point::new(20.0, 20.0, 100.0)).transformed(&lean);
        let (support, bed) = (support(&bar), Bed::rectangle(48.0, 44.0, 106.0));
        let stretch = |normal: &Vector| support.stretch(normal, &bed, Search::AnyPose);
        let level = Plane::new(Vector::z(), 0.0).unwrap();
        assert!(stretch(&Vector::z()).unwrap().both_mm().is_none());
        let near = place_nearby(&level, &Point::origin(), stretch, &Progress::new()).unwrap().unwrap();
        assert!(near.tilted_deg > 1.0 && near.tilted_deg <= 0.3_f64.to_degrees() + 0.5, "{near:?}");
        for fit in support.split(&near.plane).fit_both(&bed, Search::AnyPose) {
            assert!(fit.unwrap().verdict.fits());
        }
        let cancelled = Progress::new();
        cancelled.cancel();
        assert_eq!(place_nearby(&level, &Point::origin(), stretch, &cancelled), Err(Cancelled));
    }
}
