//! Constrained Delaunay triangulations, filled by winding number.

use super::delaunay::{Arc, Net, back};
use crate::predicates::{LARGEST_FLAT, SMALLEST_FLAT};

/// What edges go round, in triangles.
#[derive(Debug, PartialEq)]
pub(super) struct Filled {
    /// One for every turn, turning left; turned over for turns the other way.
    pub triangles: Vec<[u32; 3]>,
    /// The lowest winding number that occurs, at most 0.
    pub lowest: i32,
    /// The highest, at least 0.
    pub highest: i32,
}

/// An edge that must be in the triangulation, between two places by their numbers; `count` more turns are to its left than
/// to its right.
pub(super) struct Bound {
    pub from: u32,
    pub to: u32,
    pub count: i32,
}

/// Fills what `bounds` go round with a Delaunay triangulation that they constrain. `None` where two of them meet elsewhere
/// than at a place that they share, two places are the same, or the edges do not close.
pub(super) fn fill(places: &[[f64; 2]], bounds: &[Bound]) -> Option<Filled> {
    let mut order: Vec<([f64; 2], u32)> = (0..).zip(places).map(|(i, &p)| (p.map(without_underflow), i)).collect();
    if order.len() < 2 || !order.iter().flat_map(|(p, _)| p).all(|x| x.abs() <= LARGEST_FLAT) {
        return bounds.is_empty().then_some(Filled { triangles: Vec::new(), lowest: 0, highest: 0 });
    }
    order.sort_unstable_by(|(a, _), (b, _)| a[0].total_cmp(&b[0]).then(a[1].total_cmp(&b[1])));
    let points: Vec<[f64; 2]> = order.iter().map(|(p, _)| *p).collect();
    if points.windows(2).any(|pair| pair[0] == pair[1]) {
        return None;
    }
    let mut number = vec![0; points.len()];
    for (new, &(_, old)) in (0..).zip(&order) {
        number[old as usize] = new;
    }
    let (net, hull) = Net::delaunay(&points);
    let mut builder = Builder::new(net);
    for bound in bounds {
        let [from, to] = [bound.from, bound.to].map(|v| number[v as usize]);
        builder.insert(from, to, bound.count)?;
    }
    let mut filled = builder.flood(hull)?;
    filled.triangles.iter_mut().flatten().for_each(|v| *v = order[*v as usize].1);
    Some(filled)
}

/// Nothing that is so near to 0 has a size in a model.
fn without_underflow(x: f64) -> f64 {
    // Adding 0 takes the sign from -0, which orders before 0.
    if x.abs() < SMALLEST_FLAT { 0.0 } else { x + 0.0 }
}

struct Builder<'a> {
    net: Net<'a>,
    /// Of each arc that is bound to stay, how many turns more are to its left than to its right; 0 for all others.
    step: Vec<i32>,
    is_bound: Vec<bool>,
    /// An arc from each vertex.
    leaving: Vec<Arc>,
    crossed: Vec<Arc>,
}

impl<'a> Builder<'a> {
    fn new(net: Net<'a>) -> Self {
        let mut leaving = vec![0; net.points.len()];
        for e in (0..net.len() as Arc).filter(|&e| !net.is_gone(e)) {
            leaving[net.from(e) as usize] = e;
        }
        // Edges that are put in take the place of those that they cross, and one more may come for each bound.
        Builder { step: vec![0; net.len()], is_bound: vec![false; net.len()], net, leaving, crossed: Vec::new() }
    }

    /// Makes sure that there is an edge between two vertices. `None` where it crosses another one that must stay, or passes
    /// a vertex.
    fn insert(&mut self, from: u32, to: u32, count: i32) -> Option<()> {
        let e = match self.look(from, to)? {
            Found::Edge(e) => e,
            Found::Sector(e) => self.force(e, to)?,
        };
        if self.is_bound[e as usize] {
            return None;
        }
        for (arc, step) in [(e, count), (back(e), -count)] {
            self.is_bound[arc as usize] = true;
            self.step[arc as usize] = step;
        }
        Some(())
    }

    /// The edge between two vertices, or the arc from the first after which, turning left, it would come.
    fn look(&self, from: u32, to: u32) -> Option<Found> {
        let first = self.leaving[from as usize];
        let mut e = first;
        loop {
            if self.net.to(e) == to {
                return Some(Found::Edge(e));
            }
            e = self.net.turn_left(e);
            if e == first {
                break;
            }
        }
        let mut side = self.net.side(e, to);
        loop {
            let after = self.net.turn_left(e);
            let side_after = self.net.side(after, to);
            if side > 0.0 && side_after < 0.0 {
                return Some(Found::Sector(e));
            }
            (e, side) = (after, side_after);
            if e == first {
                // It runs along another edge, and so through that one's end.
                return None;
            }
        }
    }

