//! One picture: what, from where, how large.

use nalgebra::Matrix4;
use seamwright_geometry::{Bounds, Vector};
use three_d::ScissorBox;

use crate::bench::camera::FIELD_OF_VIEW_DEG;
use crate::bench::painter::Frame;
use crate::bench::scene::{Drawn, corners};

/// One picture being made.
pub struct Shot<'a> {
    pub frame: &'a Frame,
    /// Pixels.
    pub size: [u32; 2],
    /// Pixels to a screen point.
    pub scale: f64,
    pub clip_from_eye: Matrix4<f64>,
    /// The range of depths.
    pub near_far_mm: (f64, f64),
}

impl Shot<'_> {
    pub fn new(frame: &Frame, size: [u32; 2], scale: f64) -> Shot<'_> {
        let near_far_mm = frame.camera.depth_range_mm(&extent(frame));
        let aspect = f64::from(size[0]) / f64::from(size[1]);
        let projection = frame.camera.projection(aspect, near_far_mm.0, near_far_mm.1);
        Shot { frame, size, scale, clip_from_eye: projection * frame.camera.rotation(), near_far_mm }
    }

    /// Size of a pixel as a share of its distance from the eye.
    pub fn pixel_share(&self) -> f64 {
        2.0 * (FIELD_OF_VIEW_DEG.to_radians() / 2.0).tan() / f64::from(self.size[1])
    }

    /// The part of the picture that holds all solid meshes and their outlines; `None` without any.
    pub fn part_with_meshes(&self) -> Option<ScissorBox> {
        let eye = self.frame.camera.eye();
        let [w, h] = self.size.map(f64::from);
        let (mut low, mut high) = ([w, h], [0.0_f64; 2]);
        let solid = self.frame.scene.drawn.iter().filter(|d| d.is_solid());
        for corner in solid.filter_map(Drawn::bounds).flat_map(|b| corners(&b)) {
            let clip = self.clip_from_eye * (corner - eye).push(1.0);
            if clip.w <= 0.0 {
                return Some(ScissorBox::new_at_origo(self.size[0], self.size[1]));
            }
            for (k, (at, size)) in [(clip.x, w), (clip.y, h)].into_iter().enumerate() {
                let at = (at / clip.w + 1.0) / 2.0 * size;
                low[k] = low[k].min(at);
                high[k] = high[k].max(at);
            }
        }
        let room = OUTLINE_ROOM * self.scale;
        let edge = |x: f64, size: f64| x.clamp(0.0, size) as i32;
        let [x0, y0] = [edge((low[0] - room).floor(), w), edge((low[1] - room).floor(), h)];
        let [x1, y1] = [edge((high[0] + room).ceil(), w), edge((high[1] + room).ceil(), h)];
        let (width, height) = (u32::try_from(x1 - x0).ok()?, u32::try_from(y1 - y0).ok()?);
        (width > 0 && height > 0).then_some(ScissorBox { x: x0, y: y0, width, height })
    }
}

/// How far outlines reach beyond a mesh, in screen points.
const OUTLINE_ROOM: f64 = 4.0;

/// The box around all that is drawn, for the range of depths.
fn extent(frame: &Frame) -> Bounds {
    let scene = &frame.scene;
    let bed = scene.bed.as_ref().map(|b| {
        let [x_mm, y_mm] = b.bed.size_mm();
        Bounds { min: b.corner, max: b.corner + Vector::new(x_mm, y_mm, b.bed.height_mm) }
    });
    let sheet = scene.cut.as_ref().and_then(|cut| Bounds::of(cut.sheet().corners()));
    let target = frame.camera.target;
    [scene.bounds(), bed, sheet]
        .into_iter()
        .flatten()
        .reduce(|a, b| a.union(&b))
        .unwrap_or(Bounds { min: target - Vector::repeat(1.0), max: target + Vector::repeat(1.0) })
}
