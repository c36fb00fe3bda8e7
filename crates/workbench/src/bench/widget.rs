//! The bench in the window: the camera's and the handles' state, and the widget itself.

use std::sync::Arc;

use egui::{Pos2, Rect, Response, Sense, Ui};
use seamwright_geometry::{Bounds, Detail, Plane, Point};

use super::action::{BenchAction, Mode};
use super::camera::Camera;
use super::detail;
use super::follow::Follow;
use super::gestures::Gesture;
use super::glide::Glide;
use super::handles::Handle;
use super::magnifier::Magnifier;
use super::marks::Marks;
use super::painter::{Frame, ViewportPainter};
use super::pick;
use super::pointed;
use super::said::Kept;
use super::scene::{MeshId, Scene};
use super::seat::SeatMemory;
use super::style::BenchStyle;
use super::view::View;
use crate::text;

/// The bench. It keeps the camera and the drag that is going on, and nothing of the project.
///
/// - Drag with the left button: a handle, or else turn about the place that was grabbed.
/// - Drag with the right or middle button, or with Shift: shift the view.
/// - Wheel or pinch: come nearer to what is under the pointer, or go away from it. Double click: bring it to the middle.
/// - Click with the right button: what can be done with what is there.
/// - Drag with Ctrl beside the handles: a box; what has its middle in it is added to the selection.
/// - Ctrl while a handle is dragged: whole millimetres, steps of 5 degrees. Shift: not drawn to details. Escape: as it was.
/// - With the bench focused, arrows turn (with Shift: shift), plus and minus come nearer and go away.
pub struct Bench {
    pub(super) painter: Box<dyn ViewportPainter>,
    pub(super) camera: Camera,
    pub(super) glide: Option<Glide>,
    pub(super) gesture: Gesture,
    pub(super) follow: Follow,
    pub(super) hovered: Option<MeshId>,
    pub(super) seat: SeatMemory,
    /// Where it stands on the screen, once it was shown.
    pub(super) rect: Option<Rect>,
    /// What is to be framed as soon as the aspect is known.
    pub(super) waiting: Option<Bounds>,
    /// The camera and the cut of the frame before.
    painted: Option<(Camera, Option<Plane>)>,
    /// When one of them last moved, by egui's clock, s.
    moved_at: Option<f64>,
    pub(super) magnifier: Magnifier,
    /// On which spots marks of pieces stand.
    marks: Marks,
    /// The handle that was dragged last.
    pub(super) last_handle: Handle,
    /// Where the handles of the cut hung last: their seat, and where their numbers stand on the screen.
    pub(super) hung: Option<(Point, [Pos2; 3])>,
    /// What words cover in the picture.
    pub(super) covered: Vec<Rect>,
    /// Where what is said of a dragged cut stood in the frame before.
    pub(super) said: Kept,
    /// So many frames of a drag are still to come in which it finds its place afresh.
    pub(super) said_afresh: u8,
    /// What lies over the bench and is none of it.
    pub(super) overlaid: Vec<Rect>,
    /// Whether the camera jumps instead of gliding.
    pub reduce_motion: bool,
    /// Whether a magnified piece is shown beside the pointer while points are picked or a cut is dragged.
    pub magnifies: bool,
}

/// What has not moved for this long rests, s: all faces are drawn then, and a hand that only hesitates does not wait for
/// them. Our own choice, no source.
pub(super) const REST_S: f64 = 0.2;

/// The bench's name for screen readers, and for tests.
pub const ACCESSIBLE_NAME: &str = text::bench::VIEW;

impl std::fmt::Debug for Bench {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Bench").field("camera", &self.camera).field("gesture", &self.gesture).finish_non_exhaustive()
    }
}

impl Bench {
    /// A bench that is painted by `painter`.
    pub fn new(painter: Box<dyn ViewportPainter>) -> Bench {
        Bench {
            painter,
            camera: Camera::default(),
            glide: None,
            gesture: Gesture::Nothing,
            follow: Follow::default(),
            hovered: None,
            seat: SeatMemory::default(),
            rect: None,
            waiting: None,
            painted: None,
            moved_at: None,
            magnifier: Magnifier::default(),
            marks: Marks::default(),
            last_handle: Handle::Move,
            hung: None,
            covered: Vec::new(),
            said: Kept::default(),
            said_afresh: 0,
            overlaid: Vec::new(),
            reduce_motion: false,
            magnifies: true,
        }
    }

