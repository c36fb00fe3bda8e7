//! What the mouse does on the bench.

use egui::{Key, PointerButton, Pos2, Rect, Response, Ui};
use seamwright_geometry::{Plane, Point, Vector};

use super::action::{BenchAction, DragPhase, Mode};
use super::bore::BoreDrag;
use super::camera::Camera;
use super::drag::Drag;
use super::handles::{Handle, Handles};
use super::overlay::PICKED_RADIUS;
use super::pick::{self, SurfaceHit};
use super::scene::{MeshId, Scene};
use super::view::View;
use super::widget::Bench;

/// What the pressed button does.
#[derive(Debug)]
pub(super) enum Gesture {
    Nothing,
    Handle(Box<Drag>),
    Bore(Box<BoreDrag>),
    Orbit {
        pivot: Point,
    },
    Pan {
        held: Point,
    },
    /// A box is drawn from here; what has its middle in it is taken.
    Box {
        from: Pos2,
    },
    /// A drag that was given up: the button is still down.
    GivenUp,
}

/// A drag across a view of 1000 points turns the model nearly once round (our own choice, by hand).
const ORBIT_DEG_PER_POINT: f64 = 0.35;
/// How fast a turn of the wheel nears: a notch of 50 points makes about an eighth.
const ZOOM_PER_POINT: f64 = 0.0025;

