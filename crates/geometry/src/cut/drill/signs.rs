//! Where things lie as seen from one another once the tool is moved by (ε, ε², ε³), with ε > 0 smaller than any number
//! ("simulation of simplicity", Edelsbrunner and Mücke 1990): then no vertex lies on a facet, no corner on a face, and no
//! edge meets an edge. All answers are orientations of four places that two of the three kinds share, so that they cannot
//! disagree.

use crate::Point;
use crate::predicates::{orient_2d, orient_3d, turn_between};

/// Whether a vertex lies beyond a facet of the tool, given by three of its corners.
pub(super) fn is_beyond([a, b, c]: [&Point; 3], vertex: &Point) -> bool {
    let side = orient_3d(a, b, c, vertex);
    // On it: beyond if the move takes the facet against its normal.
    if side != 0.0 { side < 0.0 } else { first_of_normal([a, b, c]) < 0.0 }
}

/// Whether a corner of the tool lies before (outside of) a face. For a face without area, no.
pub(super) fn is_before([a, b, c]: [&Point; 3], corner: &Point) -> bool {
    let side = orient_3d(a, b, c, corner);
    if side != 0.0 { side < 0.0 } else { first_of_normal([a, b, c]) > 0.0 }
}

/// Which way the edge from `p` to `q` of the mesh passes the side from `a` to `b` of the tool: the sign of
/// det(p − b, q − b, a − b). Where the two lie in a plane, how that changes with the move δ: δ · ((q − p) × (b − a)). Means
/// nothing for parallel ones; neither then meets what the other bounds.
pub(super) fn passes_left([p, q]: [&Point; 2], [a, b]: [&Point; 2]) -> bool {
    let side = orient_3d(p, q, a, b);
    if side != 0.0 {
        return side > 0.0;
    }
    let flat = |p: &Point, k: usize| [p[(k + 1) % 3], p[(k + 2) % 3]];
    let turn = |k: usize| turn_between([flat(p, k), flat(q, k)], [flat(a, k), flat(b, k)]);
    (0..3).map(turn).find(|turn| *turn != 0).is_some_and(|turn| turn > 0)
}

/// The sign of the first component that is not 0 of (b − a) × (c − a); 0 where the three lie on one line.
fn first_of_normal(t: [&Point; 3]) -> f64 {
    let component = |k: usize| {
        let [a, b, c] = t.map(|p| [p[(k + 1) % 3], p[(k + 2) % 3]]);
        orient_2d(a, b, c)
    };
    (0..3).map(component).find(|x| *x != 0.0).unwrap_or(0.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Vector;

    /// Moves that are no numbers but small enough for lattices.
    fn moved(p: &Point) -> Point {
        p + Vector::new(1e-3, 1e-6, 1e-9)
    }

    #[test]
    fn signs_on_a_lattice_are_those_of_a_tool_moved_by_little() {
        // A linear congruential generator (multiplier from Knuth's MMIX).
        let mut state = 5_u64;
        let mut coordinate = || {
            state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            ((state >> 33) % 3) as f64
        };
        let mut place = || Point::new(coordinate(), coordinate(), coordinate());
        let (mut told, mut on) = (0, 0);
        for _ in 0..20_000 {
            let [a, b, c, d] = [place(), place(), place(), place()];
            on += usize::from(orient_3d(&a, &b, &c, &d) == 0.0);
            let normal = (b - a).cross(&(c - a));
            if normal != Vector::zeros() {
                let facet = [moved(&a), moved(&b), moved(&c)];
                let side = orient_3d(&facet[0], &facet[1], &facet[2], &d);
                assert_eq!(is_beyond([&a, &b, &c], &d), side < 0.0);
                assert_eq!(is_before([&a, &b, &c], &d), orient_3d(&a, &b, &c, &moved(&d)) < 0.0);
                told += 1;
            }
            if (b - a).cross(&(d - c)) != Vector::zeros() {
                let side = orient_3d(&a, &b, &moved(&c), &moved(&d));
                assert_eq!(passes_left([&a, &b], [&c, &d]), side > 0.0, "{a} {b} {c} {d}");
                assert_ne!(passes_left([&a, &b], [&c, &d]), passes_left([&b, &a], [&c, &d]));
                assert_ne!(passes_left([&a, &b], [&c, &d]), passes_left([&a, &b], [&d, &c]));
            }
        }
        assert!(told > 5000 && on > 5000);
    }
}
