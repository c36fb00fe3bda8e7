//! The exact verdict on one half: from all its points, in any pose.

use super::Halves;
use super::tree::{Node, Parts};
use crate::{Bed, Cancelled, Fit, Hull, Point, Progress, Search, Side, fit_preferring};

impl Halves<'_> {
    /// Points that span one half, all the others within: no tolerance of the live fit is in them. Empty when nothing
    /// lies on that side.
    pub fn span(&self, side: Side) -> Vec<Point> {
        if self.bounds(side).is_none() {
            return Vec::new();
        }
        let half = self.half(side);
        let mut points = Vec::new();
        for node in &half.whole {
            add_vertices(node, &mut points);
        }
        for crossed in &half.crossed {
            points.extend(half.points_of(crossed));
        }
        Hull::of(&points).vertices
    }

    /// The exact verdict for one half, as [`fit`](crate::fit()) gives it for the piece that a cut would make of it, which
    /// lies on the cut where that fits; `None` when nothing lies on that side. It takes from milliseconds to a second or
    /// two and belongs on a worker.
    ///
    /// A half that falls apart into several bodies is taken as one.
    pub fn exact_fit(
        &self,
        side: Side,
        bed: &Bed,
        search: Search,
        progress: &Progress,
    ) -> Result<Option<Fit>, Cancelled> {
        let span = self.span(side);
        if span.is_empty() {
            return Ok(None);
        }
        fit_preferring(&span, bed, search, &[self.cap_normal(side)], progress).map(Some)
    }
}

fn add_vertices(node: &Node, points: &mut Vec<Point>) {
    match &node.parts {
        Parts::Faces(faces) => points.extend(&faces.vertices),
        Parts::Boxes(boxes) => boxes.iter().for_each(|node| add_vertices(node, points)),
    }
}
