//! Simple polygons: whether corners make one, its convex parts, and the pockets between it and its hull.

use crate::hull::{Point2, convex_polygon, turns_left};
use robust::{Coord, orient2d};

/// Why corners make no outline.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum OutlineError {
    /// Fewer than three corners, or more than are looked at.
    #[error("an outline has 3 to {MOST_CORNERS} corners, and here are {0}")]
    Count(usize),
    /// A coordinate is NaN or infinite.
    #[error("a coordinate of corner {0} is not a finite number")]
    NotFinite(usize),
    /// Two edges meet elsewhere than at the corner that they share. Edges are counted by the corner they begin at.
    #[error("the edges after corner {0} and after corner {1} meet")]
    Meets(usize, usize),
}

/// More corners than the outline of any bed needs, and few enough to look at every pair of edges.
const MOST_CORNERS: usize = 500;

/// Says what is wrong with the corners of a polygon, if anything is. Signs are exact.
pub(super) fn check(corners_mm: &[[f64; 2]]) -> Result<(), OutlineError> {
    let count = corners_mm.len();
    if !(3..=MOST_CORNERS).contains(&count) {
        return Err(OutlineError::Count(count));
    }
    if let Some(at) = corners_mm.iter().position(|p| p.iter().any(|x| !x.is_finite())) {
        return Err(OutlineError::NotFinite(at + 1));
    }
    let corners = super::points2(corners_mm);
    let edge = |k: usize| [corners[k], corners[(k + 1) % count]];
    for j in 0..count {
        for i in 0..j {
            let neighbours = j == i + 1 || (i == 0 && j == count - 1);
            let [[a, b], [c, d]] = if i == 0 && j == count - 1 { [edge(j), edge(i)] } else { [edge(i), edge(j)] };
            let meet = if neighbours { folds_back(a, b, d) } else { segments_meet(a, b, c, d) };
            if meet {
                return Err(OutlineError::Meets(i + 1, j + 1));
            }
        }
    }
    Ok(())
}

fn side(a: Point2, b: Point2, p: Point2) -> f64 {
    let coord = |p: Point2| Coord { x: p.x, y: p.y };
    orient2d(coord(a), coord(b), coord(p))
}

/// Whether the way from `a` to `b` and on to `d` turns back on itself, or stops.
fn folds_back(a: Point2, b: Point2, d: Point2) -> bool {
    a == b || b == d || (side(a, b, d) == 0.0 && (b - a).dot(&(d - b)) < 0.0)
}

fn segments_meet(a: Point2, b: Point2, c: Point2, d: Point2) -> bool {
    let apart = |p: f64, q: f64| (p > 0.0 && q > 0.0) || (p < 0.0 && q < 0.0);
    let boxes_apart = (0..2).any(|k| a[k].max(b[k]) < c[k].min(d[k]) || c[k].max(d[k]) < a[k].min(b[k]));
    !boxes_apart && !apart(side(a, b, c), side(a, b, d)) && !apart(side(c, d, a), side(c, d, b))
}

/// Convex polygons, counter-clockwise, that fill a simple polygon and overlap in edges only.
pub(crate) fn convex_parts(mut corners: Vec<Point2>) -> Vec<Vec<Point2>> {
    if twice_area(&corners) < 0.0 {
        corners.reverse();
    }
    if is_convex(&corners) {
        return vec![corners];
    }
    let mut parts: Vec<Vec<Point2>> = triangles(corners).into_iter().map(Vec::from).collect();
    // Neighbours are joined as long as that stays convex.
    let mut i = 0;
    while i < parts.len() {
        match (i + 1..parts.len()).find_map(|j| Some((j, joined(&parts[i], &parts[j])?))) {
            Some((j, both)) => {
                parts[i] = both;
                parts.swap_remove(j);
            }
            None => i += 1,
        }
    }
    parts
}

/// What lies between a simple polygon and its convex hull, in polygons.
pub(crate) fn pockets(mut corners: Vec<Point2>) -> Vec<Vec<Point2>> {
    if twice_area(&corners) < 0.0 {
        corners.reverse();
    }
    let count = corners.len();
    let hull = convex_polygon(corners.clone());
    let next = hull.iter().cycle().skip(1);
    let edges: Vec<(&Point2, &Point2)> = hull.iter().zip(next).collect();
    // Corners in the middle of an edge of the hull divide what would be one pocket.
    let touches = |p: &Point2| edges.iter().any(|(a, b)| side(**a, **b, *p) == 0.0);
    let on_hull: Vec<usize> = (0..count).filter(|&k| touches(&corners[k])).collect();
    let gaps = (0..on_hull.len()).map(|k| (on_hull[k], on_hull[(k + 1) % on_hull.len()]));
    let chain = |(from, to): (usize, usize)| {
        let length = (to + count - from) % count;
        let mut chain: Vec<Point2> = (0..=length).map(|k| corners[(from + k) % count]).collect();
        chain.reverse();
        chain
    };
    gaps.map(chain).filter(|chain| chain.len() > 2 && twice_area(chain) > 0.0).collect()
}

fn twice_area(corners: &[Point2]) -> f64 {
    let next = corners.iter().cycle().skip(1);
    corners.iter().zip(next).map(|(a, b)| a.coords.perp(&b.coords)).sum()
}

fn is_convex(corners: &[Point2]) -> bool {
    let count = corners.len();
    (0..count).all(|k| side(corners[k], corners[(k + 1) % count], corners[(k + 2) % count]) >= 0.0)
}