impl Bench {
    pub(super) fn follow_drag(
        &mut self,
        ui: &Ui,
        response: &Response,
        scene: &Scene,
        mode: Mode,
        actions: &mut Vec<BenchAction>,
    ) {
        let (pressed_at, snap, shift, escape) = ui
            .input(|i| (i.pointer.press_origin(), i.modifiers.command, i.modifiers.shift, i.key_pressed(Key::Escape)));
        if response.drag_started()
            && let Some(at) = pressed_at
        {
            self.glide = None;
            let primary = response.drag_started_by(PointerButton::Primary);
            self.gesture = self.begin(response, scene, at, primary, shift);
            // Ctrl adds to the selection here as with a click; on a handle it snaps.
            if primary && snap && mode == Mode::Look && matches!(self.gesture, Gesture::Orbit { .. }) {
                self.gesture = Gesture::Box { from: at };
            }
            if let (Gesture::Handle(drag), Some(_)) = (&self.gesture, &scene.cut) {
                self.last_handle = drag.handle;
                actions.push(dragged(drag, drag.start, DragPhase::Begun));
            }
            if let (Gesture::Bore(drag), Some(_)) = (&self.gesture, &scene.bore) {
                actions.push(bore_dragged(drag, drag.start.clone(), DragPhase::Begun));
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
                let free = snap || shift || scene.details.is_empty();
                let plane = match pointer {
                    // What was seen last is what is made: details that came to light meanwhile draw nothing any more.
                    Some(at) if ended && drag.followed_to() == Some(at) => before,
                    Some(at) if free => drag.follow(&view, at, snap),
                    Some(at) => drag.follow_among(&view, at, &scene.details),
                    None => before,
                };
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
            Gesture::Bore(drag) if escape || scene.bore.is_none() => {
                actions.push(bore_dragged(drag, drag.start.clone(), DragPhase::Cancelled));
                self.gesture = Gesture::GivenUp;
            }
            Gesture::Bore(drag) => {
                let before = drag.latest().to_vec();
                let line = pointer.map_or_else(|| before.clone(), |at| drag.follow(&view, at, snap));
                if ended {
                    actions.push(bore_dragged(drag, line, DragPhase::Released));
                } else if line != before {
                    actions.push(bore_dragged(drag, line, DragPhase::Moved));
                }
            }
            Gesture::Orbit { pivot } => {
                let by = response.drag_delta();
                let [heading, elevation] =
                    [-f64::from(by.x), f64::from(by.y)].map(|points| points * ORBIT_DEG_PER_POINT);
                self.camera = self.camera.orbited(pivot, heading, elevation);
                self.follow.moved(|camera| camera.orbited(pivot, heading, elevation));
            }
            Gesture::Pan { held } => {
                if let Some(at) = pointer {
                    let by = *held - view.place_at_depth_of(held, at);
                    self.camera.target += by;
                    self.follow.moved(|camera| Camera { target: camera.target + by, ..camera });
                }
            }
            Gesture::Box { .. } if escape => self.gesture = Gesture::GivenUp,
            Gesture::Box { from } => {
                if let Some(to) = pointer.filter(|_| ended) {
                    let boxed = pick::within(scene, &view, Rect::from_two_pos(*from, to));
                    actions.push(BenchAction::Boxed(boxed));
                }
            }
            Gesture::Nothing | Gesture::GivenUp => {}
        }
        if ended {
            self.gesture = Gesture::Nothing;
        }
    }

    /// With Shift a handle is still taken, and follows the hand alone; all else is shifted.
    fn begin(&self, response: &Response, scene: &Scene, at: Pos2, may_grab: bool, shift: bool) -> Gesture {
        let view = self.view(response);
        if may_grab
            && let Some(cut) = scene.cut.as_ref().filter(|c| c.held)
            && let Some(handle) = Handles::of(cut, &view, None).under(&view, at)
        {
            return Gesture::Handle(Box::new(Drag::begin(handle, cut, &view, at)));
        }
        if may_grab
            && let Some(bore) = &scene.bore
            && let Some(handle) = bore.under(&view, at)
        {
            return Gesture::Bore(Box::new(BoreDrag::begin(handle, bore, &view, at)));
        }
        let grabbed = pick::pick(scene, &view.ray(at), true).map(|hit| placed(scene, &hit));
        if may_grab && !shift {
            // Beside the model it turns about the middle of what is seen.
            Gesture::Orbit { pivot: grabbed.unwrap_or(self.camera.target) }
        } else {
            Gesture::Pan { held: view.place_at_depth_of(&grabbed.unwrap_or(self.camera.target), at) }
        }
    }

    pub(super) fn follow_wheel(&mut self, ui: &Ui, response: &Response, scene: &Scene) {
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
        self.follow.forget();
    }

    /// What hovering and clicking mean. Returns the place that a click would take.
    pub(super) fn follow_pointer(
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
        let on_bore = over.and_then(|at| scene.bore.as_ref()?.under(&view, at));
        let free = handle.is_none() && on_bore.is_none();
        let hit = over.filter(|_| free).and_then(|at| pick::pick(scene, &view.ray(at), false));
        let hovered = hit.map(|h| h.id);
        if hovered != self.hovered && matches!(self.gesture, Gesture::Nothing) {
            self.hovered = hovered;
            actions.push(BenchAction::MeshHovered(hovered));
        }
        if response.clicked_by(PointerButton::Primary)
            && free
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
                (Mode::PickPoints | Mode::PlaceByClick, None) => actions.push(BenchAction::Missed),
            }
        }
        if response.clicked_by(PointerButton::Secondary)
            && let Some(at) = response.interact_pointer_pos()
        {
            let hit = hit.or_else(|| pick::pick(scene, &view.ray(at), true).filter(|_| free));
            actions.push(BenchAction::Asked { at, hit, on_handle: handle.is_some() });
        }
        if mode == Mode::Look
            && response.double_clicked_by(PointerButton::Primary)
            && let Some(hit) = hit
        {
            self.go(Camera { target: placed(scene, &hit), ..self.goal() });
        }
        hit
    }
}

fn dragged(drag: &Drag, plane: Plane, phase: DragPhase) -> BenchAction {
    BenchAction::CutDragged { plane, handle: drag.handle, seat: drag.seat, phase }
}

fn bore_dragged(drag: &BoreDrag, line: Vec<Point>, phase: DragPhase) -> BenchAction {
    BenchAction::BoreDragged { line, handle: drag.handle, phase }
}

fn handle_under(scene: &Scene, view: &View, at: Pos2) -> Option<Handle> {
    let cut = scene.cut.as_ref().filter(|c| c.held)?;
    Handles::of(cut, view, None).under(view, at)
}

pub(super) fn picked_under(scene: &Scene, view: &View, at: Pos2) -> Option<usize> {
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

pub(super) fn offset_of(scene: &Scene, id: MeshId) -> Vector {
    scene.drawn.iter().find(|d| d.id == id).map_or_else(Vector::zeros, |d| d.offset)
}
