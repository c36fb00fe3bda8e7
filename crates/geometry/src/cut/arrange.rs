//! Outlines that touch or cross themselves, made into a drawing whose edges meet at vertices only.

use rustc_hash::FxHashMap;

use super::outline::OutlineEdge;
use crate::Point;
use crate::predicates::orient_2d;

/// A drawing of edges in the plane that share nothing but vertices.
pub(super) struct Drawing {
    /// Parts of the given edges, no two the same.
    pub edges: Vec<OutlineEdge>,
    /// Points where edges crossed; numbered on from the highest vertex given.
    pub new_points: Vec<Point>,
    /// Vertices that coincide with another one, which stands for them.
    pub welded: FxHashMap<u32, u32>,
    /// Given edges that were parted, low → high, with all vertices along them from end to end.
    pub chains: FxHashMap<(u32, u32), Vec<u32>>,
}

/// Rounds after which crossings are given up. Leading an edge through a vertex moves it by less than the snap, which can
/// make it cross others anew; more than five rounds were not seen in tests.
const MOST_ROUNDS: usize = 32;
/// Crossings per edge after which the section is given up as hopeless, so that memory stays bounded: a soup of n
/// faces can cross itself n² times.
const MOST_CROSSINGS_PER_EDGE: usize = 64;

/// Parts `edges` where they touch or cross. `place` gives a vertex, `flat` what of a place is drawn; new vertices are
/// numbered from `next`; edges that pass a vertex within `snap_mm` are led through it. `None` where that comes to no end
/// within bounds.
pub(super) fn arrange(
    edges: &[OutlineEdge],
    place: impl Fn(u32) -> Point,
    flat: impl Fn(&Point) -> [f64; 2],
    next: u32,
    snap_mm: f64,
) -> Option<Drawing> {
    let mut sheet = Sheet::new(edges, place, flat, next, snap_mm);
    let limit = edges.len() * MOST_CROSSINGS_PER_EDGE;
    for _ in 0..MOST_ROUNDS {
        let cuts = sheet.meetings(limit)?;
        if cuts.is_empty() {
            return Some(sheet.finish(edges));
        }
        sheet.part(cuts);
    }
    None
}

/// A straight part of a given edge.
#[derive(Clone, Copy)]
struct Segment {
    from: u32,
    to: u32,
    given: usize,
}

struct Sheet<F> {
    flat: F,
    snap_mm: f64,
    next: u32,
    spots: FxHashMap<u32, Point>,
    drawn: FxHashMap<u32, [f64; 2]>,
    at_spot: FxHashMap<[i64; 2], Vec<u32>>,
    welded: FxHashMap<u32, u32>,
    segments: Vec<Segment>,
    new_points: Vec<Point>,
}

impl<F: Fn(&Point) -> [f64; 2]> Sheet<F> {
    fn new(edges: &[OutlineEdge], place: impl Fn(u32) -> Point, flat: F, next: u32, snap_mm: f64) -> Self {
        let mut sheet = Sheet {
            flat,
            snap_mm,
            next,
            spots: FxHashMap::default(),
            drawn: FxHashMap::default(),
            at_spot: FxHashMap::default(),
            welded: FxHashMap::default(),
            segments: Vec::with_capacity(edges.len()),
            new_points: Vec::new(),
        };
        for (given, edge) in edges.iter().enumerate() {
            let [from, to] = [edge.from, edge.to].map(|v| sheet.vertex(v, place(v)));
            if from != to {
                sheet.segments.push(Segment { from, to, given });
            }
        }
        sheet
    }

    /// Enters vertex `v`, or the one that already stands within the snap of its spot.
    fn vertex(&mut self, v: u32, at: Point) -> u32 {
        if self.drawn.contains_key(&v) {
            return v;
        }
        let drawn = (self.flat)(&at);
        let cell = |k: usize, step: i64| {
            ((drawn[k] / self.snap_mm.max(f64::MIN_POSITIVE)).round() as i64).saturating_add(step)
        };
        let near = |w: &u32| {
            let d = self.drawn[w];
            (d[0] - drawn[0]).hypot(d[1] - drawn[1]) <= self.snap_mm
        };
        let cells = (-1..=1).flat_map(|i| (-1..=1).map(move |j| (i, j))).map(|(i, j)| [cell(0, i), cell(1, j)]);
        let known = cells.filter_map(|cell| self.at_spot.get(&cell)).flatten().copied().find(near);
        if let Some(known) = known {
            self.welded.insert(v, known);
            return known;
        }
        self.at_spot.entry([cell(0, 0), cell(1, 0)]).or_default().push(v);
        self.spots.insert(v, at);
        self.drawn.insert(v, drawn);
        v
    }

    /// For each segment that has to be parted, the vertices at which.
    fn meetings(&mut self, limit: usize) -> Option<FxHashMap<usize, Vec<u32>>> {
        let mut boxes: Vec<(usize, [f64; 2], [f64; 2])> = self
            .segments
            .iter()
            .enumerate()
            .map(|(i, s)| {
                let (a, b) = (self.drawn[&s.from], self.drawn[&s.to]);
                (i, [a[0].min(b[0]), a[1].min(b[1])], [a[0].max(b[0]), a[1].max(b[1])])
            })
            .collect();
        boxes.sort_by(|a, b| a.1[0].total_cmp(&b.1[0]));
        let mut cuts: FxHashMap<usize, Vec<u32>> = FxHashMap::default();
        let mut found = 0;
        let mut active: Vec<usize> = Vec::new();
        for k in 0..boxes.len() {
            active.retain(|&j| boxes[j].2[0] >= boxes[k].1[0]);
            for &j in &active {
                if boxes[j].1[1] <= boxes[k].2[1] && boxes[k].1[1] <= boxes[j].2[1] {
                    found += self.meeting(boxes[j].0, boxes[k].0, &mut cuts);
                    if found > limit {
                        return None;
                    }
                }
            }
            active.push(k);
        }
        Some(cuts)
    }

