//! The patch of least area over a rim.

use crate::Point;
use crate::predicates::on_one_line;

/// A closed rim.
pub(super) struct Rim<'a> {
    /// The vertices along it.
    pub places: &'a [Point],
    /// Whether an edge may be drawn between two of them, by their numbers along the rim.
    pub is_free: &'a dyn Fn(usize, usize) -> bool,
    /// Whether a triangle between three of them may lie there.
    pub is_clear: &'a dyn Fn(usize, usize, usize) -> bool,
}

/// The triangulation of a rim that has the least area, using its vertices alone, as numbers along the rim; all triangles run
/// along it. `None` where every triangulation has triangles without area or that are not clear, or edges that are not free.
///
/// For each stretch of the rim, the best third corner over its chord, from the shortest to the longest (Barequet and Sharir,
/// "Filling gaps in the boundary of a polyhedron", 1995): the time grows with the third power of the number of edges and
/// the memory with the second.
pub(super) fn least_area(rim: &Rim<'_>) -> Option<Vec<[usize; 3]>> {
    let n = rim.places.len();
    if n < 3 {
        return None;
    }
    let area = |i: usize, k: usize, j: usize| {
        let [a, b, c] = [i, k, j].map(|v| &rim.places[v]);
        if on_one_line([a, b, c]) { f64::INFINITY } else { (b - a).cross(&(c - a)).norm() / 2.0 }
    };
    // Of the stretch from i to j: the least area, and the corner that gives it.
    let mut best = vec![(0.0_f64, usize::MAX); n * n];
    for length in 2..n {
        for i in 0..n - length {
            let j = i + length;
            let chord_is_free = length == n - 1 || (rim.is_free)(i, j);
            let mut least = (f64::INFINITY, usize::MAX);
            if chord_is_free {
                for k in i + 1..j {
                    let sides = best[i * n + k].0 + best[k * n + j].0;
                    if sides < least.0 {
                        let total = sides + area(i, k, j);
                        if total < least.0 && (rim.is_clear)(i, k, j) {
                            least = (total, k);
                        }
                    }
                }
            }
            best[i * n + j] = least;
        }
    }
    if !best[n - 1].0.is_finite() {
        return None;
    }
    let mut triangles = Vec::with_capacity(n - 2);
    let mut stretches = vec![(0, n - 1)];
    while let Some((i, j)) = stretches.pop() {
        if j - i < 2 {
            continue;
        }
        let k = best[i * n + j].1;
        triangles.push([i, k, j]);
        stretches.extend([(i, k), (k, j)]);
    }
    Some(triangles)
}
