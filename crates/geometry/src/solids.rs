//! Solids with known measures, at any resolution: for tests, benchmarks and examples.
//!
//! All are closed, turned outwards, and share their vertices (no vertex is stored twice).

use crate::{Mesh, Point, Vector};

/// A box with two faces per side: 8 vertices, 12 faces. `min` must be below `max` on every axis for it to be turned
/// outwards.
///
/// ```
/// use seamwright_geometry::{Point, solids};
/// let brick = solids::cuboid(Point::new(0.0, 0.0, 0.0), Point::new(30.0, 20.0, 10.0));
/// assert_eq!(brick.volume_mm3(), 6000.0);
/// ```
pub fn cuboid(min: Point, max: Point) -> Mesh {
    grid_box(min, max, [1, 1, 1])
}

/// A box whose sides carry a regular grid of `cells` squares along x, y and z, two faces each:
/// 4·(xy + yz + zx) faces. Counts of 0 are taken as 1.
pub fn grid_box(min: Point, max: Point, cells: [u32; 3]) -> Mesh {
    let lattice = SurfaceLattice { cells: cells.map(|n| n.max(1)) };
    let [nx, ny, nz] = lattice.cells;
    let step = Vector::new(1.0 / f64::from(nx), 1.0 / f64::from(ny), 1.0 / f64::from(nz));
    // Interpolated from both ends, so that the last lattice plane is exactly at `max`.
    let along = |axis: usize, i: u32| match i {
        i if i == lattice.cells[axis] => max[axis],
        i => min[axis] + (max[axis] - min[axis]) * (f64::from(i) * step[axis]),
    };
    let vertices = lattice.points().map(|[i, j, k]| Point::new(along(0, i), along(1, j), along(2, k))).collect();

    let mut triangles = Vec::new();
    // `u × v` points outwards on the high side of axis `w`.
    for (u, v, w) in [(0, 1, 2), (1, 2, 0), (2, 0, 1)] {
        for high in [false, true] {
            for b in 0..lattice.cells[v] {
                for a in 0..lattice.cells[u] {
                    let corner = |da: u32, db: u32| {
                        let mut p = [0; 3];
                        (p[u], p[v], p[w]) = (a + da, b + db, if high { lattice.cells[w] } else { 0 });
                        lattice.index(p)
                    };
                    let [p, q, r, s] = [corner(0, 0), corner(1, 0), corner(1, 1), corner(0, 1)];
                    triangles.extend(if high { [[p, q, r], [p, r, s]] } else { [[p, r, q], [p, s, r]] });
                }
            }
        }
    }
    Mesh { vertices, triangles }
}

/// A sphere: an icosahedron with every edge split into `divisions` equal parts and all vertices moved onto the
/// sphere. 20·divisions² faces, 10·divisions² + 2 vertices; 0 is taken as 1. Volume and area approach 4/3·πr³ and
/// 4πr² from below, with an error that falls with divisions².
pub fn sphere(centre: Point, radius_mm: f64, divisions: u32) -> Mesh {
    let n = divisions.max(1);
    let (corners, faces) = icosahedron();
    let mut directions: Vec<Vector> = corners.to_vec();
    // Where the inner points of the edge from lower to higher corner begin.
    let mut edge_start = [[u32::MAX; 12]; 12];
    let mut triangles = Vec::with_capacity(faces.len() * (n as usize).pow(2));

    for face in faces {
        let mut edge_point = |directions: &mut Vec<Vector>, from: usize, to: usize, step: u32| -> u32 {
            let (low, high) = (from.min(to), from.max(to));
            if edge_start[low][high] == u32::MAX {
                edge_start[low][high] = directions.len() as u32;
                directions.extend((1..n).map(|i| mix(&[(corners[low], n - i), (corners[high], i)])));
            }
            edge_start[low][high] + if from == low { step } else { n - step } - 1
        };
        // Rows run from corner 0 towards the edge between corners 1 and 2; row `r` has `r + 1` points.
        let [a, b, c] = face;
        let mut rows: Vec<Vec<u32>> = Vec::with_capacity(n as usize + 1);
        for r in 0..=n {
            let row = (0..=r).map(|s| match (r, s) {
                (0, _) => a as u32,
                (r, 0) if r == n => b as u32,
                (r, s) if r == n && s == n => c as u32,
                (r, 0) => edge_point(&mut directions, a, b, r),
                (r, s) if s == r => edge_point(&mut directions, a, c, r),
                (r, s) if r == n => edge_point(&mut directions, b, c, s),
                (r, s) => {
                    directions.push(mix(&[(corners[a], n - r), (corners[b], r - s), (corners[c], s)]));
                    directions.len() as u32 - 1
                }
            });
            rows.push(row.collect());
        }
        for (upper, lower) in rows.iter().zip(&rows[1..]) {
            for s in 0..upper.len() {
                triangles.push([upper[s], lower[s], lower[s + 1]]);
                if s + 1 < upper.len() {
                    triangles.push([upper[s], lower[s + 1], upper[s + 1]]);
                }
            }
        }
    }
    let vertices = directions.iter().map(|d| centre + d.normalize() * radius_mm).collect();
    Mesh { vertices, triangles }
}

