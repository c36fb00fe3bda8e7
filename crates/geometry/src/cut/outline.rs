//! The directed edges in the plane that walls leave without a partner.

use rustc_hash::{FxHashMap, FxHashSet};

use crate::{Point, Side};

/// An edge of a cap's boundary: a cap with its face upwards (that of the lower side) lies to its left.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct OutlineEdge {
    pub from: u32,
    pub to: u32,
    /// How many caps lie to the left more than to the right; always positive.
    pub count: i32,
    /// A face of the solid that this edge comes from; tells the shell.
    pub face: u32,
}

/// Collects the edges of walls that lie in the plane. What is left after opposite ones have cancelled is the outline.
#[derive(Default)]
pub(super) struct Outline {
    /// By undirected edge: caps to the left of low → high, as the lower and the upper walls each want it.
    balance: FxHashMap<(u32, u32), Balance>,
}

#[derive(Clone, Copy)]
struct Balance {
    wanted: [i32; 2],
    face: u32,
}

impl Outline {
    /// Makes room for about this many edges.
    pub fn reserve(&mut self, edges: usize) {
        self.balance.reserve(edges);
    }

    /// Notes that a wall on `side` has the directed edge `from → to` within the plane.
    pub fn add_wall_edge(&mut self, side: Side, from: u32, to: u32, face: u32) {
        // The cap's edge runs against the wall's; the upper cap is the lower one turned round.
        let wanted = if side == Side::Below { [-1, 0] } else { [0, 1] };
        self.add(wanted, from, to, face);
    }

    /// Notes that a face is split: its part on `side` has the directed edge `from → to`, that on the other side `to → from`.
    pub fn add_split(&mut self, side: Side, from: u32, to: u32, face: u32) {
        let wanted = if side == Side::Below { [-1, -1] } else { [1, 1] };
        self.add(wanted, from, to, face);
    }

    /// Adds what both sides want to the left of `from → to`.
    fn add(&mut self, wanted: [i32; 2], from: u32, to: u32, face: u32) {
        if from == to {
            return;
        }
        let (key, along) = if from < to { ((from, to), 1) } else { ((to, from), -1) };
        let entry = self.balance.entry(key).or_insert(Balance { wanted: [0; 2], face });
        for (sum, wanted) in entry.wanted.iter_mut().zip(wanted) {
            *sum += wanted * along;
        }
    }

    /// The outline, in a fixed order. Where the two sides want different caps the solid has an open or overused edge
    /// within the plane: what both want is taken.
    pub fn edges(&self) -> Vec<OutlineEdge> {
        let mut edges: Vec<OutlineEdge> = self
            .balance
            .iter()
            .filter_map(|(&(low, high), balance)| {
                let [below, above] = balance.wanted;
                let count = if below.signum() != above.signum() {
                    0
                } else if below.abs() < above.abs() {
                    below
                } else {
                    above
                };
                let (from, to) = if count > 0 { (low, high) } else { (high, low) };
                (count != 0).then_some(OutlineEdge { from, to, count: count.abs(), face: balance.face })
            })
            .collect();
        edges.sort_unstable_by_key(|e| u64::from(e.from) << 32 | u64::from(e.to));
        edges
    }
}

/// An outline whose every connected part closes, and what had to be done or left for that.
pub(super) struct Closed {
    pub edges: Vec<OutlineEdge>,
    /// Loose ends that were joined or whose part was left out: the solid is open there.
    pub open_places: Vec<Point>,
}

/// A gap is bridged where its two ends are each other's nearest and it is shorter than this share of the open part's
/// length: then no other pairing is in sight (our own choice, no source).
pub(super) const BRIDGE_SHARE: f64 = 0.1;

/// Whether as many edges arrive at every vertex as leave it.
pub(super) fn is_closed(edges: &[OutlineEdge]) -> bool {
    loose_ends(edges).is_empty()
}

