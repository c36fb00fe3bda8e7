//! A mesh made ready for the bench once, and used in every frame after.

use std::collections::HashMap;
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};
use std::sync::{Arc, OnceLock};

use seamwright_geometry::{Bounds, Mesh};

use super::pick::PickTree;

/// A mesh with what the bench needs beside it. Make one when the mesh is made, share it, and keep it as long as the
/// mesh is shown: whatever is new is sent to the graphics card again.
#[derive(Debug)]
pub struct Body {
    mesh: Arc<Mesh>,
    cap_faces: Arc<Vec<bool>>,
    closed: bool,
    bounds: Option<Bounds>,
    revision: u64,
    tree: OnceLock<PickTree>,
    tree_claimed: AtomicBool,
}

impl Body {
    /// Nothing is known of `mesh` but its triangles.
    pub fn new(mesh: Arc<Mesh>) -> Body {
        static NEXT_REVISION: AtomicU64 = AtomicU64::new(1);
        Body {
            bounds: mesh.bounds(),
            mesh,
            cap_faces: Arc::default(),
            closed: false,
            revision: NEXT_REVISION.fetch_add(1, Ordering::Relaxed),
            tree: OnceLock::new(),
            tree_claimed: AtomicBool::new(false),
        }
    }

    /// Says for each face whether it is part of a cap, so that caps can be told from the skin.
    pub fn with_caps(self, cap_faces: Arc<Vec<bool>>) -> Body {
        Body { cap_faces, ..self }
    }

    /// Says that the mesh is closed and outward, so that its insides need not be drawn.
    pub fn known_closed(self) -> Body {
        Body { closed: true, ..self }
    }

    /// The triangles, mm.
    pub fn mesh(&self) -> &Arc<Mesh> {
        &self.mesh
    }

    /// The box around the faces; `None` without any.
    pub fn bounds(&self) -> Option<Bounds> {
        self.bounds
    }

    /// A number that no other body of this process has.
    pub fn revision(&self) -> u64 {
        self.revision
    }

    /// Whether it was said to be closed.
    pub fn is_closed(&self) -> bool {
        self.closed
    }

    /// Whether face `t` is part of a cap.
    pub fn is_cap(&self, t: usize) -> bool {
        self.cap_faces.get(t).copied().unwrap_or(false)
    }

    /// The tree for picking, made on the first call, which takes about a second for two million triangles. Call it from a
    /// worker to have it ready; the bench does so by itself for large meshes.
    pub fn tree(&self) -> &PickTree {
        self.tree.get_or_init(|| PickTree::of(&self.mesh))
    }

    /// The tree, if it was made already.
    pub fn ready_tree(&self) -> Option<&PickTree> {
        self.tree.get()
    }

    /// True for the first caller: the one who is to have the tree made.
    pub(super) fn claim_tree(&self) -> bool {
        !self.tree_claimed.swap(true, Ordering::Relaxed)
    }
}

/// Bodies by mesh, for whoever builds a scene anew in every frame: the same mesh gets the same body.
#[derive(Debug, Default)]
pub struct Shelf {
    /// Keyed by the mesh's place in memory, which can't be reused while the body holds it.
    bodies: HashMap<usize, (Arc<Body>, bool)>,
}

impl Shelf {
    /// The body of `mesh`; `make` is called when it is not on the shelf yet.
    pub fn body(&mut self, mesh: &Arc<Mesh>, make: impl FnOnce(Arc<Mesh>) -> Body) -> Arc<Body> {
        let key = Arc::as_ptr(mesh) as usize;
        let (body, used) = self.bodies.entry(key).or_insert_with(|| (Arc::new(make(mesh.clone())), true));
        *used = true;
        body.clone()
    }

    /// Drops what was not asked for since the last sweep. Call it once a frame, after the scene is built.
    pub fn sweep(&mut self) {
        self.bodies.retain(|_, (_, used)| std::mem::take(used));
    }
}
