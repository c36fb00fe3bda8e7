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

    /// What `part`, which lies in it, takes of it, rounded outwards.
    pub(crate) fn part(&self, part: &SmallBox) -> PartBox {
        let share = |k: usize, x: f64| {
            let steps = x / (f64::from(self.high[k]) - f64::from(self.low[k])) * PartBox::STEPS;
            // What is no number, for a flat box, becomes 0.
            // One less outweighs all rounding, here and where it is told.
            (steps.clamp(0.0, PartBox::STEPS) as u8).saturating_sub(1)
        };
        PartBox {
            above_low: [0, 1, 2].map(|k| share(k, f64::from(part.low[k]) - f64::from(self.low[k]))),
            below_high: [0, 1, 2].map(|k| share(k, f64::from(self.high[k]) - f64::from(part.high[k]))),
        }
    }

    /// The side of a plane on which all of a part of it surely lies. It must have bounds.
    pub(crate) fn side_of_part(&self, part: &PartBox, sieve: &Sieve) -> Option<Side> {
        let low = [0, 1, 2].map(|k| f64::from(self.low[k]) + self.steps_mm(k, part.above_low[k]));
        let high = [0, 1, 2].map(|k| f64::from(self.high[k]) - self.steps_mm(k, part.below_high[k]));
        sieve.side_of_box(low, high)
    }

    fn steps_mm(&self, k: usize, steps: u8) -> f64 {
        (f64::from(self.high[k]) - f64::from(self.low[k])) * (f64::from(steps) / PartBox::STEPS)
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

/// A box in a [`SmallBox`], told in steps of that: a quarter of the memory.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct PartBox {
    above_low: [u8; 3],
    below_high: [u8; 3],
}

impl PartBox {
    const STEPS: f64 = 255.0;
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

    #[test]
    fn a_part_of_a_box_is_never_told_smaller_than_it_is() {
        let mut seed = 1_u32;
        let mut number = || {
            seed = seed.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            f64::from(seed >> 8) / f64::from(1 << 24) * 300.0 - 100.0
        };
        for round in 0..2000 {
            let flat = round % 5 == 0;
            let mut place = || Point::new(number(), if flat { 7.0 } else { number() }, number() * 1e-3);
            let all = [place(), place(), place(), place()];
            let (whole, part) = (SmallBox::around(all.into_iter()), SmallBox::around(all[..2].iter().copied()));
            let told = whole.part(&part);
            for k in 0..3 {
                let low = f64::from(whole.low[k]) + whole.steps_mm(k, told.above_low[k]);
                let high = f64::from(whole.high[k]) - whole.steps_mm(k, told.below_high[k]);
                let step = (f64::from(whole.high[k]) - f64::from(whole.low[k])) / PartBox::STEPS;
                assert!(low <= f64::from(part.low[k]) && high >= f64::from(part.high[k]), "{part:?} in {whole:?}");
                assert!(f64::from(part.low[k]) - low <= 2.01 * step && high - f64::from(part.high[k]) <= 2.01 * step);
            }
        }
    }
}
