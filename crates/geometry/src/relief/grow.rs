//! The surface of a solid, moved outwards.

use rustc_hash::FxHashMap;

use super::mitre::mitre;
use crate::{Cancelled, Mesh, Point, Progress, Vector};

/// The surface of a closed `solid` (every edge used by two faces, once each way) with every face moved outwards by `by_mm`,
/// closed again. Where it folds over itself in hollows it crosses itself: what it goes round at least once is what counts.
///
/// A vertex moves to the corner of the [`mitre`] of the faces around it, so that every moved face lies `by_mm` off the plane
/// that it was in, or more. Where a mitre would be longer than [`MOST_MITRE`] times that, the faces are taken in groups, each
/// with a vertex of its own, and strips along edges and a patch at the vertex join them: outward edges and tips are cut off
/// square to the middle between their faces, at `by_mm` or more from them too.
///
/// (A convolution of the surface with a ball of few faces: Guibas, Ramshaw and Stolfi, "A kinetic framework for computational
/// geometry", 1983.)
pub(super) fn grown(solid: &Mesh, by_mm: f64, progress: &Progress) -> Result<Mesh, Cancelled> {
    let normals: Vec<Option<Vector>> = (0..solid.triangles.len()).map(|t| normal(&solid.corners(t), by_mm)).collect();
    progress.check()?;
    let fans = Fans::of(solid);
    progress.check()?;
    // The vertex that each corner of each face goes to.
    let mut corners = vec![[0_u32; 3]; solid.triangles.len()];
    let mut made = Mesh::default();
    for fan in &fans.fans {
        let groups = groups(solid, fan, &normals);
        let first = made.vertices.len() as u32;
        for (group, way) in (first..).zip(&groups) {
            made.vertices.push(solid.vertices[fan.vertex as usize] + way.way * by_mm);
            for &i in &way.members {
                let (face, k) = fan.corners[i];
                corners[face as usize][k] = group;
            }
        }
        // A patch where three or more groups meet; two meet along strips only.
        for k in 1..(groups.len() as u32).saturating_sub(1) {
            made.triangles.push([first, first + k, first + k + 1]);
        }
    }
    progress.check()?;
    made.triangles.extend(&corners);
    for (t, face) in solid.triangles.iter().zip(&corners) {
        for k in 0..3 {
            let (from, to) = (t[k], t[(k + 1) % 3]);
            let Some(&(other, j)) = fans.edges.get(&(to, from)).filter(|_| from < to) else { continue };
            let other = corners[other as usize];
            let [from_here, to_here, to_there, from_there] = [face[k], face[(k + 1) % 3], other[j], other[(j + 1) % 3]];
            for strip in [[from_here, from_there, to_there], [from_here, to_there, to_here]] {
                if strip[0] != strip[1] && strip[1] != strip[2] && strip[2] != strip[0] {
                    made.triangles.push(strip);
                }
            }
        }
    }
    Ok(made)
}

/// A mitre is at most this many times as long as the faces move: that of the corner of a cube is 1.73. What it takes away too
/// much is out of the way of both parts; to be nearer to a ball would cost many small faces along every edge. Our own choice,
/// no source.
pub(super) const MOST_MITRE: f64 = 2.0;
/// Faces that are nowhere higher than this share of the distance that they move have no plane of their own: the normal of a
/// sliver is that of its rounding. It moves with its neighbours, and its places are that near to theirs. Our own choice, no
/// source.
const SLIVER: f64 = 1e-4;

fn normal([a, b, c]: &[Point; 3], by_mm: f64) -> Option<Vector> {
    let area = (b - a).cross(&(c - a));
    let longest = (b - a).norm().max((c - b).norm()).max((a - c).norm());
    (area.norm() > longest * by_mm * SLIVER).then(|| area.normalize())
}

/// The faces around a vertex, one after the other as they are seen from outside, leftwards round.
struct Fan {
    vertex: u32,
    /// Each face, and which of its corners this is.
    corners: Vec<(u32, usize)>,
}

struct Fans {
    fans: Vec<Fan>,
    /// The face that uses each edge from its first to its second vertex, and the corner where it begins.
    edges: FxHashMap<(u32, u32), (u32, usize)>,
}

