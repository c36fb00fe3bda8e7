//! The caps that close an outline: constrained Delaunay triangulations filled by winding number.

use rustc_hash::FxHashMap;

use super::arrange::{Drawing, arrange};
use super::constrained::{self, Bound, Filled};
use super::outline::{self, OutlineEdge};
use super::walls::Walls;
use crate::{Plane, Point, Resolution, Shells, Solid};

/// The caps of one cut, as the lower side has them (facing upwards).
#[derive(Default)]
pub(super) struct Cap {
    /// Corners in the common numbering of the walls, followed by [`new_points`](Self::new_points).
    pub triangles: Vec<[u32; 3]>,
    /// Points where outlines crossed themselves.
    pub new_points: Vec<Point>,
    /// Vertices that another one stands for.
    pub welded: FxHashMap<u32, u32>,
    /// Wall edges, low → high, that got vertices between their ends.
    pub chains: FxHashMap<(u32, u32), Vec<u32>>,
    /// Area, mm²; parts that two shells cover count twice, parts of inward shells negative.
    pub area_mm2: f64,
    /// Places where the outline was not closed.
    pub left_open: Vec<Point>,
}

pub(super) fn close(solid: &Solid, plane: &Plane, walls: &Walls) -> Cap {
    close_edges(solid, plane, walls, walls.outline.edges())
}

/// Closes a part of the outline only.
pub(super) fn close_edges(solid: &Solid, plane: &Plane, walls: &Walls, edges: Vec<OutlineEdge>) -> Cap {
    let mut cap = Cap::default();
    let edges = close_ends(solid, walls, edges, &mut cap);
    let own = (solid.mesh.vertices.len() + walls.points.len()) as u32;
    let sheet = Sheet::new(plane, solid.resolution, |v| walls.position(solid, v), own);
    match sheet.fill(&edges) {
        Some(triangles) => cap.triangles = triangles,
        None => sheet.close_with_care(&Shells::of(&solid.mesh), &edges, &mut cap),
    }
    cap.area_mm2 = sheet.area_mm2(&cap);
    cap
}

/// Closes an outline that neither touches nor crosses nor covers itself, without a vertex more; `None` for others.
pub(super) fn close_simple(solid: &Solid, plane: &Plane, walls: &Walls) -> Option<Cap> {
    let edges = walls.outline.edges();
    if !outline::is_closed(&edges) {
        return None;
    }
    let own = (solid.mesh.vertices.len() + walls.points.len()) as u32;
    let sheet = Sheet::new(plane, solid.resolution, |v| walls.position(solid, v), own);
    Some(Cap { triangles: sheet.fill(&edges)?, ..Cap::default() })
}

/// The outline without loose ends. Each shell's are joined among themselves, so that one bad shell spoils no other.
fn close_ends(solid: &Solid, walls: &Walls, edges: Vec<OutlineEdge>, cap: &mut Cap) -> Vec<OutlineEdge> {
    if outline::is_closed(&edges) {
        return edges;
    }
    let place = |v: u32| walls.position(solid, v);
    let mut closed = Vec::with_capacity(edges.len());
    for (_, of_shell) in by_shell(&Shells::of(&solid.mesh), &edges) {
        let part = outline::close(of_shell, place);
        closed.extend(part.edges);
        cap.left_open.extend(part.open_places);
    }
    closed
}

/// A plane on which outlines are closed.
pub(super) struct Sheet<'a, P> {
    plane: &'a Plane,
    projection: Projection,
    snap_mm: f64,
    place: P,
    /// Vertices below this number are those that `place` knows.
    own: u32,
}

impl<'a, P: Fn(u32) -> Point> Sheet<'a, P> {
    /// On `plane`, with vertices below `own` at `place`; new ones are numbered from there.
    pub fn new(plane: &'a Plane, resolution: Resolution, place: P, own: u32) -> Self {
        let snap_mm = resolution.on_plane_mm * SNAP_SHARE;
        Sheet { plane, projection: Projection::along(plane), snap_mm, place, own }
    }

    /// Fills an outline that neither touches nor crosses nor covers itself; `None` for others.
    pub fn fill(&self, edges: &[OutlineEdge]) -> Option<Vec<[u32; 3]>> {
        let filled = fill(edges, |v| self.flat(v)).filter(is_simple);
        filled.map(|filled| filled.triangles)
    }

