//! The unconnected bodies that a solid consists of.

use rayon::prelude::*;

use crate::{Bounds, Cancelled, CutOutcome, EdgeTable, Mesh, Plane, Point, Progress, Shells, Side, Solid, Vector, cut};

/// Parts `solid` into its bodies, in the order of their first faces.
///
/// A body is a shell together with what begins inside it: its cavities (inward shells directly inside it) and shells
/// that begin in its material, which could not be printed apart. Only closed shells have an inside. Shells that merely
/// cross without one having a vertex of [`PROBES`] inside the other count as separate.
pub fn bodies(solid: Solid) -> Vec<Solid> {
    // Nobody else holds this handle, so that it is never cancelled.
    bodies_with(solid, &Progress::new()).unwrap_or_default()
}

/// Like [`bodies`], for models of so many shells that it may take long.
pub fn bodies_with(solid: Solid, progress: &Progress) -> Result<Vec<Solid>, Cancelled> {
    let (shells, body_of_shell) = told_apart(&solid.mesh, progress)?;
    let count = count_in(&body_of_shell);
    if count <= 1 {
        return Ok(vec![solid]);
    }
    Ok(gather(&solid, &shells, &body_of_shell, count))
}

/// The faces of the shells of each of `count` groups as solids of their own.
pub(crate) fn gather(solid: &Solid, shells: &Shells, group_of_shell: &[u32], count: usize) -> Vec<Solid> {
    let mut bodies: Vec<Solid> = (0..count)
        .map(|_| Solid { mesh: Mesh::default(), origins: Vec::new(), resolution: solid.resolution })
        .collect();
    // Vertices are handed out body by body: `number` holds the new number for the body in `owner`.
    let mut owner = vec![u32::MAX; solid.mesh.vertices.len()];
    let mut number = vec![0u32; solid.mesh.vertices.len()];
    for (t, (triangle, origin)) in solid.mesh.triangles.iter().zip(&solid.origins).enumerate() {
        let body = group_of_shell[shells.of_triangle[t] as usize];
        let target = &mut bodies[body as usize];
        let renumbered = triangle.map(|v| {
            let v = v as usize;
            if owner[v] != body {
                owner[v] = body;
                number[v] = target.mesh.vertices.len() as u32;
                target.mesh.vertices.push(solid.mesh.vertices[v]);
            }
            number[v]
        });
        target.mesh.triangles.push(renumbered);
        target.origins.push(*origin);
    }
    bodies
}

/// For each shell that is asked for, the one that it belongs to, if any: see [`bodies`].
pub(crate) fn homes(mesh: &Mesh, shells: &Shells, edges: &EdgeTable, of: &[bool]) -> Vec<Option<usize>> {
    if !of.contains(&true) {
        return vec![None; of.len()];
    }
    let nest = Nest::of(mesh, shells, edges);
    (0..of.len()).map(|i| if of[i] { nest.home(i) } else { None }).collect()
}

/// How many bodies [`bodies`] would find, without making them; 0 for a solid without faces.
pub fn count_bodies(solid: &Solid, progress: &Progress) -> Result<usize, Cancelled> {
    told_apart(&solid.mesh, progress).map(|(_, body_of_shell)| count_in(&body_of_shell))
}

/// How many bodies a cut of `solid` by `plane` would leave below and above: for when the hand that moves a plane rests.
/// Makes the cut and counts, so that what is told is what comes. 4 ms for the 80 000 faces of the demo helm
/// (`examples/wall_speed.rs`).
pub fn count_bodies_of_sides(solid: &Solid, plane: &Plane, progress: &Progress) -> Result<[usize; 2], Cancelled> {
    match cut(solid, plane, 0, progress)? {
        // Only finite planes leave something unreached.
        CutOutcome::Missed(Side::Below) | CutOutcome::Unreached { .. } => Ok([count_bodies(solid, progress)?, 0]),
        CutOutcome::Missed(Side::Above) => Ok([0, count_bodies(solid, progress)?]),
        CutOutcome::Parted(parted) => {
            let count = |side| count_bodies(side, progress);
            let (below, above) = rayon::join(|| count(&parted.below), || count(&parted.above));
            Ok([below?, above?])
        }
    }
}

/// The shells of a mesh, and the body that each belongs to.
fn told_apart(mesh: &Mesh, progress: &Progress) -> Result<(Shells, Vec<u32>), Cancelled> {
    progress.check()?;
    let edges = EdgeTable::new(mesh);
    let shells = Shells::of_edges(&edges);
    let body_of_shell = match shells.count {
        0 | 1 => vec![0; shells.count as usize],
        _ => Nest::of(mesh, &shells, &edges).bodies(progress)?,
    };
    Ok((shells, body_of_shell))
}

fn count_in(body_of_shell: &[u32]) -> usize {
    body_of_shell.iter().max().map_or(0, |last| *last as usize + 1)
}

