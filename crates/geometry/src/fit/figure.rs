//! A body as the search sees it: the points that span it and, where the room asks for sections, its hull's edges.

use super::place::Levelled;
use super::room::{Room, Shadow};
use super::turn::Outline2;
use crate::hull::{Point2, convex_polygon};
use crate::{Hull, Point};
use std::borrow::Cow;

/// A body to be placed.
#[derive(Clone, Debug)]
pub(crate) struct Figure<'a> {
    points: Cow<'a, [Point]>,
    /// Edges of the hull by their ends; none where only the points are asked for.
    edges: Vec<[u32; 2]>,
}

/// A levelled body seen from above.
#[derive(Clone, Debug)]
pub(crate) struct Seen {
    pub outline: Outline2,
    pub height_mm: f64,
    /// What is higher than each level asked for.
    above: Vec<Vec<Point2>>,
}

impl<'a> Figure<'a> {
    /// Of any points. Where a zone overhead asks for sections, the hull is made.
    pub fn of(points: &'a [Point], room: &Room) -> Figure<'a> {
        if room.levels_mm().is_empty() {
            return Figure { points: Cow::Borrowed(points), edges: Vec::new() };
        }
        let hull = Hull::of(points);
        Figure { edges: hull.edge_ends(), points: Cow::Owned(hull.vertices) }
    }

    /// Of a hull.
    pub fn of_hull(hull: &'a Hull, room: &Room) -> Figure<'a> {
        let edges = if room.levels_mm().is_empty() { Vec::new() } else { hull.edge_ends() };
        Figure { points: Cow::Borrowed(&hull.vertices), edges }
    }

    pub fn into_owned(self) -> Figure<'static> {
        Figure { points: Cow::Owned(self.points.into_owned()), edges: self.edges }
    }

    pub fn points(&self) -> &[Point] {
        &self.points
    }

    /// Edges of the hull by their ends, where the room asks for sections.
    pub fn edges(&self) -> &[[u32; 2]] {
        &self.edges
    }

    /// Sees it from above once levelled. What is above `levels_mm` (over its lowest point) is cut out of its hull.
    /// `None` without points.
    pub fn seen(&self, level: &Levelled, levels_mm: &[f64]) -> Option<Seen> {
        let [x, y, up] = level.axes;
        let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
        let heights_needed = !levels_mm.is_empty();
        let mut heights = Vec::new();
        let flat: Vec<Point2> = self
            .points
            .iter()
            .map(|p| {
                let z = up.dot(&p.coords);
                (low, high) = (low.min(z), high.max(z));
                if heights_needed {
                    heights.push(z);
                }
                Point2::new(x.dot(&p.coords), y.dot(&p.coords))
            })
            .collect();
        let above = levels_mm.iter().map(|above| self.above(&flat, &heights, low + above)).collect();
        Some(Seen { outline: Outline2::of(flat)?, height_mm: high - low, above })
    }

    fn above(&self, flat: &[Point2], heights: &[f64], level: f64) -> Vec<Point2> {
        let mut points: Vec<Point2> =
            flat.iter().zip(heights).filter(|(_, height)| **height > level).map(|(p, _)| *p).collect();
        if points.is_empty() {
            return points;
        }
        for [i, j] in self.edges.iter().map(|ends| ends.map(|i| i as usize)) {
            let (h, k) = (heights[i] - level, heights[j] - level);
            if (h > 0.0) != (k > 0.0) {
                points.push(flat[i] + (flat[j] - flat[i]) * (h / (h - k)));
            }
        }
        convex_polygon(points)
    }
}

impl Seen {
    pub fn shadow(self) -> Shadow {
        Shadow { whole: self.outline.into_corners(), above: self.above }
    }

    /// The shadow without giving the outline away.
    pub fn to_shadow(&self) -> Shadow {
        Shadow { whole: self.outline.corners().to_vec(), above: self.above.clone() }
    }
}
