//! The library for booleans, as an oracle.

use manifold_rust::manifold::Manifold;
use manifold_rust::types::{Error, MeshGL64};
use seamwright_geometry::Mesh;

/// `None` where the library refuses it: where solids touch along an edge that they share.
pub fn theirs(mesh: &Mesh) -> Option<Manifold> {
    let made = Manifold::from_mesh_gl64(&MeshGL64 {
        num_prop: 3,
        vert_properties: mesh.vertices.iter().flat_map(|p| [p.x, p.y, p.z]).collect(),
        tri_verts: mesh.triangles.iter().flatten().map(|v| u64::from(*v)).collect(),
        ..MeshGL64::default()
    });
    (made.status() == Error::NoError).then_some(made)
}