/// Vertices of a shell that are tried for lying inside another one, spread evenly over its faces. More would find more
/// of the shells that only just cross; eight decide all nested and all deeply crossing ones.
pub const PROBES: usize = 8;

/// All shells, and those among them that have an inside in an order that finds the ones around a place quickly.
struct Nest<'a> {
    mesh: &'a Mesh,
    shells: Vec<Shell>,
    /// Closed shells by rising left end of their boxes, each with the farthest right end up to there.
    closed: Vec<(usize, f64)>,
}

impl<'a> Nest<'a> {
    fn of(mesh: &'a Mesh, shells: &Shells, edges: &EdgeTable) -> Nest<'a> {
        let mut faces: Vec<Vec<u32>> = vec![Vec::new(); shells.count as usize];
        for (t, &shell) in shells.of_triangle.iter().enumerate() {
            faces[shell as usize].push(t as u32);
        }
        let mut is_closed = vec![true; faces.len()];
        for edge in edges.edges().filter(|edge| edge.balance() != 0) {
            for (face, _) in edge.faces() {
                is_closed[shells.of_triangle[face as usize] as usize] = false;
            }
        }
        let shells: Vec<Shell> = faces.into_iter().filter_map(|faces| Shell::of(mesh, faces)).collect();
        let mut order: Vec<usize> = (0..shells.len()).filter(|i| is_closed[*i]).collect();
        order.sort_by(|a, b| shells[*a].bounds.min.x.total_cmp(&shells[*b].bounds.min.x));
        let mut farthest = f64::NEG_INFINITY;
        let with_farthest = |i: usize| {
            farthest = farthest.max(shells[i].bounds.max.x);
            (i, farthest)
        };
        let closed = order.into_iter().map(with_farthest).collect();
        Nest { mesh, shells, closed }
    }

    /// The body of each shell, numbered in the order of the shells.
    fn bodies(&self, progress: &Progress) -> Result<Vec<u32>, Cancelled> {
        let homes: Vec<Option<usize>> = (0..self.shells.len())
            .into_par_iter()
            .map(|i| progress.check().map(|()| self.home(i)))
            .collect::<Result<_, Cancelled>>()?;
        let mut parent: Vec<usize> = (0..self.shells.len()).collect();
        let root = |parent: &[usize], mut i: usize| {
            while parent[i] != i {
                i = parent[i];
            }
            i
        };
        for (i, home) in homes.into_iter().enumerate() {
            if let Some(home) = home {
                let (a, b) = (root(&parent, i), root(&parent, home));
                parent[a.max(b)] = a.min(b);
            }
        }
        let mut body = vec![0u32; self.shells.len()];
        let mut count = 0;
        for i in 0..self.shells.len() {
            let r = root(&parent, i);
            body[i] = if r == i {
                count += 1;
                count - 1
            } else {
                body[r]
            };
        }
        Ok(body)
    }

    /// Closed shells other than `i` whose boxes touch `bounds`.
    fn touching(&self, i: usize, bounds: Bounds) -> impl Iterator<Item = (usize, &Shell)> + '_ {
        let begun = self.closed.partition_point(|(j, _)| self.shells[*j].bounds.min.x <= bounds.max.x);
        self.closed[..begun]
            .iter()
            .rev()
            .take_while(move |(_, farthest)| *farthest >= bounds.min.x)
            .map(|(j, _)| (*j, &self.shells[*j]))
            .filter(move |(j, shell)| *j != i && touches(&shell.bounds, &bounds))
    }

    /// The shell that shell `i` belongs to: for an inward one the smallest outward one around it, for any other one whose
    /// material it begins in.
    fn home(&self, i: usize) -> Option<usize> {
        let inner = &self.shells[i];
        let around = |outer: &Shell| inner.probes(self.mesh).any(|p| winding(self.mesh, &outer.faces, p) > 0.5);
        let mut candidates: Vec<(usize, &Shell)> =
            self.touching(i, inner.bounds).filter(|(_, outer)| outer.volume_mm3 > 0.0).collect();
        candidates.sort_by(|a, b| a.1.volume_mm3.total_cmp(&b.1.volume_mm3).then(a.0.cmp(&b.0)));
        if inner.volume_mm3 < 0.0 {
            return candidates.into_iter().find(|(_, outer)| around(outer)).map(|(j, _)| j);
        }
        // Within the material means: inside an outward shell and not in one of its cavities.
        let in_material = |p: Point| {
            let here = self.touching(i, Bounds { min: p, max: p });
            here.map(|(_, other)| winding(self.mesh, &other.faces, p)).sum::<f64>() > 0.5
        };
        let begins_in = |outer: &Shell| {
            inner.probes(self.mesh).any(|p| winding(self.mesh, &outer.faces, p) > 0.5 && in_material(p))
        };
        candidates.into_iter().find(|(_, outer)| begins_in(outer)).map(|(j, _)| j)
    }
}