    /// Fills outlines that touch, cross, overlap or lie in one another the wrong way round: shell by shell, so that shells
    /// that overlap stay separate, but a cavity with the shell around it.
    pub fn close_with_care(&self, shells: &Shells, edges: &[OutlineEdge], cap: &mut Cap) {
        let mut groups = groups(shells, edges, &|v| self.flat(v));
        let mut welds: Vec<(u32, u32)> = Vec::new();
        while let Some(group) = groups.pop() {
            let next = self.own + cap.new_points.len() as u32;
            let drawing = arrange(&group, &self.place, |p| self.projection.flat(p), next, self.snap_mm);
            let filled = drawing.and_then(|drawing| {
                let at = |v: u32| match drawing.new_points.get((v as usize).wrapping_sub(next as usize)) {
                    Some(p) => self.projection.flat(p),
                    None => self.flat(v),
                };
                fill(&drawing.edges, at).map(|filled| (drawing, filled))
            });
            if let Some((Drawing { new_points, welded, chains, .. }, filled)) = filled {
                cap.triangles.extend(filled.triangles);
                cap.new_points.extend(new_points);
                welds.extend(welded);
                cap.chains.extend(chains);
                continue;
            }
            // A cavity that cannot be filled must not take the shell around it along: each for itself, then.
            let mut alone = by_shell(shells, &group);
            if alone.len() > 1 {
                groups.extend(alone.drain(..).map(|(_, edges)| edges));
            } else {
                cap.left_open.extend(group.first().map(|edge| (self.place)(edge.from)));
            }
        }
        weld(welds, cap);
    }

    /// Area of the caps, as seen from above the plane.
    pub fn area_mm2(&self, cap: &Cap) -> f64 {
        let place = |v: u32| match cap.new_points.get((v as usize).wrapping_sub(self.own as usize)) {
            Some(p) => *p,
            None => (self.place)(v),
        };
        area(&cap.triangles, place, self.plane)
    }

    fn flat(&self, v: u32) -> [f64; 2] {
        self.projection.flat(&(self.place)(v))
    }
}

/// Shells that touch share vertices: what one group's drawing welds holds for the caps of the others too, and where two
/// groups weld a vertex to different ones, all three become one.
fn weld(mut welds: Vec<(u32, u32)>, cap: &mut Cap) {
    welds.sort_unstable();
    for (vertex, stand_in) in welds {
        let (a, b) = (stands_for(&cap.welded, vertex), stands_for(&cap.welded, stand_in));
        if a != b {
            cap.welded.insert(a, b);
        }
    }
    let vertices: Vec<u32> = cap.welded.keys().copied().collect();
    cap.welded = vertices.into_iter().map(|v| (v, stands_for(&cap.welded, v))).collect();
    let welded = &cap.welded;
    cap.triangles.iter_mut().flatten().for_each(|v| *v = welded.get(v).copied().unwrap_or(*v));
    cap.triangles.retain(|[a, b, c]| a != b && b != c && c != a);
}

/// The vertex at the end of the chain of welds.
fn stands_for(welded: &FxHashMap<u32, u32>, mut v: u32) -> u32 {
    while let Some(&next) = welded.get(&v) {
        v = next;
    }
    v
}

/// Outline edges by the shell that they come from, in the order of the shells.
pub(super) fn by_shell(shells: &Shells, edges: &[OutlineEdge]) -> Vec<(u32, Vec<OutlineEdge>)> {
    let mut by_shell: FxHashMap<u32, Vec<OutlineEdge>> = FxHashMap::default();
    for edge in edges {
        let shell = shells.of_triangle.get(edge.face as usize).copied().unwrap_or(0);
        by_shell.entry(shell).or_default().push(*edge);
    }
    let mut by_shell: Vec<(u32, Vec<OutlineEdge>)> = by_shell.into_iter().collect();
    by_shell.sort_unstable_by_key(|(shell, _)| *shell);
    by_shell
}

/// How near an edge may pass a vertex before it is led through it, as a share of the distance within which vertices
/// count as lying on the plane: 2⁻¹⁶, which leaves 2⁻³⁸ of the largest coordinate. That is thousands of times what
/// rounding moves a crossing point by, and a millionth of what a printer resolves.
const SNAP_SHARE: f64 = 1.0 / (1u64 << 16) as f64;