/// Joins loose ends where that is beyond doubt and leaves out connected parts that still do not close.
pub(super) fn close(mut edges: Vec<OutlineEdge>, position: impl Fn(u32) -> Point) -> Closed {
    let loose = loose_ends(&edges);
    if loose.is_empty() {
        return Closed { edges, open_places: Vec::new() };
    }
    let parts = Parts::of(&edges);
    let mut length: FxHashMap<u32, f64> = FxHashMap::default();
    for edge in &edges {
        *length.entry(parts.find(edge.from)).or_default() += (position(edge.to) - position(edge.from)).norm();
    }
    let open_places = loose.iter().map(|&(v, _)| position(v)).collect();
    for (end, start) in mutual_nearest(&loose, &position) {
        let gap = (position(end) - position(start)).norm();
        let reach = length[&parts.find(end)].min(length[&parts.find(start)]) * BRIDGE_SHARE;
        if gap <= reach {
            let face = edges.iter().find(|e| e.to == end).map_or(0, |e| e.face);
            edges.push(OutlineEdge { from: end, to: start, count: 1, face });
        }
    }
    let parts = Parts::of(&edges);
    let open: FxHashSet<u32> = loose_ends(&edges).iter().map(|&(v, _)| parts.find(v)).collect();
    edges.retain(|e| !open.contains(&parts.find(e.from)));
    Closed { edges, open_places }
}

/// Vertices where not as many edges arrive as leave, with arrivals minus departures.
pub(super) fn loose_ends(edges: &[OutlineEdge]) -> Vec<(u32, i32)> {
    let mut surplus: FxHashMap<u32, i32> = FxHashMap::default();
    for edge in edges {
        *surplus.entry(edge.to).or_default() += edge.count;
        *surplus.entry(edge.from).or_default() -= edge.count;
    }
    let mut loose: Vec<(u32, i32)> = surplus.into_iter().filter(|&(_, s)| s != 0).collect();
    loose.sort_unstable();
    loose
}

/// More loose ends than this are not paired: the search is quadratic, and a section so torn has no obvious pairing.
const MOST_LOOSE_ENDS: usize = 2048;

/// Pairs (arriving end, departing end) that are each other's nearest.
pub(super) fn mutual_nearest(loose: &[(u32, i32)], position: &impl Fn(u32) -> Point) -> Vec<(u32, u32)> {
    if loose.len() > MOST_LOOSE_ENDS {
        return Vec::new();
    }
    let nearest = |v: u32, wanted: i32| {
        loose
            .iter()
            .filter(|&&(other, surplus)| surplus == wanted && other != v)
            .min_by(|a, b| {
                let distance = |w: u32| (position(w) - position(v)).norm_squared();
                distance(a.0).total_cmp(&distance(b.0))
            })
            .map(|&(other, _)| other)
    };
    loose
        .iter()
        .filter(|&&(_, surplus)| surplus == 1)
        .filter_map(|&(end, _)| {
            let start = nearest(end, -1)?;
            (nearest(start, 1) == Some(end)).then_some((end, start))
        })
        .collect()
}

/// Connected parts of an outline, each named by one of its vertices.
pub(super) struct Parts {
    name: FxHashMap<u32, u32>,
}

impl Parts {
    /// Union-find over the vertices with paths halved (Tarjan and van Leeuwen 1984).
    pub fn of(edges: &[OutlineEdge]) -> Parts {
        let mut parent: FxHashMap<u32, u32> = edges.iter().flat_map(|e| [(e.from, e.from), (e.to, e.to)]).collect();
        for edge in edges {
            let (a, b) = (root(&mut parent, edge.from), root(&mut parent, edge.to));
            parent.insert(a.max(b), a.min(b));
        }
        let vertices: Vec<u32> = parent.keys().copied().collect();
        Parts { name: vertices.into_iter().map(|v| (v, root(&mut parent, v))).collect() }
    }

    /// The part that `v`, a vertex of the outline, belongs to.
    pub fn find(&self, v: u32) -> u32 {
        self.name.get(&v).copied().unwrap_or(v)
    }
}

fn root(parent: &mut FxHashMap<u32, u32>, mut v: u32) -> u32 {
    while parent[&v] != v {
        let grandparent = parent[&parent[&v]];
        parent.insert(v, grandparent);
        v = grandparent;
    }
    v
}
