//! A magnified piece of the picture: of what is under the pointer while points are picked, of where the cut meets the
//! surface nearest to the hand while a cut is dragged. Drawn by the painter as
//! a second, small picture from a nearer camera.

use egui::{Align2, Pos2, Rect, Stroke, StrokeKind, Ui, Vec2};
use seamwright_geometry::Point;

use super::action::Mode;
use super::camera::{Camera, FIELD_OF_VIEW_DEG};
use super::gestures::{Gesture, offset_of};
use super::overlay::Overlay;
use super::painter::Frame;
use super::pick::{self, HIDDEN_MM, SurfaceHit};
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
/// Width and height, in points, where there is room; in a small bench it takes this share of the shorter side, and where that
/// would be less than so much it is not shown: it would hide what it is about. Our own choice, by eye.
const SIDE: f32 = 168.0;
const MOST_SHARE: f32 = 0.4;
const LEAST_SIDE: f32 = 90.0;
/// From the pointer to the nearest corner, along both axes, in points: clear of the hand's own mark.
const AWAY: f32 = 34.0;
/// From the edge of the bench, in a corner of it, in points.
const FROM_EDGE: f32 = 12.0;

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
        let (Some(at), Some(place), Some(side)) = (pointer, place, side_in(&view.rect)) else {
            self.magnifier.shown = None;
            return;
        };
        let rect = match self.gesture {
            Gesture::Handle(_) => self.corner_of_bench(view, at, side),
            _ => {
                let picked: Vec<Pos2> = scene.picked.iter().filter_map(|place| view.project(place)).collect();
                self.corner_of_pointer(view, at, side, &picked)
            }
        };
        let magnified = Magnified { rect, camera: nearer(view, &place, rect) };
        let moving = self.magnifier_moves(ui, magnified.camera);
        self.magnifier.shown = Some(magnified);
        let frame = Frame { scene: scene.clone(), camera: magnified.camera, style: *style, moving, inset: true };
        self.painter.paint(ui, rect, frame);
        frame_and_marks(ui, &magnified, scene, style);
    }

    /// Beside the pointer, in the same direction as before while it stands there.
    fn corner_of_pointer(&mut self, view: &View, pointer: Pos2, side: f32, picked: &[Pos2]) -> Rect {
        let stands = |corner: &usize| view.rect.shrink(4.0).contains_rect(beside(pointer, CORNERS[*corner], side));
        // What lies over the bench would hide it, and it would hide points that were picked.
        let is_seen = |corner: &usize| {
            let rect = beside(pointer, CORNERS[*corner], side);
            !self.overlaid.iter().any(|over| over.intersects(rect)) && !picked.iter().any(|at| rect.contains(*at))
        };
        let kept = self.magnifier.shown.map(|_| self.magnifier.corner);
        let standing = || kept.into_iter().chain(0..CORNERS.len()).filter(stands);
        // In a corner of a small bench none may stand: then the first is pushed inside.
        let corner = standing().find(is_seen).or_else(|| standing().next()).unwrap_or(0);
        self.magnifier.corner = corner;
        pushed_inside(beside(pointer, CORNERS[corner], side), &view.rect)
    }

    /// In a corner of the bench, in the same as before while it covers neither the hand nor words there: what a dragged
    /// handle is about is not under the pointer.
    fn corner_of_bench(&mut self, view: &View, pointer: Pos2, side: f32) -> Rect {
        let room = view.rect.shrink(FROM_EDGE + side / 2.0);
        let at = |corner: usize| {
            let middle = room.center() + CORNERS[corner] * room.size().max(Vec2::ZERO) / 2.0;
            Rect::from_center_size(middle, Vec2::splat(side))
        };
        let stands = |corner: usize| {
            let rect = at(corner).expand(AWAY / 2.0);
            let covers = |other: &Rect| other.intersects(rect);
            !rect.contains(pointer) && !self.covered.iter().chain(&self.overlaid).any(covers)
        };
        let kept = self.magnifier.shown.map(|_| self.magnifier.corner).into_iter();
        let corner = kept.chain(0..CORNERS.len()).find(|corner| stands(*corner)).unwrap_or(0);
        self.magnifier.corner = corner;
        at(corner)
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
            Gesture::Handle(_) => nearest_in_sight(view, at, scene),
            Gesture::Nothing if mode != Mode::Look => aim.map(|hit| hit.point + offset_of(scene, hit.id)),
            _ => None,
        }
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

/// How wide and high it is in a bench of this size, points; `None` where it would hide too much of it.
fn side_in(bench: &Rect) -> Option<f32> {
    let side = SIDE.min(MOST_SHARE * bench.width().min(bench.height()));
    (side >= LEAST_SIDE).then_some(side)
}

/// The place where the dragged cut meets the surface that is nearest to the pointer and not hidden.
fn nearest_in_sight(view: &View, pointer: Pos2, scene: &Scene) -> Option<Point> {
    let mut places: Vec<(f32, &Point)> = scene
        .outlines
        .iter()
        .flatten()
        .filter_map(|p| Some((view.project(p).filter(|at| view.rect.contains(*at))?.distance_sq(pointer), p)))
        .collect();
    places.sort_unstable_by(|a, b| a.0.total_cmp(&b.0));
    let in_sight = |p: &Point| {
        let ray = view.ray(view.project(p)?);
        let hit = pick::pick(scene, &ray, false)?;
        let nearer_mm = (hit.point + offset_of(scene, hit.id) - p).dot(&view.towards_eye(p));
        (nearer_mm < HIDDEN_MM).then_some(*p)
    };
    // Looking whether something is hidden takes a ray; those beside a hidden one are mostly hidden too.
    places.iter().step_by((places.len() / RAYS).max(1)).take(RAYS).find_map(|(_, p)| in_sight(p))
}

/// Places of the outline that are looked at in a frame (our own choice, no source).
const RAYS: usize = 48;

fn beside(at: Pos2, corner: Vec2, side: f32) -> Rect {
    Rect::from_center_size(at + corner * (AWAY + side / 2.0), Vec2::splat(side))
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
    let overlay = Overlay::new(ui.painter_at(rect), view, style);
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
