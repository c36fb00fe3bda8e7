//! The surface around holes, as it was before they were filled.

use rustc_hash::FxHashMap;

use super::fair::{Around, fair};
use super::refine::{Patch, refine};
use crate::{Cancelled, Mesh, Progress};

pub(super) struct Surface {
    /// The faces at each vertex: where they begin in a list of all.
    starts: Vec<u32>,
    of_vertices: Vec<u32>,
}

impl Surface {
    pub(super) fn of(mesh: &Mesh) -> Surface {
        let mut starts = vec![0_u32; mesh.vertices.len() + 1];
        mesh.triangles.iter().flatten().for_each(|v| starts[*v as usize + 1] += 1);
        for i in 1..starts.len() {
            starts[i] += starts[i - 1];
        }
        let mut next = starts.clone();
        let mut of_vertices = vec![0; 3 * mesh.triangles.len()];
        for (face, t) in (0..).zip(&mesh.triangles) {
            for v in t {
                of_vertices[next[*v as usize] as usize] = face;
                next[*v as usize] += 1;
            }
        }
        Surface { starts, of_vertices }
    }

    pub(super) fn faces_at(&self, vertex: u32) -> &[u32] {
        let vertex = vertex as usize;
        match self.starts.get(vertex..vertex + 2) {
            Some(&[from, to]) => &self.of_vertices[from as usize..to as usize],
            _ => &[],
        }
    }

    /// A patch over a rim that takes up the form around it; `None` where none is found.
    pub(super) fn fair(
        &self,
        mesh: &Mesh,
        rim: &[u32],
        plain: &Patch,
        is_free: &dyn Fn(usize, usize) -> bool,
        progress: &Progress,
    ) -> Result<Option<Patch>, Cancelled> {
        let mut patch = Patch { places: plain.places.clone(), rim: plain.rim, faces: plain.faces.clone() };
        refine(&mut patch, &self.sizes(mesh, rim), is_free);
        let solved = fair(&mut patch, &self.around(mesh, rim), is_free, progress)?;
        Ok(solved.then_some(patch))
    }

    /// The mean length of the edges at each vertex of the rim.
    fn sizes(&self, mesh: &Mesh, rim: &[u32]) -> Vec<f64> {
        let size = |&v: &u32| {
            let at = mesh.vertices[v as usize];
            let faces = self.faces_at(v).iter().flat_map(|&face| mesh.triangles[face as usize]);
            let lengths =
                faces.filter(|other| *other != v).map(|other| nalgebra::distance(&at, &mesh.vertices[other as usize]));
            let (sum, count) = lengths.fold((0.0, 0), |(sum, count), length| (sum + length, count + 1));
            sum / f64::from(count.max(1))
        };
        rim.iter().map(size).collect()
    }

    fn around(&self, mesh: &Mesh, rim: &[u32]) -> Around {
        let mut numbers: FxHashMap<u32, usize> = rim.iter().copied().zip(0..).collect();
        let mut places = Vec::new();
        let mut faces: Vec<u32> = rim.iter().flat_map(|&v| self.faces_at(v)).copied().collect();
        faces.sort_unstable();
        faces.dedup();
        let mut number = |v: u32| {
            *numbers.entry(v).or_insert_with(|| {
                places.push(mesh.vertices[v as usize]);
                rim.len() + places.len() - 1
            })
        };
        let faces = faces.into_iter().map(|face| mesh.triangles[face as usize].map(&mut number)).collect();
        Around { places, faces }
    }
}
