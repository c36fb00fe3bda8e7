//! The search for the thinnest wall.

use super::outline::{Flat, Outline, facing};
use super::tree::{Directions, Tree};
use super::{FACING_DEG, ThinWall};

/// Rays begin this share of an edge inside its ends, and end this share of their length before a corner that they lead
/// to, so that they do not graze what meets there. A thickness is wrong by less than this share of the edge.
const INSET: f64 = 1.0 / (1u64 << 20) as f64;

pub(super) fn thinnest(outline: &Outline) -> Option<ThinWall> {
    let tree = Tree::of(outline);
    let mut search = Search { outline, tree: &tree, best: None, met: Vec::new() };
    // In strides, so that a good bound is found early: neighbours have much the same thickness.
    let count = outline.edges.len();
    let stride = STRIDE.min(count);
    for e in (0..stride).flat_map(|first| (first..count).step_by(stride)) {
        search.begin_at_edge(e);
        search.end_at_corner(e);
    }
    search.best.map(|b| ThinWall { mm: b.mm, from: outline.place(&b.from), to: outline.place(&b.to) })
}

/// A prime, so that it is in no step with the strips of a mesh.
const STRIDE: usize = 61;

struct Search<'a> {
    outline: &'a Outline,
    tree: &'a Tree,
    best: Option<Found>,
    /// What a ray meets; kept for its memory.
    met: Vec<Met>,
}

#[derive(Clone, Copy)]
struct Found {
    mm: f64,
    from: Flat,
    to: Flat,
}

/// An edge that a ray crosses.
#[derive(Clone, Copy)]
struct Met {
    at: f64,
    edge: usize,
    /// 1 where the ray enters what the edge's line goes round, −1 where it leaves.
    step: i32,
}

