//! What the caps of each strip have to close.

use rustc_hash::FxHashMap;

use super::super::outline::{self, OutlineEdge, Parts};
use super::crossings::{Crossings, NONE};
use super::rings::Ring;
use crate::{Point, Shells, Side};

/// The outline in each strip, without the edges along folds.
pub(super) type Outlines = Vec<Vec<OutlineEdge>>;

/// What the walls of the lower side leave without a partner: the ways of its parts along strips, and the rims of parts
/// that were moved from the other side.
pub(super) fn of_rings(strips: usize, rings: &[Ring], moved: &[(usize, u32)]) -> Outlines {
    let mut balance: FxHashMap<(u32, u32, u32), (i32, u32)> = FxHashMap::default();
    let mut add = |strip: u32, from: u32, to: u32, count: i32, face: u32| {
        if from != to && strip != NONE {
            let (key, along) = if from < to { ((strip, from, to), 1) } else { ((strip, to, from), -1) };
            balance.entry(key).or_insert((0, face)).0 += along * count;
        }
    };
    let moved: FxHashMap<usize, u32> = moved.iter().copied().collect();
    for (i, ring) in rings.iter().enumerate() {
        for (j, r) in ring.rim.iter().enumerate() {
            let next = ring.rim[(j + 1) % ring.rim.len()].node;
            // The cap's edge runs against the wall's. A part that was moved here took the place of none.
            match (moved.get(&i), ring.side) {
                (None, Side::Below) => add(r.strip, r.node, next, -1, ring.face),
                (None, Side::Above) => {}
                (Some(own), side) => {
                    let strip = if r.strip == NONE { *own } else { r.strip };
                    // As what it is not any more it counted where it had a strip, if that was below.
                    let was = if side == Side::Above && r.strip != NONE { -1 } else { 0 };
                    let more = if side == Side::Below { -1 } else { 1 };
                    add(strip, r.node, next, was + more, ring.face);
                }
            }
        }
    }
    let mut outlines = vec![Vec::new(); strips];
    for ((strip, low, high), (count, face)) in balance {
        let (from, to) = if count > 0 { (low, high) } else { (high, low) };
        if count != 0 {
            outlines[strip as usize].push(OutlineEdge { from, to, count: count.abs(), face });
        }
    }
    outlines.iter_mut().for_each(|edges| edges.sort_unstable_by_key(|e| (e.from, e.to)));
    outlines
}

/// Whether as many edges leave every vertex as arrive, over all strips.
pub(super) fn are_closed(outlines: &Outlines) -> bool {
    outline::is_closed(&outlines.concat())
}

/// Joins loose ends where that is beyond doubt and leaves out connected parts that still do not close, each shell by
/// itself. Gives back the places of the loose ends.
pub(super) fn close(crossings: &Crossings, shells: &Shells, outlines: &mut Outlines) -> Vec<Point> {
    let place = |v: u32| crossings.place(v);
    let mut open_places = Vec::new();
    let mut closed: Outlines = vec![Vec::new(); outlines.len()];
    for mut of_shell in by_shell(shells, outlines) {
        let all = of_shell.concat();
        let loose = outline::loose_ends(&all);
        open_places.extend(loose.iter().map(|&(v, _)| place(v)));
        let parts = Parts::of(&all);
        let mut length: FxHashMap<u32, f64> = FxHashMap::default();
        for edge in &all {
            *length.entry(parts.find(edge.from)).or_default() += (place(edge.to) - place(edge.from)).norm();
        }
        for (end, start) in outline::mutual_nearest(&loose, &place) {
            let reach = length[&parts.find(end)].min(length[&parts.find(start)]) * outline::BRIDGE_SHARE;
            // Only where both lie in one strip does a straight line lie in the surface.
            let strip = of_shell
                .iter_mut()
                .find(|edges| edges.iter().any(|e| e.to == end) && edges.iter().any(|e| e.from == start));
            if let Some(edges) = strip
                && (place(end) - place(start)).norm() <= reach
            {
                let face = edges.first().map_or(0, |e| e.face);
                edges.push(OutlineEdge { from: end, to: start, count: 1, face });
            }
        }
        let all = of_shell.concat();
        let parts = Parts::of(&all);
        let open: Vec<u32> = outline::loose_ends(&all).iter().map(|&(v, _)| parts.find(v)).collect();
        for (edges, to) in of_shell.into_iter().zip(&mut closed) {
            to.extend(edges.into_iter().filter(|e| !open.contains(&parts.find(e.from))));
        }
    }
    *outlines = closed;
    open_places
}

