//! The bench in the window: the camera's and the handles' state, and the widget itself.

use std::sync::Arc;

use egui::{Pos2, Rect, Response, Sense, Ui};
use seamwright_geometry::{Bounds, Detail, Plane, Point};

use super::action::{BenchAction, Mode};
use super::camera::{Camera, StandardView};
use super::detail;
use super::gestures::{Gesture, offset_of, picked_under};
use super::glide::Glide;
use super::handles::{Handle, Handles};
use super::magnifier::Magnifier;
use super::overlay::Overlay;
use super::painter::{Frame, ViewportPainter};
use super::pick::{self, SurfaceHit};
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
/// - Drag with Ctrl beside the handles: a box; what has its middle in it is added to the selection.
/// - Ctrl while a handle is dragged: whole millimetres, steps of 5 degrees. Shift: not drawn to details. Escape: as it was.
/// - With the bench focused, arrows turn (with Shift: shift), plus and minus come nearer and go away.
pub struct Bench {
    pub(super) painter: Box<dyn ViewportPainter>,
    pub(super) camera: Camera,
    pub(super) glide: Option<Glide>,
    pub(super) gesture: Gesture,
    pub(super) hovered: Option<MeshId>,
    pub(super) seat: SeatMemory,
    /// Width over height, once it was shown.
    aspect: Option<f64>,
    /// What is to be framed as soon as the aspect is known.
    waiting: Option<Bounds>,
    /// The camera and the cut of the frame before.
    painted: Option<(Camera, Option<Plane>)>,
    /// When one of them last moved, by egui's clock, s.
    moved_at: Option<f64>,
    pub(super) magnifier: Magnifier,
    /// The handle that was dragged last.
    pub(super) last_handle: Handle,
    /// Where the handles of the cut hung last: their seat, and where their numbers stand on the screen.
    hung: Option<(Point, [Pos2; 3])>,
    /// What words cover in the picture.
    pub(super) covered: Vec<Rect>,
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
            hovered: None,
            seat: SeatMemory::default(),
            aspect: None,
            waiting: None,
            painted: None,
            moved_at: None,
            magnifier: Magnifier::default(),
            last_handle: Handle::Move,
            hung: None,
            covered: Vec::new(),
            reduce_motion: false,
            magnifies: true,
        }
    }

    /// Shows `scene` in the room that is left in `ui`; returns what the user did.
    pub fn show(&mut self, ui: &mut Ui, scene: &Scene, mode: Mode, style: &BenchStyle) -> Vec<BenchAction> {
        let (rect, response) = ui.allocate_exact_size(ui.available_size(), Sense::click_and_drag());
        response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Canvas, true, ACCESSIBLE_NAME));
        let aspect = View { camera: self.camera, rect }.aspect();
        self.aspect = Some(aspect);
        if let Some(bounds) = self.waiting.take() {
            self.set_camera(self.camera.framing(&bounds, aspect));
        }
        if response.contains_pointer() {
            let context = ui.ctx().clone();
            pick::prepare(scene, move || context.request_repaint());
        }

        let mut scene = scene.clone();
        if let Some(cut) = &mut scene.cut {
            self.seat.apply(cut);
        }
        let before = self.camera;
        let mut actions = Vec::new();
        self.follow_glide(ui);
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
        let scene = &scene;
        let moving = self.is_moving(ui, scene);
        self.painter.paint(
            ui,
            rect,
            Frame { scene: scene.clone(), camera: self.camera, style: *style, moving, inset: false },
        );
        self.draw_over(ui, &response, scene, mode, style, aim);
        let pointer = if response.dragged() { response.interact_pointer_pos() } else { response.hover_pos() };
        self.magnify(ui, &self.view(&response), pointer, (scene, mode), aim, style);
        actions
    }

    /// Where the bench is looked at from.
    pub fn camera(&self) -> Camera {
        self.camera
    }

    /// Looks from elsewhere, at once.
    pub fn set_camera(&mut self, camera: Camera) {
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

    /// The detail that the cut is drawn to while it is dragged.
    fn drawn_to<'a>(&self, scene: &'a Scene) -> Option<&'a Detail> {
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

    /// Gives back what belongs to the graphics library. Call it while the window is still there.
    pub fn shutdown(&mut self) {
        self.painter.shutdown();
    }

    /// Where the camera is on its way to, or is.
    pub(super) fn goal(&self) -> Camera {
        self.glide.as_ref().map_or(self.camera, Glide::goal)
    }

    fn frame_from(&mut self, camera: Camera, bounds: &Bounds) {
        match self.aspect {
            Some(aspect) => self.go(camera.framing(bounds, aspect)),
            None => {
                self.camera = camera;
                self.waiting = Some(*bounds);
            }
        }
    }

    pub(super) fn go(&mut self, to: Camera) {
        if self.aspect.is_none() {
            self.camera = to;
        } else if self.reduce_motion {
            self.set_camera(to);
        } else {
            self.glide = Some(Glide::new(self.camera, to));
        }
    }

    pub(super) fn view(&self, response: &Response) -> View {
        View { camera: self.camera, rect: response.rect }
    }

    fn follow_glide(&mut self, ui: &Ui) {
        let Some(glide) = &mut self.glide else { return };
        let (camera, arrived) = glide.at(ui.input(|i| i.time));
        self.camera = camera;
        if arrived {
            self.glide = None;
        } else {
            ui.ctx().request_repaint();
        }
    }

    fn draw_over(
        &mut self,
        ui: &Ui,
        response: &Response,
        scene: &Scene,
        mode: Mode,
        style: &BenchStyle,
        aim: Option<SurfaceHit>,
    ) {
        let view = self.view(response);
        let overlay = Overlay::new(ui.painter_at(response.rect), view, style);
        overlay.compass();
        overlay.words(scene);
        let pointer = response.hover_pos();
        let undone = pointer.filter(|_| mode == Mode::PickPoints).and_then(|at| picked_under(scene, &view, at));
        overlay.residuals(&scene.residuals);
        overlay.picked(&scene.picked, undone);
        if let Gesture::Orbit { pivot } = &self.gesture {
            overlay.pivot(pivot);
        }
        if let (Gesture::Box { from }, Some(to)) = (&self.gesture, response.interact_pointer_pos()) {
            overlay.selection_box(Rect::from_two_pos(*from, to));
        }
        let drag = match &self.gesture {
            Gesture::Handle(drag) => Some(drag.as_ref()),
            _ => None,
        };
        self.hung = None;
        if let Some(cut) = scene.cut.as_ref().filter(|c| c.held) {
            let handles = Handles::of(cut, &view, drag);
            let numbers = [Handle::Move, Handle::TiltFirst, Handle::TiltSecond]
                .map(|handle| overlay.number_place(&handles, handle));
            self.hung = Some((handles.seat, numbers));
            let free = matches!(self.gesture, Gesture::Nothing);
            let hovered = pointer.filter(|_| free).and_then(|at| handles.under(&view, at));
            overlay.band(cut, &handles, drag);
            overlay.handles(cut, &handles, hovered, drag);
            if let Some(drag) = drag {
                let drawn = self.drawn_to(scene);
                drawn.into_iter().for_each(|detail| overlay.detail_dots(detail));
                let mut said: Vec<_> =
                    drawn.map(|detail| (detail::drawn_words(detail, drag), style.accent)).into_iter().collect();
                said.extend(
                    scene
                        .cut_words
                        .iter()
                        .map(|(text, is_warning)| (text.clone(), if *is_warning { style.warning } else { style.ink })),
                );
                overlay.beneath_number(&handles, drag, &said);
            }
            // What can stand elsewhere comes after what cannot.
            overlay.band_said(cut, &handles, hovered, drag);
            if drag.is_some() {
                overlay.sides_said(cut, &handles);
                overlay.hint(if scene.details.is_empty() {
                    text::bench::DRAG_KEYS
                } else {
                    text::bench::DRAG_KEYS_DETAILS
                });
            }
            if drag.is_some() {
                ui.ctx().set_cursor_icon(egui::CursorIcon::Grabbing);
            } else if hovered.is_some() {
                ui.ctx().set_cursor_icon(egui::CursorIcon::Grab);
            }
        }
        if let Some(bore) = &scene.bore {
            let drag = match &self.gesture {
                Gesture::Bore(drag) => Some(drag.as_ref()),
                _ => None,
            };
            let free = matches!(self.gesture, Gesture::Nothing);
            let hovered = pointer.filter(|_| free).and_then(|at| bore.under(&view, at));
            overlay.bore(bore, hovered, drag);
            if drag.is_some() {
                ui.ctx().set_cursor_icon(egui::CursorIcon::Grabbing);
            } else if hovered.is_some() {
                ui.ctx().set_cursor_icon(egui::CursorIcon::Grab);
            }
        }
        if mode != Mode::Look
            && let Some(hit) = aim.filter(|_| undone.is_none())
        {
            let offset = offset_of(scene, hit.id);
            if let Some(part) = &scene.cuts_across {
                overlay.cut_to_be(&hit, &offset, part);
            }
            overlay.aim(&hit, &offset, mode == Mode::PlaceByClick);
            ui.ctx().set_cursor_icon(egui::CursorIcon::Crosshair);
        }
        if let Some(text) = self.painter.trouble() {
            overlay.hint(&text);
        }
        self.covered = overlay.into_taken();
    }
}
