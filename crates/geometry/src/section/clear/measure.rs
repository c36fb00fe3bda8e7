//! Measures of a convex polygon.

use super::walls::around;
use crate::section::frame::Flat;

pub(super) fn girth(corners: &[Flat]) -> f64 {
    around(corners).map(|[a, b]| (b - a).norm()).sum()
}

/// Area and the middle of the area. The middle of the corners where there is no area.
pub(super) fn area_and_middle(corners: &[Flat]) -> (f64, Flat) {
    let about: Flat = corners.iter().sum::<Flat>() / corners.len().max(1) as f64;
    let (mut area, mut moment) = (0.0, Flat::zeros());
    for [a, b] in around(corners) {
        let (a, b) = (a - about, b - about);
        let triangle = a.perp(&b) / 2.0;
        area += triangle;
        moment += (a + b) / 3.0 * triangle;
    }
    (area, if area > 0.0 { about + moment / area } else { about })
}

/// The least width and the extent square to it. The least width is found on an edge (H. Freeman and R. Shapira,
/// Communications of the ACM 18(7):409–413, 1975, for the box; M. E. Houle and G. T. Toussaint, IEEE Trans. PAMI
/// 10(5):761–765, 1988, for the width).
pub(super) fn breadth_and_length(corners: &[Flat]) -> (f64, f64) {
    let mut best = (f64::INFINITY, 0.0);
    for [a, b] in around(corners) {
        let Some(along) = (b - a).try_normalize(0.0) else { continue };
        // Both ways: rounding decides which way the shortest edges look.
        let breadth = extent(corners.iter().map(|p| along.perp(&(p - a))));
        if breadth < best.0 {
            best = (breadth, extent(corners.iter().map(|p| along.dot(&(p - a)))));
        }
    }
    best
}

fn extent(places: impl Iterator<Item = f64>) -> f64 {
    let (low, high) = places.fold((0.0_f64, 0.0_f64), |(low, high), x| (low.min(x), high.max(x)));
    high - low
}