    /// Shows `scene` in the room that is left in `ui`; returns what the user did.
    pub fn show(&mut self, ui: &mut Ui, scene: &Scene, mode: Mode, style: &BenchStyle) -> Vec<BenchAction> {
        let (rect, response) = ui.allocate_exact_size(ui.available_size(), Sense::click_and_drag());
        response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Canvas, true, ACCESSIBLE_NAME));
        self.rect = Some(rect);
        let aspect = View { camera: self.camera, rect }.aspect();
        if let Some(bounds) = self.waiting.take() {
            self.set_camera(self.camera.framing(&bounds, aspect));
        }
        // Marks of what something else stands before are told from those in sight by what lies under them.
        let marked = scene.labels.iter().any(|label| label.of.is_some());
        if response.contains_pointer() || scene.pointed.is_some() || marked {
            let context = ui.ctx().clone();
            pick::prepare(scene, move || context.request_repaint());
        }

        let mut scene = scene.clone();
        if let Some(cut) = &mut scene.cut {
            self.seat.apply(cut);
        }
        self.follow_pieces(&scene, &self.view(&response));
        let before = self.camera;
        let chases = self.glide.as_ref().is_some_and(Glide::is_chase);
        self.follow_glide(ui);
        // Nobody looked elsewhere: the pieces moved.
        let before = if chases { self.camera } else { before };
        let mut actions = Vec::new();
        self.follow_drag(ui, &response, &scene, mode, &mut actions);
        self.follow_wheel(ui, &response, &scene);
        self.follow_keys(ui, &response, mode, &mut actions);
        let aim = self.follow_pointer(ui, &response, &scene, mode, &mut actions);
        if self.camera != before {
            actions.push(BenchAction::CameraMoved);
        }
        if !actions.is_empty() {
            // What the actions change shows in the next frame.
            ui.ctx().request_repaint();
        }

        if let Some(detail) = self.drawn_to(&scene) {
            scene.pencil = Arc::new(scene.pencil.iter().cloned().chain(detail::lines(detail)).collect());
        }
        // As seen from where the camera is going, so that nothing changes on the way.
        let uncovered = pointed::uncover(&mut scene, &View { camera: self.goal(), rect });
        let moving = self.is_moving(ui, &scene);
        self.marks.stand(&mut scene, &View { camera: self.camera, rect }, moving);
        let scene = &scene;
        self.painter.paint(
            ui,
            rect,
            Frame { scene: scene.clone(), camera: self.camera, style: *style, moving, inset: false },
        );
        self.draw_over(ui, &response, (scene, mode), style, aim, uncovered);
        let pointer = if response.dragged() { response.interact_pointer_pos() } else { response.hover_pos() };
        self.magnify(ui, &self.view(&response), pointer, (scene, mode), aim, style);
        actions
    }

    /// The detail that the cut is drawn to while it is dragged.
    pub(super) fn drawn_to<'a>(&self, scene: &'a Scene) -> Option<&'a Detail> {
        match &self.gesture {
            Gesture::Handle(drag) => scene.details.get(drag.drawn_to()?),
            _ => None,
        }
    }

    /// The handle of the cut that is dragged, else the arrow, whatever was dragged before: a number that is typed never tilts
    /// a cut that is not just being tilted. Where its number stands on the screen, and the place that a tilt turns about.
    /// `None` while a cut has no handles.
    pub fn handle_in_hand(&self) -> Option<(Handle, Pos2, Point)> {
        let (seat, numbers) = self.hung?;
        let handle = if self.is_dragging_handle() { self.last_handle } else { Handle::Move };
        Some((handle, numbers[handle as usize], seat))
    }

    /// Where the handles of the cut hung is no matter any more: another is in hand.
    pub fn forget_handles(&mut self) {
        self.hung = None;
    }

    /// A drag of the cut that goes on is left as it was; the button may stay down.
    pub fn give_up_drag(&mut self) {
        if let Gesture::Handle(_) = self.gesture {
            self.gesture = Gesture::GivenUp;
        }
    }

    /// Whether a handle is being dragged.
    pub fn is_dragging_handle(&self) -> bool {
        matches!(self.gesture, Gesture::Handle(_) | Gesture::Bore(_))
    }

    /// Whether the camera or the cut moves or did just now; looks again once it should rest.
    fn is_moving(&mut self, ui: &Ui, scene: &Scene) -> bool {
        let now = ui.input(|i| i.time);
        let painted = (self.camera, scene.cut.as_ref().map(|cut| cut.plane));
        if self.painted.replace(painted).is_some_and(|before| before != painted) {
            self.moved_at = Some(now);
        }
        let Some(left) = self.moved_at.map(|at| at + REST_S - now).filter(|left| *left > 0.0) else {
            self.moved_at = None;
            return false;
        };
        ui.ctx().request_repaint_after(std::time::Duration::from_secs_f64(left));
        true
    }

    /// Tells where other things lie over the bench: what is said in the picture keeps clear of them, where it can.
    pub fn keep_clear_of(&mut self, overlaid: Vec<Rect>) {
        self.overlaid = overlaid;
    }

    /// Gives back what belongs to the graphics library. Call it while the window is still there.
    pub fn shutdown(&mut self) {
        self.painter.shutdown();
    }

    pub(super) fn view(&self, response: &Response) -> View {
        View { camera: self.camera, rect: response.rect }
    }
}
