//! Symmetric systems of equations that only neighbours share: those of a patch.

use rustc_hash::FxHashMap;

/// A symmetric matrix, its lower half row by row, from the first entry that is not 0 to the diagonal: what eliminating keeps
/// (Jennings, "A compact storage scheme for the solution of symmetric linear simultaneous equations", 1966). For a patch of n
/// vertices a row has some √n entries in a good order: a few thousand vertices take a fraction of a second. A library for
/// sparse systems would bring more code than this patch of it.
pub(super) struct Envelope {
    /// Where each unknown stands.
    place: Vec<usize>,
    first: Vec<usize>,
    rows: Vec<Vec<f64>>,
}

impl Envelope {
    /// An empty matrix for unknowns of which `neighbours` share an entry.
    pub(super) fn new(neighbours: &[Vec<usize>]) -> Envelope {
        let place = order(neighbours);
        let mut first: Vec<usize> = (0..place.len()).collect();
        for (i, others) in neighbours.iter().enumerate() {
            for &j in others {
                let row = place[i].max(place[j]);
                first[row] = first[row].min(place[i].min(place[j]));
            }
        }
        let rows = first.iter().enumerate().map(|(i, first)| vec![0.0; i + 1 - first]).collect();
        Envelope { place, first, rows }
    }

    /// Adds to the entry of two unknowns (once for both halves).
    pub(super) fn add(&mut self, i: usize, j: usize, value: f64) {
        let (i, j) = (self.place[i], self.place[j]);
        let row = i.max(j);
        self.rows[row][i.min(j) - self.first[row]] += value;
    }

    /// Solves for several right sides at once; `None` where the matrix is not positive definite. (Cholesky.)
    pub(super) fn solve<const N: usize>(mut self, right: &[[f64; N]]) -> Option<Vec<[f64; N]>> {
        for i in 0..self.rows.len() {
            let (above, rest) = self.rows.split_at_mut(i);
            let row = &mut rest[0];
            let start = self.first[i];
            for j in start..i {
                let other = &above[j];
                let from = start.max(self.first[j]);
                let sum = dot(&row[from - start..j - start], &other[from - self.first[j]..j - self.first[j]]);
                row[j - start] = (row[j - start] - sum) / other[j - self.first[j]];
            }
            let diagonal = row[i - start] - dot(&row[..i - start], &row[..i - start]);
            if !(diagonal > 0.0 && diagonal.is_finite()) {
                return None;
            }
            row[i - start] = diagonal.sqrt();
        }
        let mut solved = vec![[0.0; N]; right.len()];
        for (i, value) in right.iter().enumerate() {
            solved[self.place[i]] = *value;
        }
        for (i, (row, &start)) in self.rows.iter().zip(&self.first).enumerate() {
            let (before, from_here) = solved.split_at_mut(i);
            for (k, value) in from_here[0].iter_mut().enumerate() {
                let sum: f64 = row.iter().zip(&before[start..]).map(|(entry, solved)| entry * solved[k]).sum();
                *value = (*value - sum) / row[i - start];
            }
        }
        for (i, (row, &start)) in self.rows.iter().zip(&self.first).enumerate().rev() {
            let (before, from_here) = solved.split_at_mut(i);
            for (k, value) in from_here[0].iter_mut().enumerate() {
                *value /= row[i - start];
                for (entry, solved) in row.iter().zip(&mut before[start..]) {
                    solved[k] -= entry * *value;
                }
            }
        }
        Some(self.place.iter().map(|&place| solved[place]).collect())
    }
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

/// An order in which neighbours stand near each other: breadth first from one end, those with few neighbours first, and back
/// (Cuthill and McKee, "Reducing the bandwidth of sparse symmetric matrices", 1969; George, 1971, for the way back).
fn order(neighbours: &[Vec<usize>]) -> Vec<usize> {
    let walk = |from: usize, seen: &mut FxHashMap<usize, ()>| {
        let mut found = vec![from];
        seen.insert(from, ());
        let mut next = 0;
        while let Some(&i) = found.get(next) {
            next += 1;
            let mut news: Vec<usize> = neighbours[i].iter().copied().filter(|j| !seen.contains_key(j)).collect();
            news.sort_unstable_by_key(|j| (neighbours[*j].len(), *j));
            news.dedup();
            for j in news {
                seen.insert(j, ());
                found.push(j);
            }
        }
        found
    };
    let mut place = vec![usize::MAX; neighbours.len()];
    let mut taken = 0;
    for start in 0..neighbours.len() {
        if place[start] != usize::MAX {
            continue;
        }
        // The last one reached lies at an end.
        let end = walk(start, &mut FxHashMap::default()).last().copied().unwrap_or(start);
        for i in walk(end, &mut FxHashMap::default()) {
            place[i] = taken;
            taken += 1;
        }
    }
    place.iter().map(|place| taken - 1 - place).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use nalgebra::{DMatrix, DVector};
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn it_solves_what_a_full_matrix_solves(
            size in 1..20_usize,
            links in prop::collection::vec((0..20_usize, 0..20_usize, -1.0..1.0f64), 0..40),
            right in prop::collection::vec(-5.0..5.0f64, 20),
        ) {
            let links: Vec<_> = links.into_iter().filter(|(i, j, _)| i != j && *i < size && *j < size).collect();
            let mut neighbours = vec![Vec::new(); size];
            for (i, j, _) in &links {
                neighbours[*i].push(*j);
                neighbours[*j].push(*i);
            }
            let mut full = DMatrix::<f64>::identity(size, size) * 50.0;
            let mut ours = Envelope::new(&neighbours);
            (0..size).for_each(|i| ours.add(i, i, 50.0));
            for (i, j, value) in links {
                full[(i, j)] += value;
                full[(j, i)] += value;
                ours.add(i, j, value);
            }
            let right = &right[..size];
            let expected = full.cholesky().unwrap().solve(&DVector::from_row_slice(right));
            let found = ours.solve(&right.iter().map(|x| [*x]).collect::<Vec<_>>()).unwrap();
            for (i, [x]) in found.into_iter().enumerate() {
                prop_assert!((x - expected[i]).abs() < 1e-9);
            }
        }
    }

    #[test]
    fn what_is_not_positive_definite_has_no_solution() {
        let mut matrix = Envelope::new(&[vec![1], vec![0]]);
        matrix.add(0, 1, 1.0);
        matrix.add(0, 0, 1.0);
        assert_eq!(matrix.solve(&[[1.0], [1.0]]), None);
    }
}
