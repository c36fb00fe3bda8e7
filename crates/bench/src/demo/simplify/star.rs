//! A mesh that knows the faces around each vertex, and how to take an edge out of it.
use seamwright_geometry::{Mesh, Point};

/// A collapse may turn a face's normal by at most the angle with this cosine.
const LEAST_COSINE: f64 = 0.5;
/// Faces narrower than this (4·√3·area over the sum of squared sides, 1 for equal sides) are not made.
const LEAST_ROUNDNESS: f64 = 0.05;

/// Indexed faces with their use at each vertex; a removed face is marked by corners that are all the same.
#[derive(Debug)]
pub struct Stars {
    mesh: Mesh,
    faces_at: Vec<Vec<u32>>,
    faces_left: usize,
}

impl Stars {
    pub fn new(mesh: Mesh) -> Stars {
        let mut faces_at = vec![Vec::new(); mesh.vertices.len()];
        for (t, face) in mesh.triangles.iter().enumerate() {
            for &v in face {
                faces_at[v as usize].push(t as u32);
            }
        }
        Stars { faces_left: mesh.triangles.len(), mesh, faces_at }
    }

    pub fn faces_left(&self) -> usize {
        self.faces_left
    }

    pub fn vertex(&self, v: u32) -> Point {
        self.mesh.vertices[v as usize]
    }

    /// The vertices that share an edge with `v`, each once, in rising order.
    pub fn around(&self, v: u32) -> Vec<u32> {
        let mut all: Vec<u32> = self.faces_at[v as usize]
            .iter()
            .flat_map(|&t| self.mesh.triangles[t as usize])
            .filter(|&w| w != v)
            .collect();
        all.sort_unstable();
        all.dedup();
        all
    }

    /// Whether `keep` and `drop` can become one vertex at `to` with the surface still a 2-manifold, no face turned
    /// over and none made into a sliver.
    pub fn may_collapse(&self, keep: u32, drop: u32, to: Point) -> bool {
        let (a, b) = (self.around(keep), self.around(drop));
        let shared = a.iter().filter(|v| b.binary_search(v).is_ok()).count();
        let lone_tetrahedron = a.len() == 3 && b.len() == 3;
        shared == 2
            && !lone_tetrahedron
            && self.faces_stay_upright(keep, drop, to)
            && self.faces_stay_upright(drop, keep, to)
    }

    fn faces_stay_upright(&self, moved: u32, other: u32, to: Point) -> bool {
        self.faces_at[moved as usize]
            .iter()
            .map(|&t| self.mesh.triangles[t as usize])
            .filter(|f| !f.contains(&other))
            .all(|face| {
                let before = face.map(|v| self.vertex(v));
                let after = face.map(|v| if v == moved { to } else { self.vertex(v) });
                let (n, m) = (cross(before), cross(after));
                let rounder = roundness(after) > LEAST_ROUNDNESS.min(roundness(before));
                n.dot(&m) > LEAST_COSINE * n.norm() * m.norm() && rounder
            })
    }

    /// Makes `keep` and `drop` one vertex at `to`.
    pub fn collapse(&mut self, keep: u32, drop: u32, to: Point) {
        self.mesh.vertices[keep as usize] = to;
        for t in std::mem::take(&mut self.faces_at[drop as usize]) {
            let face = self.mesh.triangles[t as usize];
            if face.contains(&keep) {
                for v in face {
                    self.faces_at[v as usize].retain(|&f| f != t);
                }
                self.mesh.triangles[t as usize] = [keep; 3];
                self.faces_left -= 1;
            } else {
                self.mesh.triangles[t as usize] = face.map(|v| if v == drop { keep } else { v });
                self.faces_at[keep as usize].push(t);
            }
        }
    }

    /// The faces that are left, vertices renumbered in their order.
    pub fn into_mesh(self) -> Mesh {
        let mut number = vec![0; self.mesh.vertices.len()];
        let mut vertices = Vec::new();
        for (v, faces) in self.faces_at.iter().enumerate() {
            if !faces.is_empty() {
                number[v] = vertices.len() as u32;
                vertices.push(self.mesh.vertices[v]);
            }
        }
        let left = self.mesh.triangles.iter().filter(|[a, b, _]| a != b);
        Mesh { vertices, triangles: left.map(|f| f.map(|v| number[v as usize])).collect() }
    }
}

fn cross([p, q, r]: [Point; 3]) -> seamwright_geometry::Vector {
    (q - p).cross(&(r - p))
}

fn roundness(face: [Point; 3]) -> f64 {
    let [p, q, r] = face;
    let sides = (q - p).norm_squared() + (r - q).norm_squared() + (p - r).norm_squared();
    2.0 * 3f64.sqrt() * cross(face).norm() / sides.max(f64::MIN_POSITIVE)
}
