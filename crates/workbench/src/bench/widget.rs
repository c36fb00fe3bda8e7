//! The bench in the window: the camera's and the handles' state, and the widget itself.

use egui::{EventFilter, Key, PointerButton, Pos2, Response, Sense, Ui};
use seamwright_geometry::{Bounds, Point, Vector};

use super::action::{BenchAction, DragPhase, Mode};
use super::camera::{Camera, StandardView};
use super::glide::Glide;
use super::handles::{Drag, Handle, Handles};
use super::overlay::{Overlay, PICKED_RADIUS};
use super::painter::{Frame, ViewportPainter};
use super::pick::{self, SurfaceHit};
use super::scene::{MeshId, Scene};
use super::seat::SeatMemory;
use super::style::BenchStyle;
use super::view::View;

/// The bench. It keeps the camera and the drag that is going on, and nothing of the project.
///
/// - Drag with the left button: a handle, or else turn about the place that was grabbed.
/// - Drag with the right or middle button, or with Shift: shift the view.
/// - Wheel or pinch: come nearer to what is under the pointer, or go away from it. Double click: bring it to the middle.
/// - Ctrl while a handle is dragged: whole millimetres, steps of 5 degrees. Escape: as it was.
/// - With the bench focused, arrows turn (with Shift: shift), plus and minus come nearer and go away.
pub struct Bench {
    painter: Box<dyn ViewportPainter>,
    camera: Camera,
    glide: Option<Glide>,
    gesture: Gesture,
    hovered: Option<MeshId>,
    seat: SeatMemory,
    aspect: f64,
    /// Whether the camera jumps instead of gliding.
    pub reduce_motion: bool,
}

/// What the pressed button does.
#[derive(Debug)]
enum Gesture {
    Nothing,
    Handle(Box<Drag>),
    Orbit {
        pivot: Point,
    },
    Pan {
        held: Point,
    },
    /// A drag that was given up: the button is still down.
    GivenUp,
}

/// The bench's name for screen readers, and for tests.
pub const ACCESSIBLE_NAME: &str = "Bench: 3D view";

