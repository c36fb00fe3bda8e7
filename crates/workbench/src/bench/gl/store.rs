//! Meshes on the graphics card.

use std::collections::HashMap;

use seamwright_geometry::Point;
use three_d::{Context, ElementBuffer, VertexBuffer};

use crate::bench::body::Body;
use crate::bench::scene::Scene;

/// One mesh on the card.
pub struct Uploaded {
    /// The middle of the mesh; positions are relative to it.
    pub middle: Point,
    pub positions: VertexBuffer<[f32; 3]>,
    pub skin: ElementBuffer<u32>,
    pub caps: ElementBuffer<u32>,
}

/// Meshes by revision.
#[derive(Default)]
pub struct Store {
    meshes: HashMap<u64, Uploaded>,
}

impl Store {
    /// Sends what is new in `scene` and drops what is not in it any more.
    pub fn follow(&mut self, gl: &Context, scene: &Scene) {
        self.meshes.retain(|revision, _| scene.drawn.iter().any(|d| d.body.revision() == *revision));
        for drawn in &scene.drawn {
            let body = &drawn.body;
            let Some(bounds) = body.bounds() else { continue };
            self.meshes.entry(body.revision()).or_insert_with(|| Uploaded::new(gl, body, bounds.centre()));
        }
    }

    pub fn get(&self, body: &Body) -> Option<&Uploaded> {
        self.meshes.get(&body.revision())
    }
}

impl Uploaded {
    fn new(gl: &Context, body: &Body, middle: Point) -> Uploaded {
        let mesh = body.mesh();
        let positions: Vec<[f32; 3]> = mesh.vertices.iter().map(|p| (p - middle).map(|x| x as f32).into()).collect();
        let known = |t: &[u32; 3]| t.iter().all(|&i| (i as usize) < positions.len());
        let (mut skin, mut caps) = (Vec::with_capacity(3 * mesh.triangles.len()), Vec::new());
        for (i, t) in mesh.triangles.iter().enumerate().filter(|(_, t)| known(t)) {
            if body.is_cap(i) { &mut caps } else { &mut skin }.extend_from_slice(t);
        }
        Uploaded {
            middle,
            positions: VertexBuffer::new_with_data(gl, &positions),
            skin: ElementBuffer::new_with_data(gl, &skin),
            caps: ElementBuffer::new_with_data(gl, &caps),
        }
    }
}