/// The outlines of each shell.
pub(super) fn by_shell(shells: &Shells, outlines: &Outlines) -> Vec<Outlines> {
    let mut by_shell: FxHashMap<u32, Outlines> = FxHashMap::default();
    for (strip, edges) in outlines.iter().enumerate() {
        for edge in edges {
            let shell = shells.of_triangle.get(edge.face as usize).copied().unwrap_or(0);
            by_shell.entry(shell).or_insert_with(|| vec![Vec::new(); outlines.len()])[strip].push(*edge);
        }
    }
    let mut by_shell: Vec<(u32, Outlines)> = by_shell.into_iter().collect();
    by_shell.sort_unstable_by_key(|(shell, _)| *shell);
    by_shell.into_iter().map(|(_, outlines)| outlines).collect()
}

/// Adds the edges along folds that close the outline of every strip.
///
/// What arrives at a vertex in the strips up to a fold and does not leave again must cross the fold there. Along the fold,
/// in order, these numbers add up to how often the material covers it: that many edges run there, in the strip before the
/// fold in one direction and in the one after it in the other.
pub(super) fn add_folds(crossings: &Crossings, outlines: &mut Outlines) {
    let mut surplus: FxHashMap<u32, Vec<(usize, i32, u32)>> = FxHashMap::default();
    for (strip, edges) in outlines.iter().enumerate() {
        for e in edges {
            surplus.entry(e.from).or_default().push((strip, e.count, e.face));
            surplus.entry(e.to).or_default().push((strip, -e.count, e.face));
        }
    }
    let mut folds: Vec<Vec<(f64, u32, i32, u32)>> = vec![Vec::new(); outlines.len().saturating_sub(1)];
    for (vertex, mut of_strips) in surplus {
        of_strips.sort_unstable();
        let face = of_strips[0].2;
        let mut sum = 0;
        for (i, &(strip, count, _)) in of_strips.iter().enumerate() {
            sum += count;
            let next = of_strips.get(i + 1).map_or(folds.len(), |(next, ..)| *next);
            if sum != 0 {
                let depth = crossings.depth_mm(vertex);
                folds[strip.min(next)..next].iter_mut().for_each(|fold| fold.push((depth, vertex, sum, face)));
            }
        }
    }
    for (fold, mut crossed) in folds.into_iter().enumerate() {
        crossed.extend(passed(crossings, outlines, fold));
        crossed.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        let mut covered = 0;
        for pair in crossed.windows(2) {
            let (from, to, face) = (pair[0].1, pair[1].1, pair[0].3);
            covered -= pair[0].2;
            let (a, b) = if covered > 0 { (from, to) } else { (to, from) };
            if covered != 0 && a != b {
                let count = i32::abs(covered);
                outlines[fold].push(OutlineEdge { from: a, to: b, count, face });
                outlines[fold + 1].push(OutlineEdge { from: b, to: a, count, face });
            }
        }
    }
    outlines.iter_mut().for_each(merge);
}

/// Vertices of the outlines beside a fold that lie on it. Edges along the fold lead through them, or else there would be a
/// sliver between those and the walls there.
fn passed(crossings: &Crossings, outlines: &Outlines, fold: usize) -> Vec<(f64, u32, i32, u32)> {
    let [u, v] = crossings.curve.corners[fold];
    let beside = outlines[fold].iter().chain(&outlines[fold + 1]);
    let mut on: Vec<(u32, u32)> = beside
        .flat_map(|e| [(e.from, e.face), (e.to, e.face)])
        .filter(|(vertex, _)| {
            let p = crossings.spot(*vertex);
            (p[0] - u).hypot(p[1] - v) <= crossings.on_mm
        })
        .collect();
    on.sort_unstable();
    on.dedup_by_key(|(vertex, _)| *vertex);
    on.into_iter().map(|(vertex, face)| (crossings.depth_mm(vertex), vertex, 0, face)).collect()
}

/// Makes edges between the same two vertices one.
fn merge(edges: &mut Vec<OutlineEdge>) {
    let mut counts: FxHashMap<(u32, u32), (i32, u32)> = FxHashMap::default();
    for e in edges.drain(..) {
        let along = if e.from < e.to { 1 } else { -1 };
        counts.entry((e.from.min(e.to), e.from.max(e.to))).or_insert((0, e.face)).0 += along * e.count;
    }
    for ((low, high), (count, face)) in counts {
        let (from, to) = if count > 0 { (low, high) } else { (high, low) };
        if count != 0 {
            edges.push(OutlineEdge { from, to, count: count.abs(), face });
        }
    }
    edges.sort_unstable_by_key(|e| (e.from, e.to));
}
