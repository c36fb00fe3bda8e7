//! A camera and the rectangle it fills: from places to points of the screen and back.

use egui::{Pos2, Rect, Vec2};
use seamwright_geometry::{Point, Vector};

use super::camera::{Camera, FIELD_OF_VIEW_DEG};
use super::pick::Ray;

/// What is seen where. Screen lengths are egui's points.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct View {
    /// From where.
    pub camera: Camera,
    /// Into where.
    pub rect: Rect,
}

impl View {
    /// Width over height of the picture.
    pub fn aspect(&self) -> f64 {
        f64::from(self.rect.width().max(1.0)) / f64::from(self.rect.height().max(1.0))
    }

    /// The ray through the screen point `at`.
    pub fn ray(&self, at: Pos2) -> Ray {
        let [right, up, back] = self.camera.axes();
        let from_centre = (at - self.rect.center()) / self.focal_points() as f32;
        let direction = right * f64::from(from_centre.x) - up * f64::from(from_centre.y) - back;
        Ray { origin: self.camera.eye(), direction: direction.normalize() }
    }

    /// Where `p` is seen; `None` behind the eye.
    pub fn project(&self, p: &Point) -> Option<Pos2> {
        let [right, up, back] = self.camera.axes();
        let from_eye = p - self.camera.eye();
        let depth = -from_eye.dot(&back);
        if depth <= self.camera.distance_mm * BEHIND_SHARE {
            return None;
        }
        let scale = self.focal_points() / depth;
        let offset = Vec2::new((from_eye.dot(&right) * scale) as f32, (-from_eye.dot(&up) * scale) as f32);
        Some(self.rect.center() + offset)
    }

    /// How many millimetres one screen point covers at the depth of `p`.
    pub fn mm_per_point(&self, p: &Point) -> f64 {
        let depth = (self.camera.eye() - p).dot(&self.camera.axes()[2]);
        depth.max(self.camera.distance_mm * BEHIND_SHARE) / self.focal_points()
    }

    /// The place under `at`, on the plane through `through` that faces the viewer.
    pub fn place_at_depth_of(&self, through: &Point, at: Pos2) -> Point {
        let ray = self.ray(at);
        let back = self.camera.axes()[2];
        // The ray is inside the field of view, so it is never square to the viewing direction.
        let along = (through - ray.origin).dot(&back) / ray.direction.dot(&back);
        ray.at(along)
    }

    /// The unit vector from `p` to the eye.
    pub fn towards_eye(&self, p: &Point) -> Vector {
        (self.camera.eye() - p).try_normalize(0.0).unwrap_or_else(|| self.camera.axes()[2])
    }

    /// Distance of the picture plane from the eye, in screen points.
    fn focal_points(&self) -> f64 {
        f64::from(self.rect.height().max(1.0)) / 2.0 / (FIELD_OF_VIEW_DEG.to_radians() / 2.0).tan()
    }
}

/// What is nearer to the eye than this share of the distance to the target counts as behind it.
const BEHIND_SHARE: f64 = 1e-3;