struct Shell {
    faces: Vec<u32>,
    bounds: Bounds,
    volume_mm3: f64,
}

impl Shell {
    fn of(mesh: &Mesh, faces: Vec<u32>) -> Option<Shell> {
        let corners = || faces.iter().flat_map(|&t| mesh.corners(t as usize));
        let bounds = Bounds::of(corners())?;
        let o = bounds.centre();
        let volume_mm3 = faces
            .iter()
            .map(|&t| {
                let [a, b, c] = mesh.corners(t as usize).map(|p| p - o);
                a.dot(&b.cross(&c)) / 6.0
            })
            .sum();
        Some(Shell { faces, bounds, volume_mm3 })
    }

    fn probes<'a>(&'a self, mesh: &'a Mesh) -> impl Iterator<Item = Point> + 'a {
        let step = self.faces.len().div_ceil(PROBES);
        self.faces.iter().step_by(step).map(|&t| mesh.corners(t as usize)[0])
    }
}

fn touches(a: &Bounds, b: &Bounds) -> bool {
    (0..3).all(|k| a.min[k] <= b.max[k] && b.min[k] <= a.max[k])
}

/// How often the faces go round `p`: the sum of their solid angles over 4π (Van Oosterom and Strackee, "The solid angle
/// of a plane triangle", 1983). 1 inside a closed outward shell, 0 outside, in between on an open one.
fn winding(mesh: &Mesh, faces: &[u32], p: Point) -> f64 {
    let total: f64 = faces
        .iter()
        .map(|&t| {
            let [a, b, c] = mesh.corners(t as usize).map(|q| q - p);
            let (la, lb, lc) = (a.norm(), b.norm(), c.norm());
            let volume: f64 = a.dot(&Vector::cross(&b, &c));
            let below = la * lb * lc + a.dot(&b) * lc + b.dot(&c) * la + c.dot(&a) * lb;
            2.0 * volume.atan2(below)
        })
        .sum();
    total / (4.0 * std::f64::consts::PI)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::solids;

    fn sides(mesh: Mesh, normal: Vector, offset_mm: f64) -> [usize; 2] {
        let (solid, plane) = (Solid::from_stock(mesh), Plane::new(normal, offset_mm).unwrap());
        let counted = count_bodies_of_sides(&solid, &plane, &Progress::new()).unwrap();
        // The law: what a cut and its bodies give.
        let made = |side: Solid| if side.mesh.triangles.is_empty() { 0 } else { bodies(side).len() };
        let wanted = match cut(&solid, &plane, 0, &Progress::new()).unwrap() {
            CutOutcome::Missed(Side::Below) | CutOutcome::Unreached { .. } => [made(solid), 0],
            CutOutcome::Missed(Side::Above) => [0, made(solid)],
            CutOutcome::Parted(parted) => [made(parted.below), made(parted.above)],
        };
        assert_eq!(counted, wanted);
        counted
    }

    #[test]
    fn an_arch_falls_into_its_bow_and_its_two_legs() {
        let ring = solids::torus(Point::origin(), 20.0, 5.0, 60, 30);
        assert_eq!(sides(ring.clone(), Vector::x(), 0.1), [1, 1]);
        assert_eq!(sides(ring.clone(), Vector::x(), 40.0), [1, 0]);
        assert_eq!(sides(ring.clone(), Vector::x(), -40.0), [0, 1]);
        let half = Plane::new(Vector::x(), 0.1).unwrap();
        let CutOutcome::Parted(halves) = cut(&Solid::from_stock(ring), &half, 0, &Progress::new()).unwrap() else {
            panic!("the plane goes through the ring")
        };
        assert_eq!(sides(halves.below.mesh, Vector::x(), -10.0), [1, 2]);
    }

    #[test]
    fn a_cavity_is_no_body_whether_the_plane_opens_it_or_not() {
        let ball = |radius_mm| solids::sphere(Point::origin(), radius_mm, 12);
        let hollow = solids::hollow(&ball(10.0), &ball(6.0));
        assert_eq!(sides(hollow.clone(), Vector::z(), 1.0), [1, 1]);
        assert_eq!(sides(hollow.clone(), Vector::z(), 8.0), [1, 1]);
        assert_eq!(sides(solids::joined(&[&hollow, &ball(3.0)]), Vector::z(), 8.0), [2, 1]);
        assert_eq!(sides(Mesh::default(), Vector::z(), 8.0), [0, 0]);
    }

    #[test]
    fn counting_can_be_cancelled() {
        let solid = Solid::from_stock(solids::sphere(Point::origin(), 5.0, 3));
        let progress = Progress::new();
        progress.cancel();
        assert!(count_bodies(&solid, &progress).is_err());
        assert!(count_bodies_of_sides(&solid, &Plane::new(Vector::z(), 0.0).unwrap(), &progress).is_err());
    }
}
