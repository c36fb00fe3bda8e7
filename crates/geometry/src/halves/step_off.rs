//! Stepping off: the fewest parallel cuts so that all pieces of a long thing fit.
//!
//! What lies between two planes is part of what lies between two that are farther apart, so that a piece made shorter
//! at either end still fits. So the pieces are fewest when each, from one end on, is as long as fits; and halving finds
//! how long that is.

use super::HalfSupport;
use crate::{Bed, Cancelled, Progress, Search, Vector};

/// How long the pieces are made.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Steps {
    /// All equally long, as few as fit.
    Equal,
    /// Each as long as fits, from the lower end on.
    AsLongAsFits,
    /// All of this length, from the lower end on; the last is what is left.
    Every {
        /// The length, mm.
        length_mm: f64,
    },
}

/// What becomes of a last piece that is short.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LastPiece {
    /// It is not made shorter than this, mm: the piece before gives it what is missing.
    pub least_mm: f64,
}

/// Where to step off.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StepOff {
    /// Along this direction, of any length; turned around it begins at the other end.
    pub axis: Vector,
    /// How long the pieces are.
    pub steps: Steps,
    /// What is asked of the last one.
    pub last: LastPiece,
    /// The poses in which a piece may fit: as it stands, turned, and with [`Search::AnyPose`] lying on a cut.
    pub search: Search,
}

/// Why there are no cuts.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum StepOffError {
    /// The work was cancelled.
    #[error("cancelled")]
    Cancelled,
    /// There is nothing to cut.
    #[error("there is nothing to step off along")]
    Nothing,
    /// A direction or a length is no use.
    #[error("stepping off needs a direction and a length of more than {least} mm", least = SHORTEST_MM)]
    NoLength,
    /// Even a thin slice does not fit.
    #[error(
        "across this axis it is too big for the bed: even a slice {slice_mm:.1} mm thick, {at_mm:.1} mm from the end, \
         sticks out by {excess_mm:.1} mm. Cut it along another axis first"
    )]
    TooWide {
        /// Where, from the end that it begins at, mm.
        at_mm: f64,
        /// Thickness of the slice, mm.
        slice_mm: f64,
        /// By how much, mm.
        excess_mm: f64,
    },
    /// Pieces of the length asked for do not fit.
    #[error(
        "piece {number} would stick out by {excess_mm:.1} mm: pieces of {length_mm:.1} mm are too long here. From this \
         end the first may be {longest_mm:.1} mm"
    )]
    TooLong {
        /// Which piece, from 1.
        number: usize,
        /// Its length, mm.
        length_mm: f64,
        /// By how much it sticks out, mm.
        excess_mm: f64,
        /// As long as the first piece may be, mm.
        longest_mm: f64,
    },
    /// There would be more pieces than anybody wants.
    #[error("it would take more than {MOST_PIECES} pieces")]
    TooMany,
}

impl From<Cancelled> for StepOffError {
    fn from(_: Cancelled) -> StepOffError {
        StepOffError::Cancelled
    }
}

/// A piece shorter than this is none (common practice, no source: a few layers of print).
const SHORTEST_MM: f64 = 1.0;
/// More pieces than this are a mistake (our own choice, no source).
const MOST_PIECES: usize = 200;
/// Lengths are found to this, mm.
const LENGTH_MM: f64 = 0.01;

impl HalfSupport {
    /// Offsets along the unit vector of `how.axis`, ascending, of the cuts that step it off; none where it fits whole.
    ///
    /// With [`Steps::AsLongAsFits`] no fewer parallel cuts do, among poses that are tried; with [`Steps::Equal`] no
    /// fewer equal ones. Every piece was found to fit within the live fit's error: the pieces that are made have the
    /// last word.
    pub fn step_off(&self, how: &StepOff, bed: &Bed, progress: &Progress) -> Result<Vec<f64>, StepOffError> {
        let normal = how.axis.try_normalize(0.0).filter(|n| n.iter().all(|x| x.is_finite()));
        let normal = normal.ok_or(StepOffError::NoLength)?;
        let [low, high] = self.extent_mm(&normal).ok_or(StepOffError::Nothing)?;
        let pieces = Pieces { support: self, normal, low, high, bed, search: how.search, progress };
        progress.stage("stepping off");
        let cuts = match how.steps {
            Steps::AsLongAsFits => pieces.as_long_as_fits()?,
            Steps::Equal => pieces.equal()?,
            Steps::Every { length_mm } if length_mm >= SHORTEST_MM => pieces.every(length_mm)?,
            Steps::Every { .. } => return Err(StepOffError::NoLength),
        };
        pieces.with_last(cuts, how.last.least_mm)
    }
}

