//! Boxes that only say where to look.

use crate::predicates::Sieve;
use crate::{Point, Side};

/// An upright box in single precision, rounded outwards: half the memory, and as good where it only says where to look.
#[derive(Clone, Copy, Debug)]
pub(crate) struct SmallBox {
    pub(crate) low: [f32; 3],
    pub(crate) high: [f32; 3],
}

impl SmallBox {
    pub(crate) const NOTHING: SmallBox = SmallBox { low: [f32::INFINITY; 3], high: [f32::NEG_INFINITY; 3] };
    /// Lies on no side of any plane.
    pub(crate) const EVERYWHERE: SmallBox = SmallBox { low: [f32::NEG_INFINITY; 3], high: [f32::INFINITY; 3] };

    /// The box around `points`. Points that are not finite, or so far off that this precision has no number for it, are
    /// nowhere, so that they may be on either side.
    pub(crate) fn around(points: impl Iterator<Item = Point>) -> SmallBox {
        let (mut low, mut high) = ([f64::INFINITY; 3], [f64::NEG_INFINITY; 3]);
        for p in points {
            if !p.iter().all(|x| x.abs() <= f64::from(f32::MAX)) {
                return SmallBox::EVERYWHERE;
            }
            for k in 0..3 {
                low[k] = low[k].min(p[k]);
                high[k] = high[k].max(p[k]);
            }
        }
        SmallBox { low: low.map(rounded_down), high: high.map(|x| -rounded_down(-x)) }
    }

    pub(crate) fn around_all(boxes: &[SmallBox]) -> SmallBox {
        boxes.iter().fold(SmallBox::NOTHING, |all, one| SmallBox {
            low: [0, 1, 2].map(|k| all.low[k].min(one.low[k])),
            high: [0, 1, 2].map(|k| all.high[k].max(one.high[k])),
        })
    }

    pub(crate) fn side(&self, sieve: &Sieve) -> Option<Side> {
        sieve.side_of_box(self.low.map(f64::from), self.high.map(f64::from))
    }

    /// Whether the two have a place in common.
    pub(crate) fn meets(&self, other: &SmallBox) -> bool {
        (0..3).all(|k| self.low[k] <= other.high[k] && other.low[k] <= self.high[k])
    }

    /// The box of all places within `by_mm` of this one, along the axes.
    pub(crate) fn grown(&self, by_mm: f64) -> SmallBox {
        SmallBox {
            low: self.low.map(|x| rounded_down(f64::from(x) - by_mm)),
            high: self.high.map(|x| -rounded_down(-f64::from(x) - by_mm)),
        }
    }

    /// Square of the distance of `p` from the nearest place in it, mm²; infinite for the box of nothing.
    pub(crate) fn distance_squared(&self, p: &Point) -> f64 {
        let off = |k: usize| (f64::from(self.low[k]) - p[k]).max(p[k] - f64::from(self.high[k])).max(0.0);
        (0..3).map(|k| off(k) * off(k)).sum()
    }

    /// Square of the least distance between places of the two, mm²; infinite where one is the box of nothing.
    pub(crate) fn distance_squared_to(&self, other: &SmallBox) -> f64 {
        let off = |k: usize| {
            let apart = f64::from(self.low[k]) - f64::from(other.high[k]);
            apart.max(f64::from(other.low[k]) - f64::from(self.high[k])).max(0.0)
        };
        (0..3).map(|k| off(k) * off(k)).sum()
    }

    pub(crate) fn has_bounds(&self) -> bool {
        self.low[0].is_finite()
    }

    /// Its largest coordinate; 0 without bounds.
    pub(crate) fn largest_mm(&self) -> f64 {
        let largest = (0..3).fold(0.0_f32, |most, k| most.max(-self.low[k]).max(self.high[k]));
        if self.has_bounds() { f64::from(largest) } else { 0.0 }
    }
}

/// The largest number of single precision that is not above `x`.
fn rounded_down(x: f64) -> f32 {
    let near = x as f32;
    if f64::from(near) > x { near.next_down() } else { near }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_small_box_holds_what_it_is_around() {
        for x in [0.1, -0.1, 1.0, -0.0, 1e-310, -1e-310, 16_777_217.0, -16_777_217.0, 1e39, -1e39, f64::MAX, f64::MIN] {
            let b = SmallBox::around([Point::new(x, x, x)].into_iter());
            assert!(f64::from(b.low[0]) <= x && x <= f64::from(b.high[0]), "{x} in {b:?}");
        }
        let nowhere = SmallBox::around([Point::origin(), Point::new(0.0, f64::NAN, 0.0)].into_iter());
        let all = SmallBox::around_all(&[nowhere, SmallBox::around([Point::origin()].into_iter())]);
        assert!(!nowhere.has_bounds() && !all.has_bounds());
    }
}