    /// Notes where two segments meet other than at shared ends; returns how many places that were.
    fn meeting(&mut self, i: usize, j: usize, cuts: &mut FxHashMap<usize, Vec<u32>>) -> usize {
        let (s, t) = (self.segments[i], self.segments[j]);
        let [a, b, c, d] = [s.from, s.to, t.from, t.to].map(|v| self.drawn[&v]);
        let mut count = 0;
        let mut note = |segment: usize, v: u32| {
            cuts.entry(segment).or_default().push(v);
            count += 1;
        };
        for (v, at) in [(t.from, c), (t.to, d)] {
            if v != s.from && v != s.to && passes(a, b, at, self.snap_mm) {
                note(i, v);
            }
        }
        for (v, at) in [(s.from, a), (s.to, b)] {
            if v != t.from && v != t.to && passes(c, d, at, self.snap_mm) {
                note(j, v);
            }
        }
        let apart = count == 0 && ![s.from, s.to].iter().any(|v| *v == t.from || *v == t.to);
        let (ca, cb) = (orient_2d(c, d, a), orient_2d(c, d, b));
        if apart && opposite(orient_2d(a, b, c), orient_2d(a, b, d)) && opposite(ca, cb) {
            // `ca` and `cb` grow with the distance from line c d, so they say how far along a b the crossing lies.
            let along = ca / (ca - cb);
            let (p, q) = (self.spots[&s.from], self.spots[&s.to]);
            let v = self.crossing(p + (q - p) * along);
            for (segment, ends) in [(i, s), (j, t)] {
                if v != ends.from && v != ends.to {
                    cuts.entry(segment).or_default().push(v);
                    count += 1;
                }
            }
        }
        count
    }

    fn crossing(&mut self, at: Point) -> u32 {
        let v = self.vertex(self.next, at);
        if v == self.next {
            self.next += 1;
            self.new_points.push(at);
        } else {
            self.welded.remove(&self.next);
        }
        v
    }

    fn part(&mut self, cuts: FxHashMap<usize, Vec<u32>>) {
        let mut parted = Vec::with_capacity(self.segments.len() + cuts.len());
        for (i, segment) in self.segments.iter().enumerate() {
            let Some(at) = cuts.get(&i) else {
                parted.push(*segment);
                continue;
            };
            let from = self.spots[&segment.from];
            let direction = self.spots[&segment.to] - from;
            let mut stops = at.clone();
            stops.sort_by(|a, b| {
                let along = |v: &u32| (self.spots[v] - from).dot(&direction);
                along(a).total_cmp(&along(b)).then(a.cmp(b))
            });
            stops.dedup();
            stops.push(segment.to);
            let mut last = segment.from;
            for stop in stops {
                if stop != last {
                    parted.push(Segment { from: last, to: stop, given: segment.given });
                    last = stop;
                }
            }
        }
        self.segments = parted;
    }

    fn finish(self, given: &[OutlineEdge]) -> Drawing {
        let mut chains: FxHashMap<(u32, u32), Vec<u32>> = FxHashMap::default();
        let mut counts: FxHashMap<(u32, u32), (i32, u32)> = FxHashMap::default();
        // Parts of a given edge follow each other in order.
        for parts in self.segments.chunk_by(|a, b| a.given == b.given) {
            let edge = &given[parts[0].given];
            if parts.len() > 1 {
                let mut chain = vec![parts[0].from];
                chain.extend(parts.iter().map(|s| s.to));
                if edge.from > edge.to {
                    chain.reverse();
                }
                chains.insert((edge.from.min(edge.to), edge.from.max(edge.to)), chain);
            }
            for s in parts {
                let sign = if s.from < s.to { 1 } else { -1 };
                let entry = counts.entry((s.from.min(s.to), s.from.max(s.to))).or_insert((0, edge.face));
                entry.0 += sign * edge.count;
            }
        }
        let mut edges: Vec<OutlineEdge> = counts
            .into_iter()
            .filter(|(_, (count, _))| *count != 0)
            .map(|((low, high), (count, face))| {
                let (from, to) = if count > 0 { (low, high) } else { (high, low) };
                OutlineEdge { from, to, count: count.abs(), face }
            })
            .collect();
        edges.sort_unstable_by_key(|e| (e.from, e.to));
        Drawing { edges, new_points: self.new_points, welded: self.welded, chains }
    }
}

fn opposite(a: f64, b: f64) -> bool {
    (a > 0.0 && b < 0.0) || (a < 0.0 && b > 0.0)
}

/// Whether the edge from `a` to `b` passes `p` between its ends within `snap`, or exactly.
fn passes(a: [f64; 2], b: [f64; 2], p: [f64; 2], snap: f64) -> bool {
    let (ab, ap) = ([b[0] - a[0], b[1] - a[1]], [p[0] - a[0], p[1] - a[1]]);
    let (along, length2) = (ab[0] * ap[0] + ab[1] * ap[1], ab[0] * ab[0] + ab[1] * ab[1]);
    if !(0.0..=length2).contains(&along) {
        return false;
    }
    let turn = orient_2d(a, b, p);
    turn == 0.0 || turn * turn <= snap * snap * length2
}
