//! What is drawn over the picture with egui's own painter: picked points, aims, the compass; words, handles and bores have
//! files of their own. Sharp at any size, and there without GL.

use std::cell::RefCell;

use egui::epaint::PathShape;
use egui::{Align2, Color32, FontId, Painter, Pos2, Rect, Shape, Stroke, Vec2};
use seamwright_geometry::{Bounds, Point, Vector};

use super::pick::{self, SurfaceHit};
use super::scene::{MeshId, Scene};
use super::style::BenchStyle;
use super::view::View;

/// The pens: where to draw, as seen how, in which colours.
pub struct Overlay<'a> {
    pub painter: Painter,
    pub view: View,
    pub style: &'a BenchStyle,
    /// What words cover so far: what can stand elsewhere keeps clear of it.
    pub(super) taken: RefCell<Vec<Rect>>,
}

impl<'a> Overlay<'a> {
    pub fn new(painter: Painter, view: View, style: &'a BenchStyle) -> Overlay<'a> {
        Overlay { painter, view, style, taken: RefCell::default() }
    }

    /// Whether there is little room: what is not needed is left out.
    pub(super) fn is_low(&self) -> bool {
        self.view.rect.height() < LOW
    }

    /// Whether there is hardly any room: only what a hand needs to see is told, as shortly as it goes.
    pub(super) fn is_tiny(&self) -> bool {
        self.view.rect.height().min(self.view.rect.width()) < TINY
    }

    /// What words cover.
    pub fn into_taken(self) -> Vec<Rect> {
        self.taken.into_inner()
    }
}

impl Overlay<'_> {
    /// Points picked so far, numbered, and the one that would be taken away under the pointer.
    pub fn picked(&self, picked: &[Point], under_pointer: Option<usize>) {
        let seen: Vec<Option<Pos2>> = picked.iter().map(|p| self.view.project(p)).collect();
        for pair in seen.windows(2) {
            if let [Some(a), Some(b)] = pair {
                self.haloed_line(&[*a, *b], 1.4, self.style.accent);
            }
        }
        for (i, at) in seen.iter().enumerate() {
            let Some(at) = *at else { continue };
            let fill = if under_pointer == Some(i) { self.style.tag } else { self.style.accent };
            self.painter.circle(at, PICKED_RADIUS, fill, Stroke::new(2.0, self.style.tag));
            self.painter.circle_stroke(at, PICKED_RADIUS + 1.5, Stroke::new(1.0, self.style.accent));
            self.tag(at + Vec2::new(13.0, -11.0), Align2::LEFT_BOTTOM, &(i + 1).to_string(), self.style.accent);
        }
    }

    /// The mark under the pointer while a click would place something: a disc on the surface, and where up would be.
    pub fn aim(&self, hit: &SurfaceHit, offset: &Vector, with_normal: bool) {
        let at = hit.point + offset;
        let mm = self.view.mm_per_point(&at);
        let u = hit.normal.cross(&Vector::ith(hit.normal.iamin(), 1.0)).normalize();
        let v = hit.normal.cross(&u);
        let ring: Vec<Pos2> = (0..=32)
            .filter_map(|i| {
                let (sin, cos) = (f64::from(i) / 32.0 * std::f64::consts::TAU).sin_cos();
                self.view.project(&(at + (u * cos + v * sin) * (AIM_RADIUS * mm)))
            })
            .collect();
        self.haloed_line(&ring, 2.0, self.style.accent);
        if let Some(p) = self.view.project(&at) {
            self.painter.circle_filled(p, 2.5, self.style.accent);
            if let Some(tip) = self.view.project(&(at + hit.normal * (AIM_NORMAL * mm))).filter(|_| with_normal) {
                self.haloed_line(&[p, tip], 2.0, self.style.accent);
            }
        }
    }

    /// What [`aim`](Self::aim) covers.
    pub fn aimed_at(&self, hit: &SurfaceHit, offset: &Vector, with_normal: bool) -> Option<Rect> {
        let at = hit.point + offset;
        let ring = Rect::from_center_size(self.view.project(&at)?, Vec2::splat(2.0 * AIM_RADIUS as f32 + AIM_ROOM));
        let tip = at + hit.normal * (AIM_NORMAL * self.view.mm_per_point(&at));
        let tip = self.view.project(&tip).filter(|_| with_normal);
        Some(tip.map_or(ring, |tip| ring.union(Rect::from_center_size(tip, Vec2::splat(AIM_ROOM)))))
    }

