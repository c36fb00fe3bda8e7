//! The flats on which a hull can lie.

use super::Hull;
use crate::Vector;
use std::collections::HashMap;

/// A flat side of a hull.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Flat {
    /// Outward unit normal.
    pub normal: Vector,
    /// Area, mm².
    pub area_mm2: f64,
}

/// Faces whose normals differ by less than this belong to one flat: rounding of 32-bit coordinates tilts the
/// triangles of a 10 mm flat, 1 m from the origin, by about 0.00001.
const SAME_FLAT_RAD: f64 = 1e-4;

impl Hull {
    /// All flats, largest first.
    pub fn flats(&self) -> Vec<Flat> {
        let areas: Vec<Vector> = self
            .faces
            .iter()
            .map(|f| {
                let [a, b, c] = f.map(|i| self.vertices[i as usize]);
                (b - a).cross(&(c - a)) / 2.0
            })
            .collect();
        let mut by_area: Vec<usize> = (0..areas.len()).filter(|&f| areas[f].norm() > 0.0).collect();
        by_area.sort_by(|&f, &g| areas[g].norm().total_cmp(&areas[f].norm()).then(f.cmp(&g)));
        let neighbours = self.neighbours();
        let mut taken = vec![false; areas.len()];
        let mut flats = Vec::new();
        // The largest face of a flat gathers the others, and all are compared with it, so that flats don't creep
        // around a round body.
        for seed in by_area {
            if std::mem::replace(&mut taken[seed], true) {
                continue;
            }
            let seed_normal = areas[seed].normalize();
            let (mut sum, mut open) = (areas[seed], vec![seed]);
            while let Some(face) = open.pop() {
                for &next in &neighbours[face] {
                    let area = areas[next as usize];
                    let sine = seed_normal.cross(&area).norm();
                    let same = seed_normal.dot(&area) > 0.0 && sine <= SAME_FLAT_RAD * area.norm();
                    if same && !std::mem::replace(&mut taken[next as usize], true) {
                        sum += area;
                        open.push(next as usize);
                    }
                }
            }
            flats.push(Flat { normal: sum.normalize(), area_mm2: sum.norm() });
        }
        flats.sort_by(|f, g| g.area_mm2.total_cmp(&f.area_mm2));
        flats
    }

    /// Faces that share an edge with each face.
    fn neighbours(&self) -> Vec<Vec<u32>> {
        let mut by_edge: HashMap<(u32, u32), Vec<u32>> = HashMap::with_capacity(self.faces.len() * 2);
        for (f, &[a, b, c]) in self.faces.iter().enumerate() {
            for (p, q) in [(a, b), (b, c), (c, a)] {
                by_edge.entry((p.min(q), p.max(q))).or_default().push(f as u32);
            }
        }
        let mut neighbours = vec![Vec::new(); self.faces.len()];
        for sharing in by_edge.values() {
            for &f in sharing {
                neighbours[f as usize].extend(sharing.iter().filter(|&&g| g != f));
            }
        }
        neighbours
    }
}
