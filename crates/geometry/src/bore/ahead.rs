//! How far the flat end of a channel is from the surface.

use super::channel::Channel;
use super::least::{WallAt, Walls};
use crate::boxes::SmallBox;
use crate::{Mesh, Point, Solid, Vector, closest};

impl Walls {
    /// The least distance of a flat end from the surface, if its middle lies in the material.
    pub(super) fn ahead(&self, solid: &Solid, channel: &Channel, end: usize) -> Option<WallAt> {
        let line = channel.line();
        let (place, at_mm) = if end == 0 { (line[0], 0.0) } else { (line[line.len() - 1], channel.length_mm()) };
        if !self.holds(solid, &place) {
            return None;
        }
        let frames = channel.frames();
        let frame = if end == 0 { frames.first()? } else { frames.last()? };
        let corners = end_corners(channel, &place, frame);
        let (wall_mm, towards) = self.away_from_flat(&solid.mesh, &place, &corners, f64::INFINITY)?;
        Some(WallAt { at_mm, place, wall_mm, towards })
    }

    /// The least distance of a flat convex polygon about `middle` from the surface, and where that is; `None` where it is not
    /// below `within_mm`.
    pub(super) fn away_from_flat(
        &self,
        mesh: &Mesh,
        middle: &Point,
        corners: &[Point],
        within_mm: f64,
    ) -> Option<(f64, Point)> {
        let flat = FlatEnd::of(middle, corners)?;
        let mut best: Option<(f64, Point)> = None;
        let squared = |place: &SmallBox| {
            let low = Point::from(place.low.map(f64::from));
            let high = Point::from(place.high.map(f64::from));
            (flat.off_mm(&nalgebra::center(&low, &high)) - (high - low).norm() / 2.0).max(0.0).powi(2)
        };
        self.tree.nearest_first(&squared, within_mm, &mut |face| {
            let least = best.map_or(within_mm, |(least, _)| least);
            if let Some(nearer) = flat.nearer(&mesh.corners(face as usize), least) {
                best = Some(nearer);
            }
            best.map_or(within_mm, |(least, _)| least)
        });
        best
    }
}

/// The corners of the flat end of a channel, on its outline.
pub(super) fn end_corners(channel: &Channel, at: &Point, [right, up, _]: &[Vector; 3]) -> Vec<Point> {
    channel.shape().outline(0.0).iter().map(|p| at + right * p[0] + up * p[1]).collect()
}

/// A flat convex polygon.
struct FlatEnd<'a> {
    middle: Point,
    corners: &'a [Point],
    /// Square to it.
    across: Vector,
    /// No corner is farther from the middle.
    reach_mm: f64,
}

impl<'a> FlatEnd<'a> {
    fn of(middle: &Point, corners: &'a [Point]) -> Option<FlatEnd<'a>> {
        let across = (corners.get(1)? - corners.first()?).cross(&(corners.last()? - corners.first()?));
        let across = across.try_normalize(f64::MIN_POSITIVE)?;
        let reach_mm = corners.iter().map(|p| nalgebra::distance(p, middle)).fold(0.0, f64::max);
        Some(FlatEnd { middle: *middle, corners, across, reach_mm })
    }

    /// Distance from the disc around it: no more than that from itself.
    fn off_mm(&self, p: &Point) -> f64 {
        let out = p - self.middle;
        let height = out.dot(&self.across);
        ((out - self.across * height).norm() - self.reach_mm).max(0.0).hypot(height)
    }

    fn sides(&self) -> impl Iterator<Item = [&Point; 2]> {
        (0..self.corners.len()).map(|i| [&self.corners[i], &self.corners[(i + 1) % self.corners.len()]])
    }

    /// Whether the place above or below which `p` lies is in it.
    fn is_over(&self, p: &Point) -> bool {
        let turns = |[a, b]: [&Point; 2]| (b - a).cross(&(p - a)).dot(&self.across);
        self.sides().all(|side| turns(side) >= 0.0)
    }

    /// Its distance from a triangle and the nearest place there, if that is below `least_mm`; 0 where they meet.
    fn nearer(&self, t: &[Point; 3], least_mm: f64) -> Option<(f64, Point)> {
        let centre = Point::from((t[0].coords + t[1].coords + t[2].coords) / 3.0);
        let extent = t.iter().map(|p| nalgebra::distance(p, &centre)).fold(0.0, f64::max);
        if self.off_mm(&centre) - extent >= least_mm {
            return None;
        }
        let heights = t.map(|p| self.across.dot(&(p - self.middle)));
        let mut best = (least_mm, None);
        for i in 0..3 {
            let (p, q, a, b) = (&t[i], &t[(i + 1) % 3], heights[i], heights[(i + 1) % 3]);
            if a * b < 0.0 {
                let x = p + (q - p) * (a / (a - b));
                if self.is_over(&x) {
                    return Some((0.0, x));
                }
            }
            if a.abs() < best.0 && self.is_over(p) {
                best = (a.abs(), Some(*p));
            }
        }
        for [a, b] in self.sides() {
            let far = nalgebra::distance(&nalgebra::center(a, b), &centre) - nalgebra::distance(a, b) / 2.0 - extent;
            if far >= best.0 {
                continue;
            }
            if let Some(place) = pierced(t, a, b) {
                return Some((0.0, place));
            }
            let beside = (0..3).map(|i| closest::of_segments([a, b], [&t[i], &t[(i + 1) % 3]]));
            let below = [a, b].into_iter().map(|p| [*p, closest::on_triangle(p, t)]);
            for [p, q] in beside.chain(below) {
                let off = nalgebra::distance(&p, &q);
                if off < best.0 {
                    best = (off, Some(q));
                }
            }
        }
        best.1.map(|place| (best.0, place))
    }
}

/// Where a segment goes through a triangle.
fn pierced(t: &[Point; 3], p: &Point, q: &Point) -> Option<Point> {
    let normal = (t[1] - t[0]).cross(&(t[2] - t[0]));
    let (dp, dq) = (normal.dot(&(p - t[0])), normal.dot(&(q - t[0])));
    if dp * dq >= 0.0 {
        return None;
    }
    let x = p + (q - p) * (dp / (dp - dq));
    let within = (0..3).all(|i| (t[(i + 1) % 3] - t[i]).cross(&(x - t[i])).dot(&normal) >= 0.0);
    within.then_some(x)
}