/// A torus about the z axis through `centre`: a tube of radius `tube_mm` whose middle line is a circle of radius
/// `ring_mm`. `around` steps along the ring, `across` steps around the tube (at least 3 each, fewer are taken as 3);
/// 2·around·across faces. Volume approaches 2π²·ring·tube² from below; a hole needs `ring_mm > tube_mm`.
pub fn torus(centre: Point, ring_mm: f64, tube_mm: f64, around: u32, across: u32) -> Mesh {
    let (around, across) = (around.max(3), across.max(3));
    let turn = |i: u32, n: u32| (std::f64::consts::TAU * f64::from(i) / f64::from(n)).sin_cos();
    let mut vertices = Vec::with_capacity((around * across) as usize);
    let mut triangles = Vec::with_capacity((2 * around * across) as usize);
    for i in 0..around {
        let (ring_sin, ring_cos) = turn(i, around);
        for j in 0..across {
            let (tube_sin, tube_cos) = turn(j, across);
            let reach = ring_mm + tube_mm * tube_cos;
            vertices.push(centre + Vector::new(reach * ring_cos, reach * ring_sin, tube_mm * tube_sin));
            let index = |i: u32, j: u32| (i % around) * across + j % across;
            let [p, q, r, s] = [index(i, j), index(i + 1, j), index(i + 1, j + 1), index(i, j + 1)];
            triangles.extend([[p, q, r], [p, r, s]]);
        }
    }
    Mesh { vertices, triangles }
}

/// `outer` with the room of `inner` taken out: both shells, the inner one turned inwards. `inner` must lie wholly
/// inside; this is not checked.
pub fn hollow(outer: &Mesh, inner: &Mesh) -> Mesh {
    joined(&[outer, &inverted(inner)])
}

/// All shells of all meshes in one, in that order. Vertices are not merged between them.
pub fn joined(meshes: &[&Mesh]) -> Mesh {
    let mut all = Mesh::default();
    for mesh in meshes {
        let first = all.vertices.len() as u32;
        all.vertices.extend(&mesh.vertices);
        all.triangles.extend(mesh.triangles.iter().map(|t| t.map(|i| i + first)));
    }
    all
}

/// Every face turned the other way.
pub fn inverted(mesh: &Mesh) -> Mesh {
    Mesh { vertices: mesh.vertices.clone(), triangles: mesh.triangles.iter().map(|&[a, b, c]| [a, c, b]).collect() }
}

/// The points of an integer grid that lie on the surface of its box, numbered layer by layer in z: full bottom
/// layer, rings, full top layer.
struct SurfaceLattice {
    cells: [u32; 3],
}

impl SurfaceLattice {
    fn layer(&self) -> u32 {
        (self.cells[0] + 1) * (self.cells[1] + 1)
    }

    fn ring(&self) -> u32 {
        2 * (self.cells[0] + self.cells[1])
    }

    fn index(&self, [i, j, k]: [u32; 3]) -> u32 {
        let [nx, ny, nz] = self.cells;
        let in_layer = j * (nx + 1) + i;
        if k == 0 {
            return in_layer;
        }
        let before = self.layer() + (k - 1) * self.ring();
        if k == nz {
            return before + in_layer;
        }
        // Ring order: the whole row j = 0, then left and right end of each inner row, then the whole row j = ny.
        before
            + match j {
                0 => i,
                j if j == ny => nx + 1 + 2 * (ny - 1) + i,
                j => nx + 1 + 2 * (j - 1) + u32::from(i != 0),
            }
    }

    /// All points, in the order of their index.
    fn points(&self) -> impl Iterator<Item = [u32; 3]> + '_ {
        let [nx, ny, nz] = self.cells;
        (0..=nz).flat_map(move |k| {
            (0..=ny).flat_map(move |j| {
                let whole_row = k == 0 || k == nz || j == 0 || j == ny;
                (0..=nx).step_by(if whole_row { 1 } else { nx as usize }).map(move |i| [i, j, k])
            })
        })
    }
}

/// Corners (of unit length) and outward faces of a regular icosahedron.
fn icosahedron() -> ([Vector; 12], [[usize; 3]; 20]) {
    let golden = (1.0 + 5.0_f64.sqrt()) / 2.0;
    let corners = [
        [-1.0, golden, 0.0],
        [1.0, golden, 0.0],
        [-1.0, -golden, 0.0],
        [1.0, -golden, 0.0],
        [0.0, -1.0, golden],
        [0.0, 1.0, golden],
        [0.0, -1.0, -golden],
        [0.0, 1.0, -golden],
        [golden, 0.0, -1.0],
        [golden, 0.0, 1.0],
        [-golden, 0.0, -1.0],
        [-golden, 0.0, 1.0],
    ]
    .map(|[x, y, z]| Vector::new(x, y, z).normalize());
    #[rustfmt::skip]
    let faces = [
        [0, 11, 5], [0, 5, 1], [0, 1, 7], [0, 7, 10], [0, 10, 11],
        [1, 5, 9], [5, 11, 4], [11, 10, 2], [10, 7, 6], [7, 1, 8],
        [3, 9, 4], [3, 4, 2], [3, 2, 6], [3, 6, 8], [3, 8, 9],
        [4, 9, 5], [2, 4, 11], [6, 2, 10], [8, 6, 7], [9, 8, 1],
    ];
    (corners, faces)
}