const ORBIT_DEG_PER_POINT: f64 = 0.35;
const KEY_ORBIT_DEG: f64 = 7.5;
const KEY_PAN_POINTS: f64 = 40.0;
const KEY_ZOOM: f64 = 1.25;
/// How fast a turn of the wheel nears: a notch of 50 points makes about an eighth.
const ZOOM_PER_POINT: f64 = 0.0025;

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
            aspect: 1.5,
            reduce_motion: false,
        }
    }

    /// Shows `scene` in the room that is left in `ui`; returns what the user did.
    pub fn show(&mut self, ui: &mut Ui, scene: &Scene, mode: Mode, style: &BenchStyle) -> Vec<BenchAction> {
        let (rect, response) = ui.allocate_exact_size(ui.available_size(), Sense::click_and_drag());
        response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Canvas, true, ACCESSIBLE_NAME));
        self.aspect = View { camera: self.camera, rect }.aspect();
        if response.contains_pointer() {
            let context = ui.ctx().clone();
            pick::prepare(scene, move || context.request_repaint());
        }

        let mut scene = scene.clone();
        if let Some(cut) = &mut scene.cut {
            self.seat.apply(cut);
        }
        let scene = &scene;
        let before = self.camera;
        let mut actions = Vec::new();
        self.follow_glide(ui);
        self.follow_drag(ui, &response, scene, &mut actions);
        self.follow_wheel(ui, &response, scene);
        self.follow_keys(ui, &response, mode, &mut actions);
        let aim = self.follow_pointer(ui, &response, scene, mode, &mut actions);
        if self.camera != before {
            self.aspect = View { camera: self.camera, rect }.aspect();
            actions.push(BenchAction::CameraMoved);
        }
        if !actions.is_empty() {
            // What the actions change shows in the next frame.
            ui.ctx().request_repaint();
        }

        self.painter.paint(ui, rect, Frame { scene: scene.clone(), camera: self.camera, style: *style });
        self.draw_over(ui, &response, scene, mode, style, aim);
        actions
    }

    /// Where the bench is looked at from.
    pub fn camera(&self) -> Camera {
        self.camera
    }

    /// Looks from elsewhere, at once.
    pub fn set_camera(&mut self, camera: Camera) {
        self.glide = None;
        self.camera = camera;
    }

    /// Goes round to a known side.
    pub fn look_from(&mut self, view: StandardView) {
        self.go(self.goal().seen_from(view));
    }

    /// Goes round to a known side, and comes near until `bounds` fills the picture.
    pub fn look_at_from(&mut self, bounds: &Bounds, view: StandardView) {
        self.go(self.goal().seen_from(view).framing(bounds, self.aspect));
    }

    /// Comes near, or goes away, until `bounds` fills the picture.
    pub fn frame(&mut self, bounds: &Bounds) {
        self.go(self.goal().framing(bounds, self.aspect));
    }

    /// Comes nearer by `factor`; less than 1 goes away.
    pub fn zoom(&mut self, factor: f64) {
        let goal = self.goal();
        self.go(goal.zoomed(&goal.target, factor));
    }

    /// Whether a handle is being dragged.
    pub fn is_dragging_handle(&self) -> bool {
        matches!(self.gesture, Gesture::Handle(_))
    }

    /// Gives back what belongs to the graphics library. Call it while the window is still there.
    pub fn shutdown(&mut self) {
        self.painter.shutdown();
    }

    /// Where the camera is on its way to, or is.
    fn goal(&self) -> Camera {
        self.glide.as_ref().map_or(self.camera, Glide::goal)
    }

    fn go(&mut self, to: Camera) {
        if self.reduce_motion {
            self.set_camera(to);
        } else {
            self.glide = Some(Glide::new(self.camera, to));
        }
    }

    fn view(&self, response: &Response) -> View {
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

    fn follow_drag(&mut self, ui: &Ui, response: &Response, scene: &Scene, actions: &mut Vec<BenchAction>) {
        let (pressed_at, snap, shift, escape) = ui
            .input(|i| (i.pointer.press_origin(), i.modifiers.command, i.modifiers.shift, i.key_pressed(Key::Escape)));
        if response.drag_started()
            && let Some(at) = pressed_at
        {
            self.glide = None;
            let primary = response.drag_started_by(PointerButton::Primary);
            self.gesture = self.begin(response, scene, at, primary && !shift);
            if let (Gesture::Handle(drag), Some(_)) = (&self.gesture, &scene.cut) {
                actions.push(dragged(drag, drag.start, DragPhase::Begun));
            }
        }
        let view = self.view(response);
        let pointer = response.interact_pointer_pos();
        // Also when the window lost the pointer, or the keyboard, in the middle of it.
        let ended = !response.dragged();
        match &mut self.gesture {
            Gesture::Handle(drag) if escape || scene.cut.is_none() => {
                actions.push(dragged(drag, drag.start, DragPhase::Cancelled));
                self.gesture = Gesture::GivenUp;
            }
            Gesture::Handle(drag) => {
                let before = drag.latest();
                let plane = pointer.map_or(before, |at| drag.follow(&view, at, snap));
                if ended {
                    if drag.handle != Handle::Move
                        && let Some(cut) = &scene.cut
                    {
                        self.seat.keep(drag.seat(), plane, cut);
                    }
                    actions.push(dragged(drag, plane, DragPhase::Released));
                } else if plane != before {
                    actions.push(dragged(drag, plane, DragPhase::Moved));
                }
            }
            Gesture::Orbit { pivot } => {
                let by = response.drag_delta();
                let (heading, elevation) = (-f64::from(by.x), f64::from(by.y));
                self.camera =
                    self.camera.orbited(pivot, heading * ORBIT_DEG_PER_POINT, elevation * ORBIT_DEG_PER_POINT);
            }
            Gesture::Pan { held } => {
                if let Some(at) = pointer {
                    self.camera.target += *held - view.place_at_depth_of(held, at);
                }
            }
            Gesture::Nothing | Gesture::GivenUp => {}
        }
        if ended {
            self.gesture = Gesture::Nothing;
        }
    }

    fn begin(&self, response: &Response, scene: &Scene, at: Pos2, may_grab: bool) -> Gesture {
        let view = self.view(response);
        if may_grab
            && let Some(cut) = scene.cut.as_ref().filter(|c| c.held)
            && let Some(handle) = Handles::of(cut, &view, None).under(&view, at)
        {
            return Gesture::Handle(Box::new(Drag::begin(handle, cut, &view, at)));
        }
        let grabbed = pick::pick(scene, &view.ray(at), true).map(|hit| placed(scene, &hit));
        if may_grab {
            // Beside the model it turns about the middle of what is seen.
            Gesture::Orbit { pivot: grabbed.unwrap_or(self.camera.target) }
        } else {
            Gesture::Pan { held: view.place_at_depth_of(&grabbed.unwrap_or(self.camera.target), at) }
        }
    }

    fn follow_wheel(&mut self, ui: &Ui, response: &Response, scene: &Scene) {
        let Some(at) = response.hover_pos() else { return };
        let (scrolled, pinched) = ui.input(|i| (f64::from(i.smooth_scroll_delta().y), f64::from(i.zoom_delta())));
        let factor = (scrolled * ZOOM_PER_POINT).exp() * pinched;
        if factor == 1.0 {
            return;
        }
        self.glide = None;
        let view = self.view(response);
        let fixed = pick::pick(scene, &view.ray(at), false)
            .map(|hit| placed(scene, &hit))
            .unwrap_or_else(|| view.place_at_depth_of(&self.camera.target, at));
        self.camera = self.camera.zoomed(&fixed, factor);
    }

    fn follow_keys(&mut self, ui: &Ui, response: &Response, mode: Mode, actions: &mut Vec<BenchAction>) {
        if response.clicked() || response.drag_started() {
            response.request_focus();
        }
        let given_up = matches!(self.gesture, Gesture::GivenUp);
        if mode != Mode::Look && !given_up && ui.input(|i| i.key_pressed(Key::Escape)) {
            actions.push(BenchAction::ModeLeft);
        }
        if !response.has_focus() {
            return;
        }
        let filter = EventFilter { horizontal_arrows: true, vertical_arrows: true, ..Default::default() };
        ui.memory_mut(|m| m.set_focus_lock_filter(response.id, filter));
        let (right, up, nearer, shift) = ui.input(|i| {
            let presses = |key: Key| i.num_presses(key) as f64;
            (
                presses(Key::ArrowRight) - presses(Key::ArrowLeft),
                presses(Key::ArrowUp) - presses(Key::ArrowDown),
                presses(Key::Plus) + presses(Key::Equals) - presses(Key::Minus),
                i.modifiers.shift,
            )
        });
        if right == 0.0 && up == 0.0 && nearer == 0.0 {
            return;
        }
        let camera = self.goal();
        let camera = if shift && (right != 0.0 || up != 0.0) {
            let mm = self.view(response).mm_per_point(&camera.target) * KEY_PAN_POINTS;
            camera.panned(right * mm, up * mm)
        } else {
            camera.orbited(&camera.target, right * KEY_ORBIT_DEG, up * KEY_ORBIT_DEG)
        };
        self.set_camera(camera.zoomed(&camera.target, KEY_ZOOM.powf(nearer)));
    }

    /// What hovering and clicking mean. Returns the place that a click would take.
    fn follow_pointer(
        &mut self,
        ui: &Ui,
        response: &Response,
        scene: &Scene,
        mode: Mode,
        actions: &mut Vec<BenchAction>,
    ) -> Option<SurfaceHit> {
        let view = self.view(response);
        let over = response.hover_pos().filter(|_| matches!(self.gesture, Gesture::Nothing));
        let handle = over.and_then(|at| handle_under(scene, &view, at));
        let hit = over.filter(|_| handle.is_none()).and_then(|at| pick::pick(scene, &view.ray(at), false));
        let hovered = hit.map(|h| h.id);
        if hovered != self.hovered && matches!(self.gesture, Gesture::Nothing) {
            self.hovered = hovered;
            actions.push(BenchAction::MeshHovered(hovered));
        }
        if response.clicked_by(PointerButton::Primary)
            && handle.is_none()
            && let Some(at) = response.interact_pointer_pos()
        {
            let hit = hit.or_else(|| pick::pick(scene, &view.ray(at), true));
            let picked = picked_under(scene, &view, at);
            match (mode, hit) {
                (Mode::Look, hit) => {
                    let add = ui.input(|i| i.modifiers.command);
                    actions.push(BenchAction::MeshClicked { hit, add });
                }
                (Mode::PickPoints, _) if picked.is_some() => actions.extend(picked.map(BenchAction::PickUndone)),
                (Mode::PickPoints, Some(hit)) => actions.push(BenchAction::PointPicked(hit)),
                (Mode::PlaceByClick, Some(hit)) => actions.push(BenchAction::SurfaceClicked(hit)),
                (Mode::PickPoints | Mode::PlaceByClick, None) => {}
            }
        }
        if mode == Mode::Look
            && response.double_clicked_by(PointerButton::Primary)
            && let Some(hit) = hit
        {
            self.go(Camera { target: placed(scene, &hit), ..self.goal() });
        }
        hit
    }

    fn draw_over(
        &self,
        ui: &Ui,
        response: &Response,
        scene: &Scene,
        mode: Mode,
        style: &BenchStyle,
        aim: Option<SurfaceHit>,
    ) {
        let view = self.view(response);
        let overlay = Overlay { painter: ui.painter_at(response.rect), view, style };
        overlay.compass();
        overlay.words(scene);
        let pointer = response.hover_pos();
        let undone = pointer.filter(|_| mode == Mode::PickPoints).and_then(|at| picked_under(scene, &view, at));
        overlay.picked(&scene.picked, undone);
        if let Gesture::Orbit { pivot } = &self.gesture {
            overlay.pivot(pivot);
        }
        let drag = match &self.gesture {
            Gesture::Handle(drag) => Some(drag.as_ref()),
            _ => None,
        };
        if let Some(cut) = scene.cut.as_ref().filter(|c| c.held) {
            let handles = Handles::of(cut, &view, drag);
            let free = matches!(self.gesture, Gesture::Nothing);
            let hovered = pointer.filter(|_| free).and_then(|at| handles.under(&view, at));
            overlay.handles(cut, &handles, hovered, drag);
            if drag.is_some() {
                ui.ctx().set_cursor_icon(egui::CursorIcon::Grabbing);
            } else if hovered.is_some() {
                ui.ctx().set_cursor_icon(egui::CursorIcon::Grab);
            }
        }
        if mode != Mode::Look
            && let Some(hit) = aim.filter(|_| undone.is_none())
        {
            overlay.aim(&hit, &offset_of(scene, hit.id), mode == Mode::PlaceByClick);
            ui.ctx().set_cursor_icon(egui::CursorIcon::Crosshair);
        }
        if let Some(text) = self.painter.trouble() {
            overlay.hint(&text);
        }
    }
}

