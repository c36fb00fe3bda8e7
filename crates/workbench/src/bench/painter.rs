//! The seam between the bench and the graphics library.

use egui::{Rect, Ui};

use super::camera::Camera;
use super::scene::Scene;
use super::style::BenchStyle;

/// What is needed for one picture.
#[derive(Clone, Debug)]
pub struct Frame {
    /// What stands on the bench.
    pub scene: Scene,
    /// From where.
    pub camera: Camera,
    /// In which colours.
    pub style: BenchStyle,
}

/// Fills a rectangle with the picture of a scene. Handles and words are not its business.
pub trait ViewportPainter {
    /// Paints `frame` into `rect`.
    fn paint(&mut self, ui: &Ui, rect: Rect, frame: Frame);

    /// Why nothing can be seen, if so, in words for the user.
    fn trouble(&self) -> Option<String> {
        None
    }

    /// Gives back what belongs to the graphics library, while it still can.
    fn shutdown(&mut self) {}
}

/// Paints paper and nothing on it: for tests, and where there is no GL.
#[derive(Clone, Copy, Debug, Default)]
pub struct NoPaint;

impl ViewportPainter for NoPaint {
    fn paint(&mut self, ui: &Ui, rect: Rect, frame: Frame) {
        ui.painter().rect_filled(rect, 0.0, frame.style.paper[1]);
    }
}
