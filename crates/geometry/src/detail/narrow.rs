//! Where a model is narrowest along its axes.

use super::{Detail, DetailKind, OF_A_KIND};
use crate::{Bounds, Cancelled, Plane, Point, Progress, SectionSupport, Solid, Vector};

/// Sections along each axis. Our own choice, no source.
const SECTIONS: usize = 64;
/// How much less than the largest on either side the area must be. Our own choice, no source.
const LESS_BY: f64 = 0.15;
/// Steps in search of the least between sections: the stretch becomes 0.618 to this power of itself, a three-hundredth.
const HALVINGS: usize = 12;

pub(super) fn find(
    solid: &Solid,
    support: &SectionSupport,
    bounds: &Bounds,
    progress: &Progress,
) -> Result<Vec<Detail>, Cancelled> {
    let mut found = Vec::new();
    for k in 0..3 {
        progress.check()?;
        let normal = Vector::ith(k, 1.0);
        let (low, high) = (bounds.min[k], bounds.max[k]);
        let at = |i: f64| low + (high - low) * i / SECTIONS as f64;
        let area = |offset: f64| match Plane::new(normal, offset) {
            Ok(plane) => support.section(solid, &plane).area_mm2(),
            Err(_) => 0.0,
        };
        let areas: Vec<f64> = (0..SECTIONS).map(|i| area(at(i as f64 + 0.5))).collect();
        for i in 1..SECTIONS - 1 {
            let is_least = areas[i] > 0.0 && areas[i] < areas[i - 1] && areas[i] <= areas[i + 1];
            if !(is_least && is_waist(&areas, i)) {
                continue;
            }
            let least = least_between(&area, at(i as f64 - 0.5), at(i as f64 + 1.5));
            let Ok(plane) = Plane::new(normal, least) else { continue };
            let section = support.section(solid, &plane);
            let places: Vec<Point> = section.loops.iter().flat_map(|line| line.points.iter().copied()).collect();
            let extent = section.area_mm2();
            found.push(Detail { plane, kind: DetailKind::Narrowest, off_mm: 0.0, extent, places });
        }
    }
    found.sort_by(|a, b| a.extent.total_cmp(&b.extent));
    found.truncate(OF_A_KIND);
    Ok(found)
}

/// Whether sections on both sides grow to clearly more before any is less.
fn is_waist(areas: &[f64], i: usize) -> bool {
    let grows = |mut side: Box<dyn Iterator<Item = &f64> + '_>| {
        side.find_map(|&area| match area {
            area if area < areas[i] => Some(false),
            area if area * (1.0 - LESS_BY) >= areas[i] => Some(true),
            _ => None,
        })
    };
    grows(Box::new(areas[i + 1..].iter())) == Some(true) && grows(Box::new(areas[..i].iter().rev())) == Some(true)
}

/// The golden section search (Kiefer, "Sequential minimax search for a maximum", 1953).
fn least_between(area: &dyn Fn(f64) -> f64, mut low: f64, mut high: f64) -> f64 {
    const GOLDEN: f64 = 0.618_033_988_749_895;
    for _ in 0..HALVINGS {
        let (a, b) = (high - (high - low) * GOLDEN, low + (high - low) * GOLDEN);
        if area(a) <= area(b) {
            high = b;
        } else {
            low = a;
        }
    }
    (low + high) / 2.0
}