/// Weighted sum.
fn mix(parts: &[(Vector, u32)]) -> Vector {
    parts.iter().map(|(v, weight)| v * f64::from(*weight)).sum()
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::HashMap;
    use std::f64::consts::PI;

    /// The laws that every solid here keeps, checked without the crate's own edge report.
    fn assert_sound(mesh: &Mesh) {
        let mut balance: HashMap<(u32, u32), (i32, u32)> = HashMap::new();
        for t in &mesh.triangles {
            for (a, b) in [(t[0], t[1]), (t[1], t[2]), (t[2], t[0])] {
                assert_ne!(a, b);
                let entry = balance.entry((a.min(b), a.max(b))).or_default();
                entry.0 += if a < b { 1 } else { -1 };
                entry.1 += 1;
            }
        }
        assert!(balance.values().all(|&(sum, uses)| sum == 0 && uses == 2));
        let mut places: Vec<[u64; 3]> = mesh.vertices.iter().map(|p| [p.x, p.y, p.z].map(f64::to_bits)).collect();
        places.sort_unstable();
        places.dedup();
        assert_eq!(places.len(), mesh.vertices.len(), "a vertex is stored twice");
        assert!(balance.keys().flat_map(|&(a, b)| [a, b]).max() == Some(mesh.vertices.len() as u32 - 1));
    }

    fn relative(found: f64, expected: f64) -> f64 {
        (found / expected - 1.0).abs()
    }

    #[test]
    fn boxes_have_their_volume_and_area_at_every_resolution() {
        let (min, max) = (Point::new(-3.0, 1.0, 2.5), Point::new(27.0, 21.0, 12.5));
        for cells in [[1, 1, 1], [2, 1, 1], [1, 3, 2], [4, 5, 6], [0, 2, 0]] {
            let solid = grid_box(min, max, cells);
            assert_sound(&solid);
            let [x, y, z] = cells.map(|n| n.max(1) as usize);
            assert_eq!(solid.triangles.len(), 4 * (x * y + y * z + z * x));
            assert!(relative(solid.volume_mm3(), 6000.0) < 1e-14);
            assert!(relative(solid.area_mm2(), 2200.0) < 1e-14);
            let bounds = solid.bounds().unwrap();
            assert_eq!((bounds.min, bounds.max), (min, max));
        }
    }

    #[test]
    fn spheres_converge_with_the_square_of_the_divisions() {
        let exact = 4.0 / 3.0 * PI * 50.0_f64.powi(3);
        let mut errors = Vec::new();
        for divisions in [1, 2, 3, 8, 16, 32] {
            let solid = sphere(Point::new(10.0, -20.0, 30.0), 50.0, divisions);
            assert_sound(&solid);
            assert_eq!(solid.triangles.len(), 20 * divisions as usize * divisions as usize);
            assert!(solid.volume_mm3() < exact && solid.area_mm2() < PI * 1e4);
            errors.push(1.0 - solid.volume_mm3() / exact);
        }
        for pair in errors[3..].windows(2) {
            assert!((pair[0] / pair[1] - 4.0).abs() < 0.1, "halving the edges should quarter the error: {errors:?}");
        }
    }

    #[test]
    fn a_fine_torus_has_nearly_the_volume_of_the_round_one() {
        let solid = torus(Point::origin(), 40.0, 10.0, 400, 200);
        assert_sound(&solid);
        assert_eq!(solid.triangles.len(), 2 * 400 * 200);
        assert!(relative(solid.volume_mm3(), 2.0 * PI * PI * 40.0 * 100.0) < 3e-4);
        assert!(solid.volume_mm3() < 2.0 * PI * PI * 40.0 * 100.0);
        assert!(relative(solid.area_mm2(), 4.0 * PI * PI * 40.0 * 10.0) < 3e-4);
    }

    #[test]
    fn hollowing_subtracts_volume_and_adds_area() {
        let outer = sphere(Point::origin(), 50.0, 12);
        let inner = sphere(Point::origin(), 46.0, 9);
        let shell = hollow(&outer, &inner);
        assert_sound(&shell);
        assert!(relative(shell.volume_mm3(), outer.volume_mm3() - inner.volume_mm3()) < 1e-12);
        assert!(relative(shell.area_mm2(), outer.area_mm2() + inner.area_mm2()) < 1e-12);
    }
}
