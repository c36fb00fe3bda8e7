//! A linear programme in seven unknowns whose rows come as they are needed: how much clearance a body that is moved a
//! little can have at most.
//!
//! The dual simplex method (C. E. Lemke, Naval Research Logistics Quarterly 1:36–47, 1954): every step exchanges one row of
//! seven and lowers the clearance, so that it may end at any time with a bound. What is told at the end does not rest on
//! the steps: it is the weighted sum of the rows, with the error of the weights added.

use nalgebra::{SMatrix, SVector};

/// What is asked for: three parts of a small rotation, three of a shift, and the clearance, all in mm.
pub(super) type Unknowns = SVector<f64, 7>;
/// Which of the unknowns is the clearance.
pub(super) const CLEARANCE: usize = 6;

/// What the unknowns must keep to: `row · unknowns ≤ at_most`.
#[derive(Clone, Copy, Debug)]
pub(super) struct Row {
    pub row: Unknowns,
    pub at_most: f64,
}

impl Row {
    /// How far it is overstepped.
    pub fn over(&self, at: &Unknowns) -> f64 {
        self.row.dot(at) - self.at_most
    }
}

/// The programme: the most clearance that all rows allow.
pub(super) struct Programme {
    rows: Vec<Row>,
    /// The seven rows that hold the present answer.
    held: [usize; 7],
    inverse: SMatrix<f64, 7, 7>,
    /// The present answer.
    at: Unknowns,
}

/// A row is overstepped by more than this, mm: rounding of places a metre away is a thousandth of it.
const OVERSTEPPED_MM: f64 = 1e-9;
/// Steps at one time before giving up: a few dozen are the rule. Our own choice, no source.
const MOST_STEPS: usize = 400;
/// A pivot smaller than this is rounding of zero: rows have a length of about one.
const PIVOT: f64 = 1e-10;

impl Programme {
    /// Begins with rows of which the first seven hold every unknown; the seventh holds the clearance by itself.
    pub fn new(rows: Vec<Row>) -> Option<Programme> {
        let mut matrix = SMatrix::<f64, 7, 7>::zeros();
        for (k, row) in rows.iter().take(7).enumerate() {
            matrix.set_row(k, &row.row.transpose());
        }
        let mut programme =
            Programme { rows, held: std::array::from_fn(|k| k), inverse: matrix.try_inverse()?, at: Unknowns::zeros() };
        programme.place();
        Some(programme)
    }

    /// The present answer.
    pub fn at(&self) -> &Unknowns {
        &self.at
    }

    /// The clearance of the present answer: no more is left.
    pub fn clearance(&self) -> f64 {
        self.at[CLEARANCE]
    }

    pub fn add(&mut self, row: Row) {
        self.rows.push(row);
    }

    /// Keeps to all rows, unless the clearance falls below `enough` before.
    pub fn solve(&mut self, enough: f64) {
        for _ in 0..MOST_STEPS {
            if self.clearance() < enough {
                return;
            }
            let worst = (0..self.rows.len())
                .map(|k| (self.rows[k].over(&self.at), k))
                .fold((OVERSTEPPED_MM, None), |worst, (over, k)| if over > worst.0 { (over, Some(k)) } else { worst });
            let Some(entering) = worst.1 else { return };
            if !self.exchange(entering) {
                return;
            }
        }
    }

    fn exchange(&mut self, entering: usize) -> bool {
        let pivots = self.inverse.tr_mul(&self.rows[entering].row);
        let share = |k: usize| self.inverse[(CLEARANCE, k)].max(0.0) / pivots[k];
        // Of rows that could leave, the one with the largest pivot keeps rounding small.
        let first = |i: usize, j: usize| share(i).total_cmp(&share(j)).then(pivots[j].total_cmp(&pivots[i]));
        let Some(leaving) = (0..7).filter(|&k| pivots[k] > PIVOT).min_by(|&i, &j| first(i, j)) else { return false };
        let column = self.inverse.column(leaving) / pivots[leaving];
        for k in 0..7 {
            if k == leaving {
                self.inverse.set_column(k, &column);
            } else {
                let next = self.inverse.column(k) - column * pivots[k];
                self.inverse.set_column(k, &next);
            }
        }
        self.held[leaving] = entering;
        self.place();
        true
    }

    fn place(&mut self) {
        let limits = Unknowns::from_fn(|k, _| self.rows[self.held[k]].at_most);
        self.at = self.inverse * limits;
    }

    /// The rows that hold the present answer, with their weights in it, and what they are held to.
    pub fn held(&self) -> impl Iterator<Item = (usize, f64, f64)> {
        let held = |k: usize| (self.held[k], self.inverse[(CLEARANCE, k)], self.rows[self.held[k]].at_most);
        (0..7).map(held).filter(|(_, weight, _)| *weight > 0.0)
    }

    /// What no unknowns leave more of that keep to the rows, where none of them is farther from nothing than `ranges`.
    pub fn at_most(&self, ranges: &Unknowns) -> f64 {
        let (mut sum, mut off) = (0.0, Unknowns::zeros());
        off[CLEARANCE] = -1.0;
        for (k, &row) in self.held.iter().enumerate() {
            let weight = self.inverse[(CLEARANCE, k)].max(0.0);
            sum += weight * self.rows[row].at_most;
            off += self.rows[row].row * weight;
        }
        sum + off.abs().dot(ranges)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// All unknowns within ±10, the clearance at most 10.
    fn within_ten() -> Vec<Row> {
        let side = |k: usize, sign: f64| Row { row: Unknowns::ith(k, sign), at_most: 10.0 };
        (0..6).map(|k| side(k, -1.0)).chain([side(CLEARANCE, 1.0)]).chain((0..6).map(|k| side(k, 1.0))).collect()
    }

    #[test]
    fn without_more_rows_the_clearance_is_what_it_is_held_by() {
        let mut programme = Programme::new(within_ten()).unwrap();
        programme.solve(f64::NEG_INFINITY);
        assert!((programme.clearance() - 10.0).abs() < 1e-12);
    }

    proptest! {
        #[test]
        fn the_bound_is_reached_and_never_passed(
            rows in prop::collection::vec((prop::array::uniform6(-1.0_f64..1.0), -3.0_f64..3.0), 1..40),
            tries in prop::collection::vec(prop::array::uniform6(-10.0_f64..10.0), 50),
        ) {
            let rows = rows.into_iter().map(|(parts, at_most)| {
                let row = Unknowns::from_iterator(parts.into_iter().chain([1.0]));
                Row { row, at_most }
            });
            let all: Vec<Row> = within_ten().into_iter().chain(rows).collect();
            let mut programme = Programme::new(all.clone()).unwrap();
            programme.solve(f64::NEG_INFINITY);
            let at_most = programme.at_most(&Unknowns::repeat(10.0));
            prop_assert!((at_most - programme.clearance()).abs() < 1e-6);
            // The answer keeps to all rows.
            prop_assert!(all.iter().all(|row| row.over(programme.at()) < 1e-6));
            let leaves = |parts: &[f64; 6]| {
                let at = Unknowns::from_iterator(parts.iter().copied().chain([0.0]));
                all.iter().filter(|row| row.row[CLEARANCE] > 0.0).map(|row| -row.over(&at)).fold(f64::INFINITY, f64::min)
            };
            for parts in &tries {
                prop_assert!(leaves(parts) <= at_most + 1e-9);
            }
        }
    }
}
