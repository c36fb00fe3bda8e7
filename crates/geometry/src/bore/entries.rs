//! Where a bore breaks through the surface.

use rustc_hash::FxHashMap;

use super::Entry;
use super::channel::Channel;
use crate::{FaceOrigin, Point, Solid};

/// The mouths of the bore with this label: the rims between its walls and all other faces, each connected one by itself, in
/// their order along the line.
pub(super) fn of(solid: &Solid, channel: &Channel, label: u32) -> Vec<Entry> {
    let wall = FaceOrigin::bore(label);
    let mut uses: FxHashMap<(u32, u32), i32> = FxHashMap::default();
    for (t, _) in solid.mesh.triangles.iter().zip(&solid.origins).filter(|(_, origin)| **origin == wall) {
        for (a, b) in [(t[0], t[1]), (t[1], t[2]), (t[2], t[0])] {
            *uses.entry((a.min(b), a.max(b))).or_default() += if a < b { 1 } else { -1 };
        }
    }
    let mut rim: Vec<(u32, u32)> = uses.into_iter().filter(|(_, uses)| *uses != 0).map(|(edge, _)| edge).collect();
    rim.sort_unstable();
    let mut parent: FxHashMap<u32, u32> = rim.iter().flat_map(|(a, b)| [(*a, *a), (*b, *b)]).collect();
    for &(a, b) in &rim {
        let (a, b) = (root(&parent, a), root(&parent, b));
        parent.insert(a.max(b), a.min(b));
    }
    let mut rims: FxHashMap<u32, (Point, f64, [f64; 2])> = FxHashMap::default();
    for (a, b) in rim {
        let [p, q] = [a, b].map(|v| solid.mesh.vertices[v as usize]);
        let length = nalgebra::distance(&p, &q);
        let unknown = (Point::origin(), 0.0, [f64::INFINITY, f64::NEG_INFINITY]);
        let (sum, total, reach) = rims.entry(root(&parent, a)).or_insert(unknown);
        *sum += nalgebra::center(&p, &q).coords * length;
        *total += length;
        for at in [p, q].map(|p| along(channel, &p)) {
            *reach = [reach[0].min(at), reach[1].max(at)];
        }
    }
    let mut entries: Vec<Entry> = rims
        .into_values()
        .filter(|(_, total, _)| *total > 0.0)
        .map(|(sum, rim_mm, reach_mm)| {
            let middle = sum / rim_mm;
            Entry { middle, at_mm: along(channel, &middle), reach_mm, rim_mm }
        })
        .collect();
    entries.sort_by(|a, b| a.at_mm.total_cmp(&b.at_mm).then(a.rim_mm.total_cmp(&b.rim_mm)));
    entries
}

/// Where along the line a place lies, beyond its ends on the prolonged last runs.
fn along(channel: &Channel, p: &Point) -> f64 {
    let line = channel.line();
    let runs = line.len() - 1;
    let (mut best, mut before) = ((f64::INFINITY, 0.0), 0.0);
    for (i, pair) in line.windows(2).enumerate() {
        let length = nalgebra::distance(&pair[0], &pair[1]);
        let towards = (pair[1] - pair[0]) / length;
        let mut at = (p - pair[0]).dot(&towards);
        at = if i > 0 { at.max(0.0) } else { at };
        at = if i + 1 < runs { at.min(length) } else { at };
        let off = nalgebra::distance(p, &(pair[0] + towards * at));
        if off < best.0 {
            best = (off, before + at);
        }
        before += length;
    }
    best.1
}

fn root(parent: &FxHashMap<u32, u32>, mut v: u32) -> u32 {
    while parent[&v] != v {
        v = parent[&v];
    }
    v
}
