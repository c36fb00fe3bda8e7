//! A mesh made ready for the bench once, and used in every frame after.

use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};
use std::sync::{Arc, Mutex, OnceLock, PoisonError};

use seamwright_geometry::{Bounds, Mesh, Point, Solid};

use super::packed::{Corners, MANY_FACES, Packed};
use super::pick::PickTree;

/// A mesh with what the bench needs beside it. Make one when the mesh is made, share it, and keep it as long as the
/// mesh is shown: whatever is new is sent to the graphics card again.
#[derive(Debug)]
pub struct Body {
    source: Source,
    closed: bool,
    bounds: Option<Bounds>,
    revision: u64,
    tree: OnceLock<PickTree>,
    /// Made before it is sent to the graphics card, which takes it.
    packed: Mutex<Option<Packed>>,
    few: OnceLock<Option<Corners>>,
    claimed: AtomicBool,
}

/// Where the triangles are; never copied.
#[derive(Debug)]
enum Source {
    Mesh { mesh: Arc<Mesh>, cap_faces: Arc<Vec<bool>> },
    Solid(Arc<Solid>),
}

impl Body {
    /// The faces of `solid`, of which it is known where they came from.
    pub fn of_solid(solid: Arc<Solid>) -> Body {
        Body::from_source(Source::Solid(solid))
    }

    /// Nothing is known of `mesh` but its triangles.
    pub fn new(mesh: Arc<Mesh>) -> Body {
        Body::from_source(Source::Mesh { mesh, cap_faces: Arc::default() })
    }

    /// Says for each face whether it is part of a cap, so that caps can be told from the skin. A solid knows already.
    pub fn with_caps(mut self, caps: Arc<Vec<bool>>) -> Body {
        if let Source::Mesh { cap_faces, .. } = &mut self.source {
            *cap_faces = caps;
        }
        self
    }

    /// Says that the mesh is closed and outward, so that its insides need not be drawn.
    pub fn known_closed(self) -> Body {
        Body { closed: true, ..self }
    }

    /// The triangles, mm.
    pub fn mesh(&self) -> &Mesh {
        match &self.source {
            Source::Mesh { mesh, .. } => mesh,
            Source::Solid(solid) => &solid.mesh,
        }
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
        match &self.source {
            Source::Mesh { cap_faces, .. } => cap_faces.get(t).copied().unwrap_or(false),
            Source::Solid(solid) => solid.origins.get(t).is_some_and(|origin| origin.is_cap()),
        }
    }

    /// The tree for picking, made on the first call, which takes about a second for two million triangles. Call it from a
    /// worker to have it ready; the bench does so by itself for large meshes.
    pub fn tree(&self) -> &PickTree {
        self.tree.get_or_init(|| PickTree::of(self.mesh()))
    }

    /// The tree, if it was made already.
    pub fn ready_tree(&self) -> Option<&PickTree> {
        self.tree.get()
    }

    /// True for the first caller: the one who is to have the tree and the fewer faces made.
    pub(super) fn claim(&self) -> bool {
        !self.claimed.swap(true, Ordering::Relaxed)
    }

    /// Makes ready what the graphics card takes, so that no frame has to. For the worker.
    pub fn pack(&self) {
        *self.packed.lock().unwrap_or_else(PoisonError::into_inner) = self.bounds.map(|_| self.packed());
    }

    /// What the graphics card takes.
    pub(super) fn take_packed(&self) -> Packed {
        let ready = self.packed.lock().unwrap_or_else(PoisonError::into_inner).take();
        ready.unwrap_or_else(|| self.packed())
    }

    fn packed(&self) -> Packed {
        let middle = self.bounds.map_or_else(Point::origin, |bounds| bounds.centre());
        Packed::of(self.mesh(), middle, |t| self.is_cap(t))
    }

    /// Whether it has so many faces that it is drawn with fewer while it moves.
    pub(super) fn has_many_faces(&self) -> bool {
        self.mesh().triangles.len() > MANY_FACES
    }

    /// Makes ready all that takes longer than a frame: fewer faces for while it moves, and the tree for picking.
    pub fn prepare(&self) {
        if self.has_many_faces() {
            self.make_few();
        }
        self.tree();
    }

    /// Has the fewer faces made, which takes longer than a frame.
    pub(super) fn make_few(&self) {
        self.few.get_or_init(|| self.packed().with_fewer_faces());
    }

    /// The fewer faces, if they were made already and are fewer.
    pub(super) fn few(&self) -> Option<&Corners> {
        self.few.get().and_then(Option::as_ref)
    }

    fn from_source(source: Source) -> Body {
        static NEXT_REVISION: AtomicU64 = AtomicU64::new(1);
        let mut body = Body {
            source,
            closed: false,
            bounds: None,
            revision: NEXT_REVISION.fetch_add(1, Ordering::Relaxed),
            tree: OnceLock::new(),
            packed: Mutex::default(),
            few: OnceLock::new(),
            claimed: AtomicBool::new(false),
        };
        body.bounds = body.mesh().bounds();
        body
    }
}
