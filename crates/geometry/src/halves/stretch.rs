//! Where along its normal a plane may lie so that both sides fit.
//!
//! What lies below a plane is part of what lies below a higher one. So if it fits at some offset it fits, in the same
//! pose, at every lower one, and the last offset at which it fits is found by halving; the same holds above. The ends
//! told are always ones at which it fits.

use super::HalfSupport;
use crate::{Bed, Plane, Search, Side, Vector};

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

    /// The same where more poses are asked, each costing far more: from the ends that are known on, to `to_mm`.
    pub fn widened<E>(
        &self,
        extent_mm: [f64; 2],
        to_mm: f64,
        mut fits: impl FnMut(Side, f64) -> Result<bool, E>,
    ) -> Result<Stretch, E> {
        let mut farthest = |side: Side, mut good: f64, end: f64| {
            if good == end || fits(side, end)? {
                return Ok(end);
            }
            let mut bad = end;
            while (bad - good).abs() > to_mm {
                let middle = (good + bad) / 2.0;
                if fits(side, middle)? { good = middle } else { bad = middle }
            }
            Ok(good)
        };
        Ok(Stretch {
            below_fits_to_mm: farthest(Side::Below, self.below_fits_to_mm, extent_mm[1])?,
            above_fits_from_mm: farthest(Side::Above, self.above_fits_from_mm, extent_mm[0])?,
        })
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

#[cfg(test)]
pub(super) mod tests {
    use super::*;
    use crate::{Point, Progress, solids};

    pub(in crate::halves) fn support(mesh: &crate::Mesh) -> HalfSupport {
        HalfSupport::build(mesh, &Progress::new()).unwrap()
    }

    pub(in crate::halves) fn bar() -> HalfSupport {
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
        // With other poses asked, ends only move outwards.
        let fits = |side: Side, at: f64| -> Result<bool, ()> {
            Ok(if side == Side::Below { at <= 200.0 } else { at >= 100.0 })
        };
        let wider = stretch.widened([0.0, 300.0], 0.1, fits).unwrap();
        assert!(
            (199.9..=200.0).contains(&wider.below_fits_to_mm) && (100.0..=100.1).contains(&wider.above_fits_from_mm)
        );
        assert_eq!(stretch.widened([0.0, 300.0], 0.1, |_, _| Err(())), Err(()));
        // Lying on its side it may be as long as the bed is wide.
        let wide = Bed::rectangle(200.0, 50.0, 50.0);
        assert!(bar().stretch(&Vector::x(), &wide, Search::AnyPose).unwrap().both_mm().is_none());
    }
}