struct Pieces<'a> {
    support: &'a HalfSupport,
    normal: Vector,
    low: f64,
    high: f64,
    bed: &'a Bed,
    search: Search,
    progress: &'a Progress,
}

impl Pieces<'_> {
    /// By how much what lies between two offsets sticks out, mm; 0 or less where it fits.
    fn excess_mm(&self, from: f64, to: f64) -> Result<f64, Cancelled> {
        self.progress.check()?;
        // The ends of the whole are no cuts.
        let low = if from <= self.low { f64::NEG_INFINITY } else { from };
        let high = if to >= self.high { f64::INFINITY } else { to };
        let fit = self.support.slab(&self.normal, low, high).fit(self.bed, self.search);
        Ok(fit.map_or(0.0, |fit| if fit.verdict.fits() { 0.0 } else { (-fit.slack_mm).max(LENGTH_MM) }))
    }

    fn fits(&self, from: f64, to: f64) -> Result<bool, Cancelled> {
        Ok(self.excess_mm(from, to)? <= 0.0)
    }

    /// The farthest end of a piece that begins at `from`.
    fn farthest(&self, from: f64) -> Result<f64, StepOffError> {
        if self.fits(from, self.high)? {
            return Ok(self.high);
        }
        let (mut good, mut bad) = (from, self.high);
        while bad - good > LENGTH_MM {
            let middle = (good + bad) / 2.0;
            if self.fits(from, middle)? {
                good = middle;
            } else {
                bad = middle;
            }
        }
        if good - from < SHORTEST_MM {
            let slice_mm = (bad - from).max(SHORTEST_MM);
            let excess_mm = self.excess_mm(from, from + slice_mm)?;
            return Err(StepOffError::TooWide { at_mm: from - self.low, slice_mm, excess_mm });
        }
        Ok(good)
    }

    fn as_long_as_fits(&self) -> Result<Vec<f64>, StepOffError> {
        let (mut cuts, mut from) = (Vec::new(), self.low);
        loop {
            let to = self.farthest(from)?;
            if to >= self.high {
                return Ok(cuts);
            }
            cuts.push(to);
            if cuts.len() >= MOST_PIECES {
                return Err(StepOffError::TooMany);
            }
            from = to;
        }
    }

    fn equal(&self) -> Result<Vec<f64>, StepOffError> {
        let fewest = self.as_long_as_fits()?.len() + 1;
        for count in fewest..=MOST_PIECES {
            let length = (self.high - self.low) / count as f64;
            let cuts: Vec<f64> = (1..count).map(|k| self.low + length * k as f64).collect();
            if self.first_too_long(&cuts)?.is_none() {
                return Ok(cuts);
            }
        }
        Err(StepOffError::TooMany)
    }

    fn every(&self, length_mm: f64) -> Result<Vec<f64>, StepOffError> {
        if (self.high - self.low) / length_mm > MOST_PIECES as f64 {
            return Err(StepOffError::TooMany);
        }
        let cuts = (1..).map(|k| self.low + length_mm * f64::from(k));
        Ok(cuts.take_while(|cut| *cut < self.high - LENGTH_MM).collect())
    }

    /// The cuts, with the last moved back where the last piece would be too short; all pieces asked once more.
    fn with_last(&self, mut cuts: Vec<f64>, least_mm: f64) -> Result<Vec<f64>, StepOffError> {
        let count = cuts.len();
        if let Some(&last) = cuts.last()
            && self.high - last < least_mm
        {
            cuts[count - 1] = self.high - least_mm;
        }
        // A piece before that would have nothing left is no piece.
        let starts = std::iter::once(self.low).chain(cuts.iter().copied());
        if starts.zip(&cuts).any(|(from, to)| to - from < SHORTEST_MM) {
            return Err(StepOffError::NoLength);
        }
        match self.first_too_long(&cuts)? {
            None => Ok(cuts),
            Some((number, length_mm, excess_mm)) => {
                let longest_mm = self.farthest(self.low)? - self.low;
                Err(StepOffError::TooLong { number, length_mm, excess_mm, longest_mm })
            }
        }
    }

    /// Number, length and excess of the first piece that does not fit.
    fn first_too_long(&self, cuts: &[f64]) -> Result<Option<(usize, f64, f64)>, Cancelled> {
        let starts = std::iter::once(self.low).chain(cuts.iter().copied());
        let ends = cuts.iter().copied().chain([self.high]);
        for (index, (from, to)) in starts.zip(ends).enumerate() {
            let excess_mm = self.excess_mm(from, to)?;
            if excess_mm > 0.0 {
                return Ok(Some((index + 1, to - from, excess_mm)));
            }
        }
        Ok(None)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Plane, Point, Side, solids};

    fn bar() -> HalfSupport {
        let bar = solids::cuboid(Point::new(0.0, 0.0, 5.0), Point::new(40.0, 40.0, 1005.0));
        HalfSupport::build(&bar, &Progress::new()).unwrap()
    }

    fn how(steps: Steps, least_mm: f64) -> StepOff {
        StepOff { axis: Vector::z() * 3.0, steps, last: LastPiece { least_mm }, search: Search::Turned }
    }

    fn near(cuts: &[f64], expected: &[f64]) {
        let close = cuts.len() == expected.len() && cuts.iter().zip(expected).all(|(a, b)| (a - b).abs() < 0.1);
        assert!(close, "{cuts:?}, not {expected:?}");
    }

    #[test]
    fn a_bar_is_stepped_off_with_the_fewest_cuts() {
        let bed = Bed::rectangle(50.0, 50.0, 300.0);
        let step = |how: StepOff| bar().step_off(&how, &bed, &Progress::new());
        near(&step(how(Steps::AsLongAsFits, 0.0)).unwrap(), &[305.0, 605.0, 905.0]);
        near(&step(how(Steps::AsLongAsFits, 150.0)).unwrap(), &[305.0, 605.0, 855.0]);
        near(&step(how(Steps::Equal, 0.0)).unwrap(), &[255.0, 505.0, 755.0]);
        near(&step(how(Steps::Every { length_mm: 290.0 }, 0.0)).unwrap(), &[295.0, 585.0, 875.0]);
        let from_above = StepOff { axis: -Vector::z(), ..how(Steps::AsLongAsFits, 0.0) };
        near(&step(from_above).unwrap(), &[-705.0, -405.0, -105.0]);
        assert!(
            bar()
                .step_off(&how(Steps::Equal, 0.0), &Bed::rectangle(50.0, 50.0, 1000.1), &Progress::new())
                .unwrap()
                .is_empty()
        );
    }

    #[test]
    fn what_cannot_be_stepped_off_is_said() {
        let bed = Bed::rectangle(50.0, 50.0, 300.0);
        let step = |how: StepOff, bed: &Bed| bar().step_off(&how, bed, &Progress::new()).unwrap_err();
        let error = step(how(Steps::Every { length_mm: 320.0 }, 0.0), &bed);
        let StepOffError::TooLong { number: 1, excess_mm, longest_mm, .. } = error else { panic!("{error:?}") };
        assert!((excess_mm - 20.0).abs() < 0.1 && (longest_mm - 300.0).abs() < 0.1);
        let error = step(how(Steps::Equal, 0.0), &Bed::rectangle(30.0, 50.0, 300.0));
        assert!(
            matches!(error, StepOffError::TooWide { excess_mm, .. } if (excess_mm - 10.0).abs() < 0.1),
            "{error:?}"
        );
        assert_eq!(step(how(Steps::Every { length_mm: 0.1 }, 0.0), &bed), StepOffError::NoLength);
        assert_eq!(step(how(Steps::Every { length_mm: 2.0 }, 0.0), &bed), StepOffError::TooMany);
        let cancelled = Progress::new();
        cancelled.cancel();
        assert_eq!(bar().step_off(&how(Steps::Equal, 0.0), &bed, &cancelled), Err(StepOffError::Cancelled));
        assert_eq!(
            HalfSupport::default().step_off(&how(Steps::Equal, 0.0), &bed, &Progress::new()),
            Err(StepOffError::Nothing)
        );
    }

    #[test]
    fn a_slab_is_what_two_halves_share() {
        let ring = solids::torus(Point::new(3.0, 4.0, 5.0), 60.0, 15.0, 80, 40);
        let support = HalfSupport::build_within(&ring, 0.0, &Progress::new()).unwrap();
        let normal = Vector::new(0.6, 0.0, 0.8);
        let slab = support.slab(&normal, -10.0, 25.0).bounds().unwrap();
        let both = [(Side::Above, -10.0), (Side::Below, 25.0)]
            .map(|(side, offset)| support.split(&Plane::new(normal, offset).unwrap()).bounds(side).unwrap());
        for bounds in both {
            assert!((0..3).all(|k| bounds.min[k] <= slab.min[k] && slab.max[k] <= bounds.max[k]));
        }
        let width = support.slab(&normal, -10.0, 25.0).half.width_mm(&normal, false).unwrap();
        assert!((width - 35.0).abs() < 1e-9);
        let all = support.slab(&normal, f64::NEG_INFINITY, f64::INFINITY).bounds().unwrap();
        assert_eq!(all, ring.bounds().unwrap());
    }
}