impl Fans {
    fn of(solid: &Mesh) -> Fans {
        let mut edges = FxHashMap::default();
        for (face, t) in (0..).zip(&solid.triangles) {
            for k in 0..3 {
                edges.insert((t[k], t[(k + 1) % 3]), (face, k));
            }
        }
        let mut seen = vec![[false; 3]; solid.triangles.len()];
        let mut fans = Vec::new();
        for (face, t) in (0..).zip(&solid.triangles) {
            for (k, &vertex) in t.iter().enumerate() {
                let mut corners = Vec::new();
                let mut next = Some((face, k));
                while let Some((face, k)) = next.filter(|(face, k)| !seen[*face as usize][*k]) {
                    seen[face as usize][k] = true;
                    corners.push((face, k));
                    // Over the edge that ends here.
                    let before = solid.triangles[face as usize][(k + 2) % 3];
                    next = edges.get(&(vertex, before)).copied();
                }
                if !corners.is_empty() {
                    fans.push(Fan { vertex, corners });
                }
            }
        }
        Fans { fans, edges }
    }
}

/// Faces that turn by less than this, radians, are one plane: rounding.
const FLAT: f64 = 1e-9;

/// Faces of a fan that share a vertex.
struct Group {
    /// By their place in the fan, one after the other.
    members: Vec<usize>,
    way: Vector,
}

fn groups(solid: &Mesh, fan: &Fan, normals: &[Option<Vector>]) -> Vec<Group> {
    let of = |i: usize| normals[fan.corners[i].0 as usize];
    let count = fan.corners.len();
    let all: Vec<Vector> = (0..count).filter_map(of).collect();
    if all.is_empty() {
        return vec![Group { members: (0..count).collect(), way: Vector::zeros() }];
    }
    if let Some(way) = mitre(&all).filter(|way| way.norm() <= MOST_MITRE) {
        return vec![Group { members: (0..count).collect(), way }];
    }
    // Round the vertex from the sharpest edge on, each group as long as its mitre stays short.
    let turn = |i: usize| of(i).zip(of((i + 1) % count)).map_or(1.0, |(a, b)| a.dot(&b));
    let sharpest = (0..count).min_by(|a, b| turn(*a).total_cmp(&turn(*b))).unwrap_or(0);
    let mut groups: Vec<(Vec<usize>, Vec<Vector>)> = Vec::new();
    for i in (1..=count).map(|step| (sharpest + step) % count) {
        if let Some((members, known)) = groups.last_mut() {
            let longer: Vec<Vector> = known.iter().copied().chain(of(i)).collect();
            if longer.is_empty() || mitre(&longer).is_some_and(|way| way.norm() <= MOST_MITRE) {
                members.push(i);
                *known = longer;
                continue;
            }
        }
        groups.push((vec![i], of(i).into_iter().collect()));
    }
    // Slivers at the beginning have nothing to go by; they go with what comes before them.
    if groups.len() > 1 && groups[0].1.is_empty() {
        let (first, _) = groups.remove(0);
        if let Some((last, _)) = groups.last_mut() {
            last.extend(first);
        }
    }
    // What cuts off the edges between the groups, and the tip.
    let outward = |i: usize| outward_middle(solid, fan, i, of(i)?, of((i + 1) % count)?);
    let between: Vec<Option<Vector>> =
        groups.iter().map(|(members, _)| members.last().and_then(|&last| outward(last))).collect();
    let tip = (groups.len() > 2).then(|| all.iter().sum::<Vector>().normalize());
    let tip = tip.filter(|tip| all.iter().all(|n| n.dot(tip) > 0.0));
    let count = groups.len();
    let way = |(at, (members, own)): (usize, (Vec<usize>, Vec<Vector>))| {
        let edges = [between[(at + count - 1) % count], between[at], tip];
        let with_edges: Vec<Vector> = own.iter().copied().chain(edges.into_iter().flatten()).collect();
        let way = mitre(&with_edges).or_else(|| mitre(&own)).unwrap_or_else(|| own.iter().sum());
        Group { members, way }
    };
    groups.into_iter().enumerate().map(way).collect()
}

/// The direction in the middle between two faces beside each other in the fan, out over the edge that they share; `None` where
/// the edge is a valley.
fn outward_middle(solid: &Mesh, fan: &Fan, i: usize, here: Vector, next: Vector) -> Option<Vector> {
    let (face, k) = fan.corners[i];
    // The edge to the next face is the one that ends at the vertex, seen from this face.
    let before = solid.triangles[face as usize][(k + 2) % 3];
    let along = (solid.vertices[fan.vertex as usize] - solid.vertices[before as usize]).try_normalize(0.0)?;
    // In the planes of the faces, away from them.
    let away = along.cross(&here) - along.cross(&next);
    let middle = (here + next + away).try_normalize(0.0)?;
    // Those of a blade without thickness look away from each other, and its edge square to both.
    (away.dot(&(here + next)) >= 0.0 && away.norm() > FLAT).then_some(middle)
}