/// Outline edges by shell; inward outlines (cavities) together with the smallest outward one around them.
fn groups(shells: &Shells, edges: &[OutlineEdge], flat: &impl Fn(u32) -> [f64; 2]) -> Vec<Vec<OutlineEdge>> {
    let (mut outward, inward): (Vec<_>, Vec<_>) = by_shell(shells, edges)
        .into_iter()
        .map(|(_, edges)| (signed_area(&edges, flat), edges))
        .partition(|(area, _)| *area >= 0.0);
    outward.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut alone = Vec::new();
    let around: Vec<Vec<OutlineEdge>> = outward.iter().map(|(_, edges)| edges.clone()).collect();
    let mut groups = around.clone();
    for (_, cavity) in inward {
        let spot = cavity.first().map(|edge| flat(edge.from)).unwrap_or_default();
        match around.iter().position(|edges| winding(edges, spot, flat) != 0) {
            Some(i) => groups[i].extend(cavity),
            None => alone.push(cavity),
        }
    }
    groups.extend(alone);
    groups
}

pub(super) fn signed_area(edges: &[OutlineEdge], flat: &impl Fn(u32) -> [f64; 2]) -> f64 {
    let Some(o) = edges.first().map(|edge| flat(edge.from)) else { return 0.0 };
    edges
        .iter()
        .map(|e| {
            let (a, b) = (flat(e.from), flat(e.to));
            f64::from(e.count) * ((a[0] - o[0]) * (b[1] - o[1]) - (a[1] - o[1]) * (b[0] - o[0])) / 2.0
        })
        .sum()
}

/// How often `edges` go round `spot`, by the edges that cross the ray to its right.
pub(super) fn winding(edges: &[OutlineEdge], spot: [f64; 2], flat: &impl Fn(u32) -> [f64; 2]) -> i32 {
    let mut turns = 0;
    for edge in edges {
        let (a, b) = (flat(edge.from), flat(edge.to));
        let upwards = a[1] <= spot[1] && spot[1] < b[1];
        let downwards = b[1] <= spot[1] && spot[1] < a[1];
        let left = crate::predicates::orient_2d(a, b, spot);
        if upwards && left > 0.0 {
            turns += edge.count;
        } else if downwards && left < 0.0 {
            turns -= edge.count;
        }
    }
    turns
}

/// Drops the coordinate in which the plane is seen most squarely. Nothing is computed, so places keep their exact
/// relations; the other two are exchanged where that keeps left and right as seen from above the plane.
pub(super) struct Projection {
    axes: [usize; 2],
}

impl Projection {
    pub fn along(plane: &Plane) -> Projection {
        let normal = plane.normal();
        let dropped = normal.iamax();
        let axes = [(dropped + 1) % 3, (dropped + 2) % 3];
        Projection { axes: if normal[dropped] > 0.0 { axes } else { [axes[1], axes[0]] } }
    }

    pub fn flat(&self, p: &Point) -> [f64; 2] {
        self.axes.map(|k| p[k])
    }
}

/// Fills what the edges go round. `None` where edges meet elsewhere than at shared vertices.
fn fill(edges: &[OutlineEdge], flat: impl Fn(u32) -> [f64; 2]) -> Option<Filled> {
    let mut number: FxHashMap<u32, u32> = FxHashMap::with_capacity_and_hasher(edges.len(), Default::default());
    let (mut places, mut vertices) = (Vec::with_capacity(edges.len()), Vec::with_capacity(edges.len()));
    let mut index = |v: u32| {
        *number.entry(v).or_insert_with(|| {
            places.push(flat(v));
            vertices.push(v);
            (vertices.len() - 1) as u32
        })
    };
    let bounds: Vec<Bound> =
        edges.iter().map(|e| Bound { from: index(e.from), to: index(e.to), count: e.count }).collect();
    let mut filled = constrained::fill(&places, &bounds)?;
    filled.triangles.iter_mut().flatten().for_each(|v| *v = vertices[*v as usize]);
    Some(filled)
}

/// Filled once, everywhere the same way round: no shell within another's solid, none inside out in between.
fn is_simple(filled: &Filled) -> bool {
    filled.highest - filled.lowest <= 1
}

fn area(triangles: &[[u32; 3]], place: impl Fn(u32) -> Point, plane: &Plane) -> f64 {
    let doubled = triangles.iter().map(|t| {
        let [a, b, c] = t.map(&place);
        (b - a).cross(&(c - a)).dot(&plane.normal())
    });
    doubled.sum::<f64>() / 2.0
}
