//! Polygons into triangles that use every corner, so that neighbours stay joined.

use crate::predicates::orient_2d;
use crate::{Point, Vector};

/// Polygons with more corners than this are fanned without looking: cutting off ears takes time that grows with the
/// square of the corners (our own choice, no source: 2 000 corners take a few milliseconds).
pub(super) const MOST_CORNERS: usize = 2_000;

/// Parts a polygon into `corners.len() - 2` triangles, given to `give` as indices into `corners`, turned as it is.
///
/// Convex polygons are fanned from their first corner. Others lose ears: corners whose triangle is turned as the
/// polygon and holds no other corner (Meisters, "Polygons have ears", Amer. Math. Monthly 82(6), 1975), decided exactly
/// in the coordinate plane that the polygon faces most. Where no ear is left, as in polygons that cross themselves,
/// the next corner is cut off regardless: the outline is kept in any case.
///
/// Returns whether the result is free of folds.
pub(super) fn triangulate(corners: &[Point], mut give: impl FnMut([usize; 3])) -> bool {
    let n = corners.len();
    if n <= 3 {
        if n == 3 {
            give([0, 1, 2]);
        }
        return true;
    }
    let Some(flat) = flatten(corners) else {
        (1..n - 1).for_each(|i| give([0, i, i + 1]));
        return false;
    };
    let turn = |a: usize, b: usize, c: usize| orient_2d(flat[a], flat[b], flat[c]);
    let convex = (0..n).all(|i| turn(i, (i + 1) % n, (i + 2) % n) >= 0.0);
    // All turns to the left and every fan triangle as well: a polygon that winds twice has some that turn back.
    let fan = convex && (1..n - 1).all(|i| turn(0, i, i + 1) >= 0.0);
    if fan || n > MOST_CORNERS {
        (1..n - 1).for_each(|i| give([0, i, i + 1]));
        return fan;
    }
    clip_ears(&flat, give)
}

fn clip_ears(flat: &[[f64; 2]], mut give: impl FnMut([usize; 3])) -> bool {
    let turn = |a: usize, b: usize, c: usize| orient_2d(flat[a], flat[b], flat[c]);
    let mut left: Vec<usize> = (0..flat.len()).collect();
    let mut clean = true;
    let mut at = 0;
    while left.len() > 3 {
        let n = left.len();
        let around = |i: usize| [left[(i + n - 1) % n], left[i % n], left[(i + 1) % n]];
        let is_ear = |i: usize| {
            let [a, b, c] = around(i);
            turn(a, b, c) > 0.0
                && left.iter().all(|&p| {
                    [a, b, c].contains(&p)
                        || [a, b, c].iter().any(|&q| flat[q] == flat[p])
                        || !(turn(a, b, p) >= 0.0 && turn(b, c, p) >= 0.0 && turn(c, a, p) >= 0.0)
                })
        };
        // Going on from the last ear, so that not all triangles meet in one corner.
        let found = (at..at + n).find(|&i| is_ear(i));
        clean &= found.is_some();
        let i = found.unwrap_or(at) % n;
        give(around(i));
        left.remove(i);
        at = if i == 0 { 0 } else { i % left.len() };
    }
    give([left[0], left[1], left[2]]);
    clean && turn(left[0], left[1], left[2]) >= 0.0
}

/// Dropped onto the coordinate plane that the polygon faces most, so that it turns left there. Its vector area is found
/// by Newell's method (Sutherland, Sproull, Schumacker, "A characterization of ten hidden-surface algorithms", 1974). None
/// where it faces nowhere.
fn flatten(corners: &[Point]) -> Option<Vec<[f64; 2]>> {
    let mut area = Vector::zeros();
    let first = corners[0];
    for (p, q) in corners.iter().zip(corners.iter().cycle().skip(1)) {
        area += (p - first).cross(&(q - first));
    }
    let axis = area.iamax();
    if area[axis] == 0.0 || !area[axis].is_finite() {
        return None;
    }
    let (u, v) = ((axis + 1) % 3, (axis + 2) % 3);
    let (u, v) = if area[axis] < 0.0 { (v, u) } else { (u, v) };
    Some(corners.iter().map(|p| [p[u], p[v]]).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn parted(corners: &[[f64; 2]]) -> (Vec<[usize; 3]>, bool) {
        let corners: Vec<Point> = corners.iter().map(|&[x, y]| Point::new(x, y, 5.0)).collect();
        let mut triangles = Vec::new();
        let clean = triangulate(&corners, |triangle| triangles.push(triangle));
        (triangles, clean)
    }

    fn areas(corners: &[[f64; 2]], triangles: &[[usize; 3]]) -> Vec<f64> {
        let area = |t: &[usize; 3]| orient_2d(corners[t[0]], corners[t[1]], corners[t[2]]) / 2.0;
        triangles.iter().map(area).collect()
    }

    #[test]
    fn a_convex_polygon_is_fanned_from_its_first_corner() {
        let (triangles, clean) = parted(&[[0.0, 0.0], [2.0, 0.0], [3.0, 2.0], [1.0, 3.0], [-1.0, 2.0]]);
        assert_eq!((triangles, clean), (vec![[0, 1, 2], [0, 2, 3], [0, 3, 4]], true));
    }

    #[test]
    fn a_concave_polygon_is_covered_once_either_way_round() {
        let star: Vec<[f64; 2]> = (0..24)
            .map(|i| {
                let (r, angle) = (if i % 2 == 0 { 10.0 } else { 3.0 }, f64::from(i) * std::f64::consts::TAU / 24.0);
                [r * angle.cos(), r * angle.sin()]
            })
            .collect();
        let whole: f64 = (0..24).map(|i| orient_2d([0.0; 2], star[i], star[(i + 1) % 24]) / 2.0).sum();
        for turned in [false, true] {
            let mut corners = star.clone();
            if turned {
                corners.reverse();
            }
            let (triangles, clean) = parted(&corners);
            let sign = if turned { -1.0 } else { 1.0 };
            let areas = areas(&corners, &triangles);
            assert!(clean && areas.iter().all(|area| area * sign > 0.0), "{areas:?}");
            assert!((areas.iter().sum::<f64>() - sign * whole).abs() < 1e-9);
            assert_eq!(triangles.len(), 22);
        }
    }

    #[test]
    fn corners_on_a_straight_side_are_all_used() {
        let (triangles, clean) =
            parted(&[[0.0, 0.0], [1.0, 0.0], [2.0, 0.0], [2.0, 2.0], [1.0, 1.0], [0.0, 2.0], [0.0, 1.0]]);
        let mut used: Vec<usize> = triangles.iter().flatten().copied().collect();
        used.sort_unstable();
        used.dedup();
        assert_eq!((triangles.len(), used.len(), clean), (5, 7, true));
    }

    #[test]
    fn a_polygon_that_crosses_itself_keeps_its_outline_and_is_told() {
        let (triangles, clean) = parted(&[[0.0, 0.0], [3.0, 3.0], [3.0, 0.0], [0.0, 2.0]]);
        assert_eq!((triangles.len(), clean), (2, false));
        let (triangles, clean) = parted(&[[0.0, 0.0], [2.0, 2.0], [2.0, 0.0], [0.0, 2.0]]);
        assert_eq!(
            (triangles.len(), clean),
            (2, false),
            "nor does one whose halves weigh each other up pass for sound"
        );
    }
}