impl Search<'_> {
    fn reach(&self) -> f64 {
        self.best.map_or(f64::INFINITY, |best| best.mm)
    }

    /// Lines square to edge `e`, from both its ends.
    fn begin_at_edge(&mut self, e: usize) {
        let edge = self.outline.edges[e];
        for share in [INSET, 1.0 - INSET] {
            let from = edge.from + (edge.to - edge.from) * share;
            self.meet(&from, &edge.inwards, self.reach(), &[e]);
            let Some(exit) = self.exit() else { continue };
            let far = &self.outline.edges[exit.edge];
            let faces = far.inwards.dot(&-edge.inwards) >= facing();
            if faces && !self.outline.taper_to_a_point(e, exit.edge) && self.is_rim(e, share) {
                self.best = Some(Found { mm: exit.at, from, to: from + edge.inwards * exit.at });
            }
        }
    }

    /// Lines to the corner at the end of edge `e`: from edges that they are square to, and from corners that point into
    /// the material.
    fn end_at_corner(&mut self, e: usize) {
        let outline = self.outline;
        let corner = outline.edges[e].to;
        let sides = [e, outline.edges[e].after];
        let [a, b] = sides.map(|side| Directions::of(&outline.edges[side].inwards));
        let seen = a.and(&b).widened(FACING_DEG.to_radians());
        let tree = self.tree;
        tree.facing(&corner, &seen, self.reach(), |f| {
            self.square_to_edge(&corner, sides, e, f);
            self.between_corners(&corner, sides, e, f);
            self.reach()
        });
    }

    /// The line from edge `f` to the corner.
    fn square_to_edge(&mut self, corner: &Flat, sides: [usize; 2], e: usize, f: usize) {
        let edge = self.outline.edges[f];
        if sides.contains(&f) {
            return;
        }
        let (share, mm) =
            ((corner - edge.from).dot(&edge.along) / edge.length, (corner - edge.from).dot(&edge.inwards));
        if !(0.0..=1.0).contains(&share) || mm <= 0.0 || mm >= self.reach() {
            return;
        }
        let Some(side) = self.looks_back(sides, e, &-edge.inwards, &[f]) else { return };
        let inset = share.clamp(INSET, 1.0 - INSET);
        let begin = edge.from + (edge.to - edge.from) * inset;
        self.meet(&begin, &edge.inwards, mm * (1.0 - INSET), &[f]);
        if self.exit().is_none() && self.is_rim(f, inset) && self.is_rim_at_corner(side, sides) {
            self.best = Some(Found { mm, from: edge.from + (edge.to - edge.from) * share, to: *corner });
        }
    }

    /// The line from the corner at the end of edge `f`, if it points inwards.
    fn between_corners(&mut self, corner: &Flat, sides: [usize; 2], e: usize, f: usize) {
        let outline = self.outline;
        let (near, next) = (&outline.edges[f], &outline.edges[outline.edges[f].after]);
        let span = corner - near.to;
        let mm = span.norm();
        if mm == 0.0 || mm >= self.reach() || !outline.points_inwards(f) {
            return;
        }
        // Between the directions square to its two sides, which turn to the right at such a corner.
        let is_between = near.along.dot(&span) >= 0.0 && next.along.dot(&span) <= 0.0;
        let towards = span / mm;
        if !is_between {
            return;
        }
        let others = [f, near.after];
        let Some(side) = self.looks_back(sides, e, &-towards, &others) else { return };
        self.meet(&near.to, &towards, mm * (1.0 - INSET), &others);
        if self.exit().is_none() && self.is_rim(f, 1.0 - INSET) && self.is_rim_at_corner(side, sides) {
            self.best = Some(Found { mm, from: near.to, to: *corner });
        }
    }

    /// The side of the corner at the end of `e` that faces the direction `back` and does not taper to a point together
    /// with all of `others`.
    fn looks_back(&self, sides: [usize; 2], e: usize, back: &Flat, others: &[usize]) -> Option<usize> {
        let outline = self.outline;
        let is_wall = |side: &usize| others.iter().any(|&other| !outline.taper_to_a_point(*side, other));
        let [first, second] = sides.map(|side| &outline.edges[side]);
        let within = outline.points_inwards(e) && first.along.dot(back) >= 0.0 && second.along.dot(back) <= 0.0;
        sides.into_iter().filter(|&side| within || outline.edges[side].inwards.dot(back) >= facing()).find(is_wall)
    }

    /// Collects what the ray crosses, nearest first.
    fn meet(&mut self, p: &Flat, towards: &Flat, reach: f64, without: &[usize]) {
        let (outline, met) = (self.outline, &mut self.met);
        met.clear();
        self.tree.along_ray(p, towards, reach, |e| {
            if without.contains(&e) {
                return;
            }
            let edge = &outline.edges[e];
            let (a, b) = (edge.from - p, edge.to - p);
            let (left_a, left_b) = (towards.perp(&a), towards.perp(&b));
            // The same number for a corner whichever of its edges asks, so that no ray slips through between two.
            if (left_a > 0.0) == (left_b > 0.0) {
                return;
            }
            let at = towards.dot(&(a + (b - a) * (left_a / (left_a - left_b))));
            if at > 0.0 && at < reach {
                met.push(Met { at, edge: e, step: if left_a > 0.0 { 1 } else { -1 } });
            }
        });
        met.sort_by(|a, b| a.at.total_cmp(&b.at).then(b.step.cmp(&a.step)));
    }

    /// Where the ray last followed, which began at the rim, leaves the material.
    fn exit(&self) -> Option<Met> {
        let mut depth = 1;
        self.met.iter().copied().find(|met| {
            depth += met.step;
            depth <= 0
        })
    }

    /// Whether a side of a corner is the rim of the material at that corner.
    fn is_rim_at_corner(&mut self, side: usize, sides: [usize; 2]) -> bool {
        self.is_rim(side, if side == sides[0] { 1.0 - INSET } else { INSET })
    }

    /// Whether no other shell's material lies outside of edge `e`, at a share of its length.
    fn is_rim(&mut self, e: usize, share: f64) -> bool {
        let edge = self.outline.edges[e];
        let p = edge.from + (edge.to - edge.from) * share;
        self.meet(&p, &-edge.inwards, f64::INFINITY, &[e]);
        // Far away there is nothing, and every line entered on the way there is one less that was around.
        self.met.iter().map(|met| met.step).sum::<i32>() == 0
    }
}
