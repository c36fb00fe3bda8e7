//! A magnified piece of the picture beside the pointer, while points are picked or a cut is dragged: drawn by the painter as
//! a second, small picture from a nearer camera.

use egui::{Align2, Pos2, Rect, Stroke, StrokeKind, Ui, Vec2};
use seamwright_geometry::Point;

use super::action::Mode;
use super::camera::{Camera, FIELD_OF_VIEW_DEG};
use super::gestures::{Gesture, offset_of};
use super::handles::Handles;
use super::overlay::Overlay;
use super::painter::Frame;
use super::pick::{self, SurfaceHit};
use super::scene::Scene;
use super::style::BenchStyle;
use super::view::View;
use super::widget::{Bench, REST_S};
use crate::text;

/// The magnified piece.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Magnified {
    /// Where on the screen, in points.
    pub rect: Rect,
    /// From where its middle, the place under the pointer, is looked at.
    pub camera: Camera,
}

/// How much larger things are in it. Our own choice, no source.
pub const MAGNIFICATION: f64 = 4.0;
/// Width and height, in points.
const SIDE: f32 = 168.0;
/// From the pointer to the nearest corner, along both axes, in points: clear of the hand's own mark.
const AWAY: f32 = 34.0;
/// Room that the numbers of a dragged handle take up beside it, in points.
const NUMBERS: Vec2 = Vec2::new(300.0, 130.0);

/// What the magnifier remembers from frame to frame.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Magnifier {
    pub shown: Option<Magnified>,
    /// On which of the four sides it stands: it stays there while it can.
    corner: usize,
    moved_at: Option<f64>,
}

/// Up and to the left first: to the right of a picked point stands its number.
const CORNERS: [Vec2; 4] = [Vec2::new(-1.0, -1.0), Vec2::new(1.0, -1.0), Vec2::new(-1.0, 1.0), Vec2::new(1.0, 1.0)];

impl Bench {
    /// The magnified piece, where one is shown.
    pub fn magnified(&self) -> Option<Magnified> {
        self.magnifier.shown
    }

    /// Shows it where it is wanted, over everything else.
    pub(super) fn magnify(
        &mut self,
        ui: &Ui,
        view: &View,
        pointer: Option<Pos2>,
        (scene, mode): (&Scene, Mode),
        aim: Option<SurfaceHit>,
        style: &BenchStyle,
    ) {
        let place = pointer.filter(|_| self.magnifies).and_then(|at| self.place_to_magnify(view, at, scene, mode, aim));
        let (Some(at), Some(place)) = (pointer, place) else {
            self.magnifier.shown = None;
            return;
        };
        let keep_clear = self.numbers(view, scene);
        let stands = |corner: usize| {
            let rect = beside(at, CORNERS[corner]);
            view.rect.shrink(4.0).contains_rect(rect) && keep_clear.is_none_or(|numbers| !numbers.intersects(rect))
        };
        let kept = self.magnifier.shown.map(|_| self.magnifier.corner).into_iter();
        // In a corner of a small bench all of them may be in the way: then the first is, pushed inside.
        let corner = kept.chain(0..CORNERS.len()).find(|corner| stands(*corner)).unwrap_or(0);
        let rect = pushed_inside(beside(at, CORNERS[corner]), &view.rect);
        let magnified = Magnified { rect, camera: nearer(view, &place, rect) };
        let moving = self.magnifier_moves(ui, magnified.camera);
        self.magnifier = Magnifier { shown: Some(magnified), corner, moved_at: self.magnifier.moved_at };
        let frame = Frame { scene: scene.clone(), camera: magnified.camera, style: *style, moving, inset: true };
        self.painter.paint(ui, rect, frame);
        frame_and_marks(ui, &magnified, scene, style);
    }

    fn place_to_magnify(
        &self,
        view: &View,
        at: Pos2,
        scene: &Scene,
        mode: Mode,
        aim: Option<SurfaceHit>,
    ) -> Option<Point> {
        match &self.gesture {
            Gesture::Handle(_) => {
                let cut = scene.cut.as_ref()?;
                let hit = pick::pick(scene, &view.ray(at), false).map(|hit| hit.point + offset_of(scene, hit.id));
                Some(hit.unwrap_or_else(|| view.place_at_depth_of(&cut.seat(), at)))
            }
            Gesture::Nothing if mode != Mode::Look => aim.map(|hit| hit.point + offset_of(scene, hit.id)),
            _ => None,
        }
    }