    /// The plane that a click at `hit` would cut along: a frame round the part.
    pub fn cut_to_be(&self, hit: &SurfaceHit, offset: &Vector, part: &Bounds) {
        let axis = pick::axis_across(&hit.normal, part);
        let (u, v) = ((axis + 1) % 3, (axis + 2) % 3);
        let at = hit.point + offset;
        let place = |pu: f64, pv: f64| {
            let mut p = at;
            (p[u], p[v]) = (pu, pv);
            self.view.project(&p)
        };
        let (low, high) = (part.min + offset, part.max + offset);
        let corners = [(low[u], low[v]), (high[u], low[v]), (high[u], high[v]), (low[u], high[v]), (low[u], low[v])];
        let frame: Option<Vec<Pos2>> = corners.into_iter().map(|(pu, pv)| place(pu, pv)).collect();
        let Some(frame) = frame else { return };
        self.painter.add(PathShape::convex_polygon(
            frame[..4].to_vec(),
            self.style.accent.gamma_multiply(0.10),
            Stroke::NONE,
        ));
        self.painter.extend(Shape::dashed_line(&frame, Stroke::new(1.6, self.style.accent), 7.0, 5.0));
    }

    /// A cross where the camera turns about.
    pub fn pivot(&self, pivot: &Point) {
        let Some(at) = self.view.project(pivot) else { return };
        for arm in [Vec2::new(6.0, 0.0), Vec2::new(0.0, 6.0)] {
            self.haloed_line(&[at - arm, at + arm], 1.4, self.style.ink);
        }
    }

    /// A box that is drawn about what is to be selected.
    pub fn selection_box(&self, rect: Rect) {
        self.painter.rect_filled(rect, 0.0, self.style.accent.gamma_multiply(0.12));
        let corners = [rect.left_top(), rect.right_top(), rect.right_bottom(), rect.left_bottom(), rect.left_top()];
        self.painter.extend(Shape::dashed_line(&corners, Stroke::new(1.4, self.style.accent), 6.0, 4.0));
    }

    /// Which pieces a box that is drawn would take: a ring about their middles, which is what counts.
    pub fn taken_by_box(&self, scene: &Scene, taken: &[MeshId]) {
        for drawn in scene.drawn.iter().filter(|drawn| taken.contains(&drawn.id)) {
            let Some(at) = drawn.bounds().and_then(|bounds| self.view.project(&bounds.centre())) else { continue };
            self.painter.circle(
                at,
                TAKEN_RADIUS,
                self.style.accent.gamma_multiply(0.35),
                Stroke::new(3.0, self.style.tag),
            );
            self.painter.circle_stroke(at, TAKEN_RADIUS, Stroke::new(1.8, self.style.accent));
        }
    }

    /// Which way x, y and z go, in the lower left corner.
    pub fn compass(&self) {
        // On a small bench it takes less of it, and where there is hardly any none.
        let size = (self.view.rect.size().min_elem() / ROOM_OF_COMPASS).min(1.0);
        if size < LEAST_COMPASS {
            return;
        }
        let centre = self.view.rect.left_bottom() + Vec2::new(44.0, -44.0) * size;
        let font = FontId::proportional((12.0 * size).max(LEAST_LETTER));
        let [right, up, back] = self.view.camera.axes();
        let mut arms = [(Vector::x(), "x"), (Vector::y(), "y"), (Vector::z(), "z")];
        arms.sort_by(|a, b| a.0.dot(&back).total_cmp(&b.0.dot(&back)));
        for (axis, name) in arms {
            let way = Vec2::new(axis.dot(&right) as f32, -axis.dot(&up) as f32);
            let near = ((axis.dot(&back) + 1.0) / 2.0) as f32;
            let colour = self.style.ink.gamma_multiply(0.4 + 0.6 * near);
            self.painter.line_segment([centre, centre + way * 24.0 * size], Stroke::new(1.6, colour));
            // An axis that points at the viewer keeps its letter beside the centre.
            self.painter.text(centre + way * 32.0 * size, Align2::CENTER_CENTER, name, font.clone(), colour);
        }
    }

    /// A line with a rim of the tag's colour, so that it can be seen on any piece.
    pub(super) fn haloed_line(&self, points: &[Pos2], width: f32, colour: Color32) {
        self.painter.add(Shape::line(points.to_vec(), Stroke::new(width + 2.6, self.style.tag.gamma_multiply(0.85))));
        self.painter.add(Shape::line(points.to_vec(), Stroke::new(width, colour)));
    }
}

/// The ring under the pointer where a click would place something, how far up is shown there, and the room that words leave
/// it; in points.
const AIM_RADIUS: f64 = 14.0;
const AIM_NORMAL: f64 = 34.0;
const AIM_ROOM: f32 = 6.0;

/// The ring about the middle of a piece that a box takes, points: about as large as its mark.
const TAKEN_RADIUS: f32 = 17.0;
/// A bench lower than this has little room, points; our own choice, by eye.
const LOW: f32 = 300.0;
/// On a bench less high or wide than this, points, the compass is smaller, down to letters so high, points; at less than this
/// share of its size nobody could read it. Our own choice, by eye.
const ROOM_OF_COMPASS: f32 = 170.0;
const LEAST_COMPASS: f32 = 0.5;
const LEAST_LETTER: f32 = 9.0;
/// And one that is less high or wide than this has hardly any.
const TINY: f32 = 200.0;
/// From line to line of words, in points.
pub(super) const LINE: f32 = 24.0;

/// Radius of a picked point on the screen, in points.
pub const PICKED_RADIUS: f32 = 5.0;
