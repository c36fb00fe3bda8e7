//! Where the vertices and faces of a solid lie, and how many come before.

use std::ops::Range;

use rayon::prelude::*;

use super::BLOCK;
use crate::Side;
use crate::predicates::Where;

/// Where each of some vertices or faces lies, and how many before each block lie below and above.
pub(super) struct Marks {
    pub marks: Vec<Where>,
    /// One more than blocks: the last has all.
    before: Vec<[usize; 2]>,
}

impl Marks {
    /// From the marks and how many of each block lie strictly below and above.
    pub fn new(marks: Vec<Where>, counts: impl IntoIterator<Item = [usize; 2]>) -> Marks {
        let mut sum = [0; 2];
        let mut before = vec![sum];
        before.extend(counts.into_iter().map(|count| {
            sum = [sum[0] + count[0], sum[1] + count[1]];
            sum
        }));
        Marks { marks, before }
    }

    /// Counts them.
    pub fn counted(marks: Vec<Where>) -> Marks {
        let counts: Vec<[usize; 2]> = marks
            .par_chunks(BLOCK)
            .map(|block| [Where::Below, Where::Above].map(|side| block.iter().filter(|m| **m == side).count()))
            .collect();
        Marks::new(marks, counts)
    }

    /// How many lie strictly below and above.
    pub fn counts(&self) -> [usize; 2] {
        self.before.last().copied().unwrap_or_default()
    }

    /// For each vertex its number among those on its side; for one on the plane, 0.
    pub fn numbers(&self) -> Vec<u32> {
        let mut numbers = vec![0; self.marks.len()];
        let blocks = numbers.par_chunks_mut(BLOCK).zip(self.marks.par_chunks(BLOCK)).zip(&self.before);
        blocks.for_each(|((numbers, marks), before)| {
            let [mut below, mut above] = before.map(|n| n as u32);
            for (number, mark) in numbers.iter_mut().zip(marks) {
                // Without a branch, since in a mesh without order nobody can foresee it.
                *number = match mark {
                    Where::Below => below,
                    Where::Above => above,
                    Where::On => 0,
                };
                below += u32::from(*mark == Where::Below);
                above += u32::from(*mark == Where::Above);
            }
        });
        numbers
    }

    /// Those that lie on `side`, in runs without a gap. Neighbours in space are mostly neighbours in a mesh, so that runs
    /// are long, and copied whole.
    pub fn runs(&self, side: Side) -> impl Iterator<Item = Range<usize>> + '_ {
        let wanted = if side == Side::Below { Where::Below } else { Where::Above };
        let mut next = 0;
        std::iter::from_fn(move || {
            let rest = &self.marks[next..];
            let from = next + rest.iter().position(|mark| *mark == wanted)?;
            let run = &self.marks[from..];
            next = from + run.iter().position(|mark| *mark != wanted).unwrap_or(run.len());
            Some(from..next)
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn marks(count: usize) -> Marks {
        // A linear congruential generator (multiplier from Knuth's MMIX), so that no block is like another.
        let mut state = 7_u64;
        let mut mark = |_| {
            state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            [Where::Below, Where::On, Where::Above, Where::Above][(state >> 62) as usize]
        };
        Marks::counted((0..count).map(&mut mark).collect())
    }

    #[test]
    fn runs_hold_all_of_a_side_in_order_and_numbers_count_them() {
        for count in [0, 1, 5, BLOCK, BLOCK + 1, 5 * BLOCK + 77] {
            let marks = marks(count);
            let numbers = marks.numbers();
            for (side, wanted) in [(Side::Below, Where::Below), (Side::Above, Where::Above)] {
                let expected: Vec<usize> = (0..count).filter(|&i| marks.marks[i] == wanted).collect();
                assert!(marks.runs(side).flatten().eq(expected.iter().copied()));
                assert_eq!(marks.counts()[side as usize], expected.len());
                assert!((0..).zip(&expected).all(|(new, &old)| numbers[old] == new));
            }
        }
    }
}