    /// Where the numbers of the dragged handle stand, about.
    fn numbers(&self, view: &View, scene: &Scene) -> Option<Rect> {
        let Gesture::Handle(drag) = &self.gesture else { return None };
        let handles = Handles::of(scene.cut.as_ref()?, view, Some(drag));
        let (seat, at) = (view.project(&handles.seat)?, view.project(&handles.number_at(drag.handle))?);
        let left = if (at - seat).length() > 1.0 && (at - seat).normalized().x < -0.3 { NUMBERS.x } else { 0.0 };
        Some(Rect::from_min_size(at - Vec2::new(left, 40.0), NUMBERS))
    }

    /// Whether it moves or did just now: then fewer faces will do, as in the large picture.
    fn magnifier_moves(&mut self, ui: &Ui, camera: Camera) -> bool {
        let now = ui.input(|i| i.time);
        if self.magnifier.shown.is_none_or(|before| before.camera != camera) {
            self.magnifier.moved_at = Some(now);
        }
        let left = self.magnifier.moved_at.map(|at| at + REST_S - now).filter(|left| *left > 0.0);
        if let Some(left) = left {
            ui.ctx().request_repaint_after(std::time::Duration::from_secs_f64(left));
        }
        left.is_some()
    }
}

fn beside(at: Pos2, corner: Vec2) -> Rect {
    Rect::from_center_size(at + corner * (AWAY + SIDE / 2.0), Vec2::splat(SIDE))
}

fn pushed_inside(rect: Rect, within: &Rect) -> Rect {
    let push = |low: f32, high: f32, first: f32, last: f32| (first - low).max(0.0) + (last - high).min(0.0);
    rect.translate(Vec2::new(
        push(rect.left(), rect.right(), within.left(), within.right()),
        push(rect.top(), rect.bottom(), within.top(), within.bottom()),
    ))
}

/// The camera that looks at `place` along the same line of sight, from so near that it is magnified in `rect`.
fn nearer(view: &View, place: &Point, rect: Rect) -> Camera {
    let back = view.towards_eye(place);
    let level = back.x.hypot(back.y);
    let heading_deg = if level > 1e-9 { back.y.atan2(back.x).to_degrees() } else { view.camera.heading_deg };
    let focal_points = f64::from(rect.height()) / 2.0 / (FIELD_OF_VIEW_DEG.to_radians() / 2.0).tan();
    Camera {
        target: *place,
        distance_mm: view.mm_per_point(place) / MAGNIFICATION * focal_points,
        heading_deg,
        elevation_deg: back.z.atan2(level).to_degrees(),
    }
}

/// A frame of paper around it, the middle, the points picked so far, and how much it magnifies.
fn frame_and_marks(ui: &Ui, magnified: &Magnified, scene: &Scene, style: &BenchStyle) {
    let rect = magnified.rect;
    let view = View { camera: magnified.camera, rect };
    let overlay = Overlay { painter: ui.painter_at(rect), view, style };
    overlay.residuals(&scene.residuals);
    overlay.picked(&scene.picked, None);
    let middle = rect.center();
    for arm in [Vec2::X, Vec2::Y] {
        overlay.haloed_line(&[middle - arm * 16.0, middle - arm * 5.0], 1.2, style.accent);
        overlay.haloed_line(&[middle + arm * 5.0, middle + arm * 16.0], 1.2, style.accent);
    }
    let painter = ui.painter_at(rect.expand(6.0));
    painter.rect_stroke(rect, 0.0, Stroke::new(5.0, style.tag), StrokeKind::Middle);
    painter.rect_stroke(rect, 0.0, Stroke::new(1.2, style.ink_soft), StrokeKind::Outside);
    overlay.tag(
        rect.left_bottom() + Vec2::new(8.0, -8.0),
        Align2::LEFT_BOTTOM,
        &text::bench::magnified(MAGNIFICATION),
        style.ink_soft,
    );
}