    /// Puts the edge to `to` in after `right`, an arc from where it begins, and triangulates anew what it crossed.
    fn force(&mut self, right: Arc, to: u32) -> Option<Arc> {
        let net = &self.net;
        let (from, left) = (net.from(right), net.turn_left(right));
        self.crossed.clear();
        let mut e = net.next(right);
        let end = loop {
            if self.is_bound[e as usize] || self.crossed.len() > net.len() {
                return None;
            }
            self.crossed.push(e);
            let (one, other) = (net.next(back(e)), net.previous(back(e)));
            let apex = net.to(one);
            if apex == to {
                break other;
            }
            let side = net.turn(from, to, apex);
            if side == 0.0 {
                return None;
            }
            e = if side > 0.0 { one } else { other };
        };
        for i in 0..self.crossed.len() {
            self.remove(self.crossed[i]);
        }
        let e = self.connect(back(left), end);
        self.triangulate(e)?;
        self.triangulate(back(e))?;
        Some(e)
    }

    fn remove(&mut self, e: Arc) {
        for arc in [e, back(e)] {
            self.leaving[self.net.from(arc) as usize] = self.net.turn_left(arc);
        }
        self.net.remove(e);
    }

    fn connect(&mut self, a: Arc, b: Arc) -> Arc {
        let e = self.net.connect(a, b);
        if self.step.len() < self.net.len() {
            self.step.resize(self.net.len(), 0);
            self.is_bound.resize(self.net.len(), false);
        }
        e
    }

    /// Triangulates the face to the left of `base`, all of whose vertices lie to the left of it (M. Anglada, "An improved
    /// incremental algorithm for constructing restricted Delaunay triangulations", 1997).
    fn triangulate(&mut self, base: Arc) -> Option<()> {
        let mut todo = vec![base];
        while let Some(base) = todo.pop() {
            let net = &self.net;
            let (from, to) = (net.from(base), net.to(base));
            let (first, last) = (net.next(base), net.previous(base));
            if net.next(first) == last {
                continue;
            }
            // Of all vertices the one whose circle with `base` holds no other.
            let mut apex: Option<Arc> = None;
            let mut e = first;
            while e != last {
                let v = net.to(e);
                if net.side(base, v) > 0.0 && apex.is_none_or(|apex| net.within(from, to, net.to(apex), v)) {
                    apex = Some(e);
                }
                e = net.next(e);
            }
            let apex = apex?;
            let beyond = net.next(apex);
            if apex != first {
                todo.push(self.connect(apex, first));
            }
            if beyond != last {
                todo.push(self.connect(last, beyond));
            }
        }
        Some(())
    }

    /// Counts turns from outside inwards, across one edge after another. All triangles are seen to turn left, without which
    /// they would be no triangulation.
    fn flood(&self, hull: Arc) -> Option<Filled> {
        let net = &self.net;
        let mut turns = vec![UNKNOWN; net.len()];
        let mut border = Vec::with_capacity(net.points.len());
        let outside = back(hull);
        let mut e = outside;
        loop {
            turns[e as usize] = 0;
            border.push(e);
            e = net.next(e);
            if e == outside {
                break;
            }
        }
        let mut filled = Filled { triangles: Vec::with_capacity(2 * net.points.len()), lowest: 0, highest: 0 };
        while let Some(done) = border.pop() {
            let e = back(done);
            let here = turns[done as usize] + self.step[e as usize];
            let known = turns[e as usize];
            if known == here {
                continue;
            }
            let (ahead, behind) = (net.next(e), net.previous(e));
            let corners = [e, ahead, behind].map(|e| net.from(e));
            // Reached on two ways with different counts, the outline is not closed.
            if known != UNKNOWN || net.next(ahead) != behind || net.turn(corners[0], corners[1], corners[2]) <= 0.0 {
                return None;
            }
            for e in [e, ahead, behind] {
                turns[e as usize] = here;
            }
            border.extend([ahead, behind]);
            let [a, b, c] = corners;
            let triangle = if here > 0 { [a, b, c] } else { [a, c, b] };
            filled.triangles.extend(std::iter::repeat_n(triangle, here.unsigned_abs() as usize));
            filled.lowest = filled.lowest.min(here);
            filled.highest = filled.highest.max(here);
        }
        Some(filled)
    }
}

/// Not counted yet. No winding number is so low: there are fewer edges.
const UNKNOWN: i32 = i32::MIN;

enum Found {
    Edge(Arc),
    Sector(Arc),
}

#[cfg(test)]
mod tests;
