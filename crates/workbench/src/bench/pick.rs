//! What lies under the pointer: rays against meshes, on the processor, with no GL.

use std::sync::Arc;

use egui::Rect;
use parry3d::bounding_volume::Aabb;
use parry3d::math::Vec3;
use parry3d::partitioning::{Bvh, BvhBuildStrategy};
use parry3d::query::Ray as ParryRay;
use parry3d::query::details::local_ray_intersection_with_triangle;
use seamwright_geometry::{Bounds, Mesh, Point, Vector};

use super::body::Body;
use super::scene::{Drawn, MeshId, Scene};
use super::view::View;

/// A half-line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ray {
    /// Where it begins.
    pub origin: Point,
    /// Where it goes; of unit length.
    pub direction: Vector,
}

impl Ray {
    /// The place `distance_mm` along it.
    pub fn at(&self, distance_mm: f64) -> Point {
        self.origin + self.direction * distance_mm
    }
}

/// A place on a mesh.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SurfaceHit {
    /// The mesh.
    pub id: MeshId,
    /// Its face.
    pub face: usize,
    /// The place in the mesh's own frame, mm: the offset of the exploded view is taken off.
    pub point: Point,
    /// Unit normal of the face, towards the viewer.
    pub normal: Vector,
    /// Distance from the eye, mm.
    pub distance_mm: f64,
}

/// The axis, 0 to 2, along which a part is longest, of those that a surface which looks along `normal` runs along: what a cut
/// through a place on it is square to. (Square to the surface's own normal it would only graze.)
pub fn axis_across(normal: &Vector, part: &Bounds) -> usize {
    let (grazing, size) = (normal.iamax(), part.size());
    (0..3).filter(|axis| *axis != grazing).max_by(|a, b| size[*a].total_cmp(&size[*b])).unwrap_or(2)
}

/// A bounding-volume tree over the faces of one mesh. It holds boxes only; the corners stay in the mesh.
pub struct PickTree {
    tree: Bvh,
}

impl std::fmt::Debug for PickTree {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("PickTree").field("faces", &self.tree.leaf_count()).finish()
    }
}

impl PickTree {
    /// A tree over all faces of `mesh` with finite corners.
    pub fn of(mesh: &Mesh) -> PickTree {
        let leaves = mesh.triangles.iter().enumerate().filter_map(|(t, _)| {
            let corners = mesh.corners(t);
            let finite = corners.iter().all(|p| p.coords.iter().all(|x| x.is_finite()));
            finite.then(|| (t, Aabb::from_points(corners.map(|p| to_parry(&p.coords)))))
        });
        PickTree { tree: Bvh::from_iter(BvhBuildStrategy::Binned, leaves) }
    }

    /// The nearest face that `ray` meets, and how far along.
    pub fn first_hit(&self, mesh: &Mesh, ray: &Ray) -> Option<(usize, f64)> {
        let parry_ray = ParryRay::new(to_parry(&ray.origin.coords), to_parry(&ray.direction));
        self.tree
            .cast_ray(&parry_ray, f64::MAX, |face, _| distance_to_face(mesh, face as usize, &parry_ray))
            .map(|(face, distance)| (face as usize, distance))
    }
}

/// What lies so much in front of a place hides it, mm: more than a picture is exact, less than a wall. Our own choice, no source.
pub const HIDDEN_MM: f64 = 0.5;

/// The nearest place of the scene's meshes under `ray`.
///
/// Meshes whose tree is not made yet are searched face by face when `patient`, and passed over when not.
pub fn pick(scene: &Scene, ray: &Ray, patient: bool) -> Option<SurfaceHit> {
    scene
        .drawn
        .iter()
        .filter(|d| d.is_solid())
        .filter_map(|d| pick_one(d, ray, patient))
        .min_by(|a, b| a.distance_mm.total_cmp(&b.distance_mm))
}

/// Faces that are searched through, or treed, within a frame.
const QUICK_FACES: usize = 60_000;

/// Has the trees of all clickable meshes made, and fewer faces of those that have many: small trees now, all else on one
/// thread. `then` is called on that thread whenever something is ready.
pub fn prepare(scene: &Scene, then: impl Fn() + Send + 'static) {
    let missing = scene.drawn.iter().filter(|d| d.is_solid() && d.body.ready_tree().is_none());
    let (small, large): (Vec<_>, Vec<_>) = missing.partition(|d| d.body.mesh().triangles.len() <= QUICK_FACES);
    small.iter().for_each(|d| {
        d.body.tree();
    });
    let claimed: Vec<Arc<Body>> = large.iter().filter(|d| d.body.claim()).map(|d| d.body.clone()).collect();
    if !claimed.is_empty() {
        std::thread::spawn(move || {
            for body in claimed.iter().filter(|body| body.has_many_faces()) {
                body.make_few();
                then();
            }
            for body in claimed {
                body.tree();
                then();
            }
        });
    }
}

fn pick_one(drawn: &Drawn, ray: &Ray, patient: bool) -> Option<SurfaceHit> {
    let own = Ray { origin: ray.origin - drawn.offset, direction: ray.direction };
    let body: &Body = &drawn.body;
    let (face, distance_mm) = match body.ready_tree() {
        Some(tree) => tree.first_hit(body.mesh(), &own)?,
        None if patient => search_all(body.mesh(), &own)?,
        None => return None,
    };
    let [a, b, c] = body.mesh().corners(face);
    let normal = (b - a).cross(&(c - a)).try_normalize(0.0)?;
    let normal = if normal.dot(&ray.direction) > 0.0 { -normal } else { normal };
    Some(SurfaceHit { id: drawn.id, face, point: own.at(distance_mm), normal, distance_mm })
}

fn search_all(mesh: &Mesh, ray: &Ray) -> Option<(usize, f64)> {
    let parry_ray = ParryRay::new(to_parry(&ray.origin.coords), to_parry(&ray.direction));
    (0..mesh.triangles.len())
        .filter_map(|t| Some((t, distance_to_face(mesh, t, &parry_ray)?)))
        .min_by(|a, b| a.1.total_cmp(&b.1))
}

fn distance_to_face(mesh: &Mesh, face: usize, ray: &ParryRay) -> Option<f64> {
    let [a, b, c] = mesh.corners(face).map(|p| to_parry(&p.coords));
    local_ray_intersection_with_triangle(a, b, c, ray).map(|(hit, _)| hit.time_of_impact)
}

fn to_parry(v: &Vector) -> Vec3 {
    Vec3::new(v.x, v.y, v.z)
}

/// The clickable meshes whose middles are seen within `rect`, also those behind others.
pub fn within(scene: &Scene, view: &View, rect: Rect) -> Vec<MeshId> {
    let is_within = |d: &&Drawn| {
        let middle = d.bounds().and_then(|bounds| view.project(&bounds.centre()));
        d.is_solid() && middle.is_some_and(|at| rect.contains(at))
    };
    scene.drawn.iter().filter(is_within).map(|d| d.id).collect()
}
