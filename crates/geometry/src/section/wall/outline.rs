//! The edges of a section in the coordinates of its plane.

use super::FACING_DEG;
pub(super) use crate::section::frame::Flat;
use crate::section::frame::Frame;
use crate::section::{Section, SectionLoop};
use crate::{Plane, Point};

/// The closed lines of a section, cut into edges.
pub(super) struct Outline {
    pub edges: Vec<Edge>,
    /// Where each line begins in `edges`, and after the last their number.
    pub starts: Vec<usize>,
    frame: Frame,
}

/// One edge. The material lies to its left.
#[derive(Clone, Copy, Debug)]
pub(super) struct Edge {
    pub from: Flat,
    pub to: Flat,
    pub length: f64,
    /// Unit vector towards its end.
    pub along: Flat,
    /// Unit vector into the material.
    pub inwards: Flat,
    /// The edges before and after it on its line.
    pub before: usize,
    pub after: usize,
    /// The edge whose end is the point to which the outline tapers ahead of and behind this one, if it does.
    tip_ahead: Option<usize>,
    tip_behind: Option<usize>,
}

impl Outline {
    /// `None` without a closed line.
    pub fn of(section: &Section, plane: &Plane) -> Option<Outline> {
        let is_measurable =
            |line: &&SectionLoop| line.closed && line.points.iter().all(|p| p.iter().all(|x| x.is_finite()));
        let lines: Vec<&SectionLoop> = section.loops.iter().filter(is_measurable).collect();
        let frame = Frame::at(plane, *lines.first()?.points.first()?);
        let mut outline = Outline { edges: Vec::new(), starts: vec![0], frame };
        lines.iter().for_each(|line| outline.add(line));
        (!outline.edges.is_empty()).then_some(outline)
    }

    fn add(&mut self, line: &SectionLoop) {
        let first = self.edges.len();
        let mut places: Vec<Flat> = line.points.iter().map(|p| self.frame.flat(p)).collect();
        places.dedup();
        while places.len() > 1 && places.first() == places.last() {
            places.pop();
        }
        let count = places.len();
        // Two points are a line there and back.
        if count < 3 {
            return;
        }
        for i in 0..count {
            let (from, to) = (places[i], places[(i + 1) % count]);
            let length = (to - from).norm();
            let along = (to - from) / length;
            let [before, after] = [(i + count - 1) % count, (i + 1) % count].map(|k| first + k);
            let inwards = left_of(&along);
            self.edges.push(Edge {
                from,
                to,
                length,
                along,
                inwards,
                before,
                after,
                tip_ahead: None,
                tip_behind: None,
            });
        }
        self.starts.push(self.edges.len());
        (first..first + count)
            .filter(|&e| self.is_tip(e))
            .collect::<Vec<_>>()
            .into_iter()
            .for_each(|e| self.note_taper(e));
    }

    /// Whether the outline turns back at the end of edge `e`, around material.
    fn is_tip(&self, e: usize) -> bool {
        let (here, next) = (&self.edges[e], &self.edges[self.edges[e].after]);
        here.along.dot(&next.along) <= -facing() && here.along.perp(&next.along) >= 0.0
    }

    /// Notes the tip at the end of edge `tip` on the edges that lead to it, and on those that lead away.
    fn note_taper(&mut self, tip: usize) {
        let mut e = tip;
        while self.edges[e].tip_ahead.is_none() && self.edges[e].along.dot(&self.edges[tip].along) >= facing() {
            self.edges[e].tip_ahead = Some(tip);
            e = self.edges[e].before;
        }
        let first = self.edges[tip].after;
        let mut e = first;
        while self.edges[e].tip_behind.is_none() && self.edges[e].along.dot(&self.edges[first].along) >= facing() {
            self.edges[e].tip_behind = Some(tip);
            e = self.edges[e].after;
        }
    }

    /// Whether the two edges are sides of a taper and draw nearer to each other towards its point.
    pub fn taper_to_a_point(&self, e: usize, f: usize) -> bool {
        let (a, b) = (&self.edges[e], &self.edges[f]);
        let meet = |ahead: Option<usize>, behind: Option<usize>| ahead.is_some() && ahead == behind;
        meet(a.tip_ahead, b.tip_behind) && a.along.dot(&b.inwards) < 0.0
            || meet(b.tip_ahead, a.tip_behind) && b.along.dot(&a.inwards) < 0.0
    }

    /// Whether the corner at the end of edge `e` points into the material.
    pub fn points_inwards(&self, e: usize) -> bool {
        let (here, next) = (&self.edges[e], &self.edges[self.edges[e].after]);
        here.along.perp(&next.along) < 0.0
    }

    /// The point in space.
    pub fn place(&self, p: &Flat) -> Point {
        self.frame.place(p)
    }
}

/// Cosine of the angle within which sides face each other.
pub(super) fn facing() -> f64 {
    FACING_DEG.to_radians().cos()
}

fn left_of(v: &Flat) -> Flat {
    Flat::new(-v.y, v.x)
}