fn dragged(drag: &Drag, plane: seamwright_geometry::Plane, phase: DragPhase) -> BenchAction {
    BenchAction::CutDragged { plane, handle: drag.handle, phase }
}

fn handle_under(scene: &Scene, view: &View, at: Pos2) -> Option<Handle> {
    let cut = scene.cut.as_ref().filter(|c| c.held)?;
    Handles::of(cut, view, None).under(view, at)
}

fn picked_under(scene: &Scene, view: &View, at: Pos2) -> Option<usize> {
    let reach = PICKED_RADIUS + 4.0;
    let distance = |p: &Point| view.project(p).map_or(f32::INFINITY, |q| q.distance(at));
    (0..scene.picked.len())
        .filter(|&i| distance(&scene.picked[i]) <= reach)
        .min_by(|&a, &b| distance(&scene.picked[a]).total_cmp(&distance(&scene.picked[b])))
}

/// Where a hit is drawn: its mesh's own place, and the offset of the exploded view.
fn placed(scene: &Scene, hit: &SurfaceHit) -> Point {
    hit.point + offset_of(scene, hit.id)
}

fn offset_of(scene: &Scene, id: MeshId) -> Vector {
    scene.drawn.iter().find(|d| d.id == id).map_or_else(Vector::zeros, |d| d.offset)
}
