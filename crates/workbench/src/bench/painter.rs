//! The seam between the bench and the graphics library.

use std::sync::{Arc, Mutex, PoisonError};

use egui::{Rect, Ui};

use super::camera::Camera;
use super::gl::{GlError, Stage};
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
    /// Whether something moves: then fewer faces will do.
    pub moving: bool,
    /// Whether it is the small picture beside the large one: both are kept until something in them changes.
    pub inset: bool,
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

/// Paints with OpenGL, inside egui's own picture.
pub struct GlowPaint {
    /// Shared with the callbacks that egui keeps; empty after [`shutdown`](ViewportPainter::shutdown).
    stage: Arc<Mutex<Option<Stage>>>,
}

impl std::fmt::Debug for GlowPaint {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("GlowPaint").field("redraws", &self.redraws()).finish()
    }
}

impl GlowPaint {
    /// Prepares to paint with `gl`, which must be current, now and whenever egui paints: eframe sees to that.
    pub fn new(gl: Arc<eframe::glow::Context>) -> Result<GlowPaint, GlError> {
        Ok(GlowPaint { stage: Arc::new(Mutex::new(Some(Stage::new(gl)?))) })
    }

    /// How often the picture was made anew, rather than copied.
    pub fn redraws(&self) -> usize {
        let stage = self.stage.lock().unwrap_or_else(PoisonError::into_inner);
        stage.as_ref().map_or(0, Stage::redraws)
    }
}

impl ViewportPainter for GlowPaint {
    fn paint(&mut self, ui: &Ui, rect: Rect, frame: Frame) {
        let stage = Arc::clone(&self.stage);
        let draw = move |info: egui::PaintCallbackInfo, _: &egui_glow::Painter| {
            let mut stage = stage.lock().unwrap_or_else(PoisonError::into_inner);
            let Some(stage) = stage.as_mut() else { return };
            let (v, c) = (info.viewport_in_pixels(), info.clip_rect_in_pixels());
            let positive = |n: i32| u32::try_from(n).unwrap_or(0);
            let viewport = three_d::Viewport {
                x: v.left_px,
                y: v.from_bottom_px,
                width: positive(v.width_px).max(1),
                height: positive(v.height_px).max(1),
            };
            let scissor = three_d::ScissorBox {
                x: c.left_px,
                y: c.from_bottom_px,
                width: positive(c.width_px),
                height: positive(c.height_px),
            };
            if scissor.width > 0 && scissor.height > 0 {
                stage.paint(&frame, viewport, scissor, info.screen_size_px, f64::from(info.pixels_per_point));
            }
        };
        let callback = Arc::new(egui_glow::CallbackFn::new(draw));
        ui.painter().add(egui::PaintCallback { rect, callback });
    }

    fn shutdown(&mut self) {
        *self.stage.lock().unwrap_or_else(PoisonError::into_inner) = None;
    }
}
