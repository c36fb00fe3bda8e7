//! Where along its normal a plane may lie so that both sides fit, and the place nearest to where it is.
//!
//! What lies below a plane is part of what lies below a higher one. So if it fits at some offset it fits, in the same
//! pose, at every lower one, and the last offset at which it fits is found by halving; the same holds above. The ends
//! told are always ones at which it fits.

use super::HalfSupport;
use crate::{Bed, Cancelled, Plane, Point, Progress, Search, Side, Vector};
use nalgebra::{Unit, UnitQuaternion};

/// The offsets at which each side of a plane with a given normal fits, mm along the normal.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stretch {
    /// The lower side fits up to here.
    pub below_fits_to_mm: f64,
    /// The upper side fits from here on.
    pub above_fits_from_mm: f64,
}

/// Ends of a stretch are known to this, mm: a tenth of what is shown.
const END_MM: f64 = 0.01;

impl Stretch {
    /// Finds both ends within `extent_mm`, beyond which one side is empty and the other all there is.
    pub fn find(extent_mm: [f64; 2], fits: impl Fn(Side, f64) -> bool) -> Stretch {
        let [low, high] = extent_mm;
        Stretch {
            below_fits_to_mm: last_good(low, high, |offset| fits(Side::Below, offset)),
            above_fits_from_mm: last_good(high, low, |offset| fits(Side::Above, offset)),
        }
    }

    /// Least and largest offset at which both sides fit; `None` where there is none.
    pub fn both_mm(&self) -> Option<[f64; 2]> {
        (self.above_fits_from_mm <= self.below_fits_to_mm).then_some([self.above_fits_from_mm, self.below_fits_to_mm])
    }

    /// Where all of two pieces' sides fit.
    pub fn and(&self, other: &Stretch) -> Stretch {
        Stretch {
            below_fits_to_mm: self.below_fits_to_mm.min(other.below_fits_to_mm),
            above_fits_from_mm: self.above_fits_from_mm.max(other.above_fits_from_mm),
        }
    }
}

/// The last place from `good` towards `end` at which `fits` holds, to [`END_MM`]; `good` itself is not asked.
fn last_good(mut good: f64, end: f64, fits: impl Fn(f64) -> bool) -> f64 {
    if fits(end) {
        return end;
    }
    let mut bad = end;
    while (bad - good).abs() > END_MM {
        let middle = (good + bad) / 2.0;
        if fits(middle) {
            good = middle;
        } else {
            bad = middle;
        }
    }
    good
}

impl HalfSupport {
    /// Where a plane with this unit normal leaves two sides that fit, each in a pose that [`Halves::fit`] tries.
    /// `None` for an empty mesh.
    ///
    /// [`Halves::fit`]: super::Halves::fit
    pub fn stretch(&self, normal: &Vector, bed: &Bed, search: Search) -> Option<Stretch> {
        let extent = self.extent_mm(normal)?;
        Some(Stretch::find(extent, |side, offset| {
            let Ok(plane) = Plane::new(*normal, offset) else { return false };
            self.split(&plane).fit(side, bed, search).is_none_or(|fit| fit.verdict.fits())
        }))
    }
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
/// that is enough, else tilted about `through` as little as is found, then moved. `None` where no tilt that was tried
/// (up to 30° in twelve directions) leaves a place.
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
        let mut best: Option<(Nearby, f64)> = None;
        for k in 0..AROUND {
            progress.check()?;
            let azimuth = f64::from(k) * std::f64::consts::TAU / f64::from(AROUND);
            if let Some(found) = tilted(azimuth, deg)
                && best.is_none_or(|(best, _)| found.moved_mm.abs() < best.moved_mm.abs())
            {
                best = Some((found, azimuth));
            }
        }
        if let Some((mut best, azimuth)) = best {
            let (mut low, mut high) = (before, deg);
            for _ in 0..HALVINGS {
                progress.check()?;
                let middle = (low + high) / 2.0;
                match tilted(azimuth, middle) {
                    Some(found) => (best, high) = (found, middle),
                    None => low = middle,
                }
            }
            return Ok(Some(best));
        }
        before = deg;
    }
    Ok(None)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::solids;

    fn support(mesh: &crate::Mesh) -> HalfSupport {
        HalfSupport::build(mesh, &Progress::new()).unwrap()
    }

    fn bar() -> HalfSupport {
        support(&solids::cuboid(Point::origin(), Point::new(40.0, 40.0, 300.0)))
    }

    #[test]
    fn the_stretch_of_a_bar_is_where_neither_side_is_longer_than_the_bed() {
        let bed = Bed::rectangle(50.0, 50.0, 180.0);
        let stretch = bar().stretch(&Vector::z(), &bed, Search::Turned).unwrap();
        assert!((stretch.below_fits_to_mm - 180.0).abs() < 0.02 && (stretch.above_fits_from_mm - 120.0).abs() < 0.02);
        let [low, high] = stretch.both_mm().unwrap();
        assert!(low >= 120.0 - 1e-3 && high <= 180.0 + 1e-3);
        let short = Bed { height_mm: 140.0, ..bed };
        assert_eq!(bar().stretch(&Vector::z(), &short, Search::Turned).unwrap().both_mm(), None);
        // Lying on its side it may be as long as the bed is wide.
        let wide = Bed::rectangle(200.0, 50.0, 50.0);
        assert!(bar().stretch(&Vector::x(), &wide, Search::AnyPose).unwrap().both_mm().is_none());
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
