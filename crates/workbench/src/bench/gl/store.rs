//! Meshes on the graphics card.

use std::collections::HashMap;

use seamwright_geometry::Point;
use three_d::{Context, ElementBuffer, VertexBuffer};

use crate::bench::body::Body;
use crate::bench::packed::{Corners, Packed};
use crate::bench::scene::Scene;

/// One mesh on the card.
pub struct Uploaded {
    /// The middle of the mesh; positions are relative to it.
    pub middle: Point,
    pub positions: VertexBuffer<[f32; 3]>,
    full: Faces,
    /// For while it moves.
    few: Option<Faces>,
}

/// Faces on the card.
pub struct Faces {
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
            if body.bounds().is_none() {
                continue;
            }
            let uploaded = self.meshes.entry(body.revision()).or_insert_with(|| Uploaded::new(gl, body.take_packed()));
            if let (None, Some(few)) = (&uploaded.few, body.few()) {
                uploaded.few = Some(Faces::new(gl, few));
            }
        }
    }

    /// Whether something in `scene` is drawn with fewer faces while it moves.
    pub fn has_few(&self, scene: &Scene) -> bool {
        scene.drawn.iter().any(|d| self.get(&d.body).is_some_and(|uploaded| uploaded.few.is_some()))
    }

    pub fn get(&self, body: &Body) -> Option<&Uploaded> {
        self.meshes.get(&body.revision())
    }
}

impl Uploaded {
    fn new(gl: &Context, packed: Packed) -> Uploaded {
        Uploaded {
            middle: packed.middle,
            positions: VertexBuffer::new_with_data(gl, &packed.positions),
            full: Faces::new(gl, &packed.corners),
            few: None,
        }
    }

    /// All faces, or the fewer ones if there are some.
    pub fn faces(&self, few: bool) -> &Faces {
        self.few.as_ref().filter(|_| few).unwrap_or(&self.full)
    }
}

impl Faces {
    fn new(gl: &Context, corners: &Corners) -> Faces {
        Faces {
            skin: ElementBuffer::new_with_data(gl, &corners.skin),
            caps: ElementBuffer::new_with_data(gl, &corners.caps),
        }
    }
}
