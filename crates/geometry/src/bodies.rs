//! The unconnected bodies that a solid consists of.

use crate::{Bounds, Mesh, Point, Shells, Solid, Vector};

/// Parts `solid` into its bodies, in the order of their first faces.
///
/// A body is a shell together with its cavities (inward shells directly inside it) and with shells that begin inside
/// its material, which could not be printed apart. Shells that merely cross without one having a vertex of
/// [`PROBES`] inside the other count as separate.
pub fn bodies(solid: Solid) -> Vec<Solid> {
    let shells = Shells::of(&solid.mesh);
    if shells.count <= 1 {
        return vec![solid];
    }
    let body_of_shell = join_nested(&solid.mesh, &shells);
    let count = body_of_shell.iter().max().map_or(0, |last| *last as usize + 1);
    if count <= 1 {
        return vec![solid];
    }
    let mut bodies: Vec<Solid> = (0..count)
        .map(|_| Solid { mesh: Mesh::default(), origins: Vec::new(), resolution: solid.resolution })
        .collect();
    // Vertices are handed out body by body: `number` holds the new number for the body in `owner`.
    let mut owner = vec![u32::MAX; solid.mesh.vertices.len()];
    let mut number = vec![0u32; solid.mesh.vertices.len()];
    for (t, (triangle, origin)) in solid.mesh.triangles.iter().zip(&solid.origins).enumerate() {
        let body = body_of_shell[shells.of_triangle[t] as usize];
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

/// Vertices of a shell that are tried for lying inside another one, spread evenly over its faces. More would find more
/// of the shells that only just cross; eight decide all nested and all deeply crossing ones.
pub const PROBES: usize = 8;

/// The body of each shell, numbered in the order of the shells.
fn join_nested(mesh: &Mesh, shells: &Shells) -> Vec<u32> {
    let mut faces: Vec<Vec<u32>> = vec![Vec::new(); shells.count as usize];
    for (t, &shell) in shells.of_triangle.iter().enumerate() {
        faces[shell as usize].push(t as u32);
    }
    let shells: Vec<Shell> = faces.into_iter().filter_map(|faces| Shell::of(mesh, faces)).collect();
    let mut parent: Vec<usize> = (0..shells.len()).collect();
    let root = |parent: &[usize], mut i: usize| {
        while parent[i] != i {
            i = parent[i];
        }
        i
    };
    for (i, inner) in shells.iter().enumerate() {
        if let Some(j) = home(mesh, &shells, i, inner) {
            let (a, b) = (root(&parent, i), root(&parent, j));
            parent[a.max(b)] = a.min(b);
        }
    }
    let mut body = vec![0u32; shells.len()];
    let mut count = 0;
    for i in 0..shells.len() {
        let r = root(&parent, i);
        body[i] = if r == i {
            count += 1;
            count - 1
        } else {
            body[r]
        };
    }
    body
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

/// The shell that shell `i` belongs to: for an inward one the smallest outward one around it, for an outward one any
/// whose material it begins in.
fn home(mesh: &Mesh, shells: &[Shell], i: usize, inner: &Shell) -> Option<usize> {
    let candidates = shells
        .iter()
        .enumerate()
        .filter(|(j, other)| *j != i && other.volume_mm3 > 0.0 && touches(&other.bounds, &inner.bounds));
    if inner.volume_mm3 < 0.0 {
        let around = candidates.filter(|(_, outer)| inner.probes(mesh).any(|p| winding(mesh, &outer.faces, p) > 0.5));
        return around.min_by(|a, b| a.1.volume_mm3.total_cmp(&b.1.volume_mm3)).map(|(j, _)| j);
    }
    // Within the material means: inside an outward shell and not in one of its cavities.
    let in_material = |p: Point| {
        let all: f64 = shells
            .iter()
            .enumerate()
            .filter(|(j, other)| *j != i && touches(&other.bounds, &Bounds { min: p, max: p }))
            .map(|(_, other)| winding(mesh, &other.faces, p))
            .sum();
        all > 0.5
    };
    let mut candidates = candidates;
    candidates
        .find(|(_, outer)| inner.probes(mesh).any(|p| winding(mesh, &outer.faces, p) > 0.5 && in_material(p)))
        .map(|(j, _)| j)
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