/// Ear clipping (G. H. Meisters, American Mathematical Monthly 82(6):648–651, 1975: a simple polygon that is no
/// triangle has two ears).
fn triangles(mut corners: Vec<Point2>) -> Vec<[Point2; 3]> {
    let mut triangles = Vec::new();
    while corners.len() > 3 {
        let count = corners.len();
        let around = |k: usize| [corners[(k + count - 1) % count], corners[k], corners[(k + 1) % count]];
        // Corners on a straight line are dropped as ears without area.
        let flat = (0..count).find(|&k| {
            let [a, b, c] = around(k);
            side(a, b, c) == 0.0
        });
        let ear = flat.or_else(|| (0..count).find(|&k| is_ear(around(k), &corners)));
        let Some(k) = ear else { break };
        if flat.is_none() {
            triangles.push(around(k));
        }
        corners.remove(k);
    }
    if let [a, b, c] = corners[..]
        && side(a, b, c) > 0.0
    {
        triangles.push([a, b, c]);
    }
    triangles
}

fn is_ear([a, b, c]: [Point2; 3], corners: &[Point2]) -> bool {
    let holds = |p: &Point2| side(a, b, *p) >= 0.0 && side(b, c, *p) >= 0.0 && side(c, a, *p) >= 0.0;
    turns_left(a, b, c) && !corners.iter().any(|p| *p != a && *p != b && *p != c && holds(p))
}

/// Two convex polygons that share an edge as one, if that is convex.
fn joined(a: &[Point2], b: &[Point2]) -> Option<Vec<Point2>> {
    for i in 0..a.len() {
        let (p, q) = (a[i], a[(i + 1) % a.len()]);
        let Some(j) = (0..b.len()).find(|&j| b[j] == q && b[(j + 1) % b.len()] == p) else { continue };
        let mut both: Vec<Point2> = (1..=a.len()).map(|k| a[(i + k) % a.len()]).collect();
        both.extend((2..b.len()).map(|k| b[(j + k) % b.len()]));
        return is_convex(&both).then_some(both);
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn comb() -> Vec<[f64; 2]> {
        vec![
            [0.0, 0.0],
            [50.0, 0.0],
            [50.0, 40.0],
            [40.0, 40.0],
            [40.0, 10.0],
            [30.0, 10.0],
            [30.0, 40.0],
            [20.0, 40.0],
            [20.0, 10.0],
            [10.0, 10.0],
            [10.0, 40.0],
            [0.0, 40.0],
        ]
    }

    #[test]
    fn polygons_that_are_none_are_refused() {
        assert_eq!(check(&[[0.0; 2]; 2]), Err(OutlineError::Count(2)));
        assert_eq!(check(&[[0.0, 0.0], [f64::NAN, 0.0], [1.0, 1.0]]), Err(OutlineError::NotFinite(2)));
        assert_eq!(check(&[[0.0, 0.0], [2.0, 2.0], [2.0, 0.0], [0.0, 2.0]]), Err(OutlineError::Meets(1, 3)));
        assert_eq!(check(&[[0.0, 0.0], [4.0, 0.0], [2.0, 0.0]]), Err(OutlineError::Meets(1, 2)));
        assert_eq!(check(&[[0.0, 0.0], [4.0, 0.0], [4.0, 0.0], [1.0, 3.0]]), Err(OutlineError::Meets(1, 2)));
        let touching = [[0.0, 0.0], [8.0, 0.0], [8.0, 8.0], [4.0, 0.0], [0.0, 8.0]];
        assert!(matches!(check(&touching), Err(OutlineError::Meets(..))));
        assert_eq!(check(&comb()), Ok(()));
        // A corner in the middle of a straight edge is none the worse.
        assert_eq!(check(&[[0.0, 0.0], [2.0, 0.0], [4.0, 0.0], [4.0, 4.0]]), Ok(()));
    }

    #[test]
    fn a_comb_has_convex_parts_and_two_pockets() {
        let mut corners = super::super::points2(&comb());
        let pockets = pockets(corners.clone());
        assert_eq!(pockets.iter().map(|p| twice_area(p) / 2.0).collect::<Vec<_>>(), [300.0, 300.0]);
        corners.reverse();
        let parts = convex_parts(corners);
        assert!(parts.iter().all(|part| is_convex(part)) && parts.len() <= 5, "{parts:?}");
        assert_eq!(parts.iter().map(|p| twice_area(p)).sum::<f64>() / 2.0, 1400.0);
    }

    proptest! {
        #[test]
        fn parts_and_pockets_fill_star_shaped_polygons(radii in prop::collection::vec(5.0_f64..50.0, 3..25)) {
            let count = radii.len() as f64;
            let corners: Vec<Point2> = radii.iter().enumerate().map(|(k, r)| {
                let (s, c) = (k as f64 * std::f64::consts::TAU / count).sin_cos();
                Point2::new(r * c, r * s)
            }).collect();
            prop_assume!(check(&corners.iter().map(|p| [p.x, p.y]).collect::<Vec<_>>()).is_ok());
            let area = twice_area(&corners);
            prop_assume!(area > 0.0);
            let parts = convex_parts(corners.clone());
            prop_assert!(parts.iter().all(|part| is_convex(part)));
            prop_assert!((parts.iter().map(|p| twice_area(p)).sum::<f64>() - area).abs() < 1e-9 * area);
            let hull = twice_area(&convex_polygon(corners.clone()));
            let pocket: f64 = pockets(corners).iter().map(|p| twice_area(p)).sum();
            prop_assert!((hull - pocket - area).abs() < 1e-9 * hull);
        }
    }
}
