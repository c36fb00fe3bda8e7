//! Where the bench is looked at from, and how it gets there.

use egui::{Pos2, Ui};
use seamwright_geometry::{Bounds, Point};

use super::camera::{Camera, StandardView};
use super::glide::Glide;
use super::view::View;
use super::widget::Bench;

impl Bench {
    /// Where the bench is looked at from.
    pub fn camera(&self) -> Camera {
        self.camera
    }

    /// Looks from elsewhere, at once.
    pub fn set_camera(&mut self, camera: Camera) {
        self.follow.forget();
        self.put_camera(camera);
    }

    pub(super) fn put_camera(&mut self, camera: Camera) {
        self.glide = None;
        self.waiting = None;
        self.camera = camera;
    }

    /// Goes round to a known side.
    pub fn look_from(&mut self, view: StandardView) {
        self.go(self.goal().seen_from(view));
    }

    /// Goes round to a known side, and comes near until `bounds` fills the picture.
    pub fn look_at_from(&mut self, bounds: &Bounds, view: StandardView) {
        self.frame_from(self.goal().seen_from(view), bounds);
    }

    /// Comes near, or goes away, until `bounds` fills the picture.
    pub fn frame(&mut self, bounds: &Bounds) {
        self.frame_from(self.goal(), bounds);
    }

    /// Comes nearer by `factor`; less than 1 goes away.
    pub fn zoom(&mut self, factor: f64) {
        let goal = self.goal();
        self.go(goal.zoomed(&goal.target, factor));
    }

    /// Where the camera is on its way to, or is.
    pub(super) fn goal(&self) -> Camera {
        self.glide.as_ref().map_or(self.camera, Glide::goal)
    }

    /// Width over height of the picture, once it was shown.
    pub(super) fn aspect(&self) -> Option<f64> {
        Some(View { camera: self.camera, rect: self.rect? }.aspect())
    }

    fn frame_from(&mut self, camera: Camera, bounds: &Bounds) {
        match self.aspect() {
            Some(aspect) => self.go(camera.framing(bounds, aspect)),
            None => {
                self.camera = camera;
                self.waiting = Some(*bounds);
            }
        }
    }

    /// Goes after what is kept in the picture.
    pub(super) fn chase(&mut self, to: Camera) {
        if self.reduce_motion {
            self.put_camera(to);
        } else {
            self.glide = Some(Glide::chasing(self.camera, to, self.glide));
        }
    }

    pub(super) fn go(&mut self, to: Camera) {
        self.follow.forget();
        if self.rect.is_none() {
            self.camera = to;
        } else if self.reduce_motion {
            self.set_camera(to);
        } else {
            self.glide = Some(Glide::new(self.camera, to));
        }
    }

    pub(super) fn follow_glide(&mut self, ui: &Ui) {
        let Some(glide) = &mut self.glide else { return };
        let (camera, arrived) = glide.at(ui.input(|i| i.time));
        self.camera = camera;
        if arrived {
            self.glide = None;
        } else {
            ui.ctx().request_repaint();
        }
    }

    /// Where a place is seen on the screen, once it was shown; `None` where it is out of the picture.
    pub fn seen_at(&self, place: &Point) -> Option<Pos2> {
        let rect = self.rect?;
        View { camera: self.camera, rect }.project(place).filter(|at| rect.contains(*at))
    }

    /// The middle of it on the screen.
    pub fn middle(&self) -> Pos2 {
        self.rect.map_or(Pos2::ZERO, |rect| rect.center())
    }
}
