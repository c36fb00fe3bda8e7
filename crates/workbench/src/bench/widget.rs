//! The bench in the window: the camera's and the handles' state, and the widget itself.

use egui::{Sense, Ui};
use seamwright_geometry::Bounds;

use super::action::{BenchAction, Mode};
use super::camera::{Camera, StandardView};
use super::painter::{Frame, ViewportPainter};
use super::scene::Scene;
use super::style::BenchStyle;
use super::view::View;

/// The bench. It keeps the camera and the drag that is going on, and nothing of the project.
pub struct Bench {
    painter: Box<dyn ViewportPainter>,
    camera: Camera,
    aspect: f64,
    /// Whether the camera jumps instead of gliding.
    pub reduce_motion: bool,
}

impl Bench {
    /// A bench that is painted by `painter`.
    pub fn new(painter: Box<dyn ViewportPainter>) -> Bench {
        Bench { painter, camera: Camera::default(), aspect: 1.5, reduce_motion: false }
    }

    /// Shows `scene` in the room that is left in `ui`; returns what the user did.
    pub fn show(&mut self, ui: &mut Ui, scene: &Scene, mode: Mode, style: &BenchStyle) -> Vec<BenchAction> {
        let (rect, response) = ui.allocate_exact_size(ui.available_size(), Sense::click_and_drag());
        response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Canvas, true, ACCESSIBLE_NAME));
        let view = View { camera: self.camera, rect };
        self.aspect = view.aspect();
        let _ = mode;
        self.painter.paint(ui, rect, Frame { scene: scene.clone(), camera: self.camera, style: *style });
        Vec::new()
    }

    /// Where the bench is looked at from.
    pub fn camera(&self) -> Camera {
        self.camera
    }

    /// Looks from elsewhere at once.
    pub fn set_camera(&mut self, camera: Camera) {
        self.camera = camera;
    }

    /// Goes round to a known side.
    pub fn look_from(&mut self, view: StandardView) {
        self.camera = self.camera.seen_from(view);
    }

    /// Comes near, or goes away, until `bounds` fills the picture.
    pub fn frame(&mut self, bounds: &Bounds) {
        self.camera = self.camera.framing(bounds, self.aspect);
    }

    /// Gives back what belongs to the graphics library. Call it while the window is still there.
    pub fn shutdown(&mut self) {
        self.painter.shutdown();
    }
}

/// The bench's name for screen readers, and for tests.
pub const ACCESSIBLE_NAME: &str = "Bench: 3D view";
