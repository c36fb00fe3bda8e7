//! What is drawn over the picture with egui's own painter: handles, numbers, marks, picked points. Sharp at any size,
//! and there without GL.

use std::cell::RefCell;

use egui::epaint::PathShape;
use egui::{Align2, Color32, FontId, Painter, Pos2, Rect, Shape, Stroke, Vec2};
use seamwright_geometry::{Bounds, Point, Vector};

use super::handles::{Drag, Handle, Handles};
use super::pick::{self, SurfaceHit};
use super::scene::{CutInHand, Dimension, Label, Scene};
use super::style::{BenchStyle, Pattern, Tone};
use super::view::View;

/// Which labels come first where there is no room for all.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Rank {
    Strong,
    InSight,
    Behind,
}

impl Rank {
    fn of(label: &Label, scene: &Scene, view: &View) -> Rank {
        if label.strong {
            return Rank::Strong;
        }
        let in_front = label.of.and_then(|of| {
            let hit = pick::pick(scene, &view.ray(view.project(&label.at)?), false)?;
            Some(hit.id != of)
        });
        if in_front == Some(true) { Rank::Behind } else { Rank::InSight }
    }
}

/// The pens: where to draw, as seen how, in which colours.
pub struct Overlay<'a> {
    pub painter: Painter,
    pub view: View,
    pub style: &'a BenchStyle,
    /// What words cover so far: what can stand elsewhere keeps clear of it.
    taken: RefCell<Vec<Rect>>,
}

impl<'a> Overlay<'a> {
    pub fn new(painter: Painter, view: View, style: &'a BenchStyle) -> Overlay<'a> {
        Overlay { painter, view, style, taken: RefCell::default() }
    }

    /// What words cover.
    pub fn into_taken(self) -> Vec<Rect> {
        self.taken.into_inner()
    }
}

/// Draws a swatch of `tone` with its hatch, for legends and tables.
pub fn paint_swatch(painter: &Painter, rect: Rect, tone: Tone, style: &BenchStyle) {
    let colour = style.colour(tone);
    let painter = painter.with_clip_rect(rect.intersect(painter.clip_rect()));
    painter.rect_filled(rect, 2.0, colour);
    let line = Stroke::new(1.3, darkened(colour));
    let step = (rect.height() / 2.6).clamp(3.0, 6.0);
    let slanted = |down: bool, dashed: bool| {
        let mut x = rect.left() - rect.height();
        while x < rect.right() {
            let (a, b) = (Pos2::new(x, rect.bottom()), Pos2::new(x + rect.height(), rect.top()));
            let mirror = |p: Pos2| Pos2::new(p.x, rect.top() + rect.bottom() - p.y);
            let ends = if down { [mirror(a), mirror(b)] } else { [a, b] };
            if dashed {
                painter.extend(Shape::dashed_line(&ends, line, step, 0.7 * step));
            } else {
                painter.line_segment(ends, line);
            }
            x += step;
        }
    };
    match tone.pattern() {
        Pattern::Plain => {}
        Pattern::Strokes => slanted(false, false),
        Pattern::Dashes => slanted(false, true),
        Pattern::Crossed => {
            slanted(false, false);
            slanted(true, false);
        }
        Pattern::Dots => {
            let mut y = rect.top() + step / 2.0;
            while y < rect.bottom() {
                let mut x = rect.left() + step / 2.0;
                while x < rect.right() {
                    painter.circle_filled(Pos2::new(x, y), 1.3, darkened(colour));
                    x += step;
                }
                y += step;
            }
        }
    }
}

impl Overlay<'_> {
    /// Marks and dimensions of `scene`. Words that would cover earlier ones, or what is in `kept_clear`, stand some lines
    /// aside, or are left out; those of what is in sight come before those of what is behind something else.
    pub fn words(&self, scene: &Scene, kept_clear: &[Rect]) {
        let mut taken: Vec<Rect> = kept_clear.to_vec();
        for dimension in &scene.dimensions {
            self.dimension(dimension, &mut taken);
        }
        let eye = self.view.camera.eye();
        let ranked = |label| (Rank::of(label, scene, &self.view), nalgebra::distance(&eye, &label.at), label);
        let mut labels: Vec<(Rank, f64, &Label)> = scene.labels.iter().map(ranked).collect();
        labels.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
        for (rank, _, label) in labels {
            self.label(label, rank, &mut taken);
        }
    }

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

    /// The handles of the cut, and the number of the one that is dragged.
    pub fn handles(&self, cut: &CutInHand, handles: &Handles, hovered: Option<Handle>, drag: Option<&Drag>) {
        let active = drag.map(|d| d.handle).or(hovered);
        for (i, knob) in handles.knobs.iter().enumerate() {
            let handle = [Handle::TiltFirst, Handle::TiltSecond][i];
            if drag.is_some_and(|d| d.handle != handle) {
                continue;
            }
            let hot = active == Some(handle);
            let colour = self.handle_colour(i + 1, hot);
            let arc: Vec<Pos2> = knob.arc.iter().filter_map(|p| self.view.project(p)).collect();
            if let (Some(seat), Some(at)) = (self.view.project(&handles.seat), self.view.project(&knob.at)) {
                let arm = [seat + (at - seat).normalized() * 7.0, at];
                self.painter.extend(Shape::dashed_line(&arm, Stroke::new(1.2, colour.gamma_multiply(0.7)), 4.0, 4.0));
                self.haloed_line(&arc, if hot { 3.4 } else { 2.4 }, colour);
                self.arc_ends(&arc, colour);
                self.painter.circle(
                    at,
                    if hot { 8.0 } else { 6.5 },
                    if hot { colour } else { self.style.tag },
                    Stroke::new(2.4, colour),
                );
            }
        }
        let move_shown = drag.is_none_or(|d| d.handle == Handle::Move);
        if let Some(arrow) = handles.arrow.filter(|_| move_shown) {
            let hot = active == Some(Handle::Move);
            let colour = self.handle_colour(0, hot);
            for ends in [arrow.below, arrow.above] {
                self.arrow(ends, if hot { 4.2 } else { 3.2 }, colour);
            }
        }
        if let Some(seat) = self.view.project(&handles.seat) {
            self.painter.circle(seat, 4.0, self.style.tag, Stroke::new(2.0, self.handle_colour(0, false)));
        }
        if let Some(drag) = drag {
            self.number(handles, drag, &drag.number(&cut.plane, cut.offset_mm));
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

    /// Which way x, y and z go, in the lower left corner.
    pub fn compass(&self) {
        let centre = self.view.rect.left_bottom() + Vec2::new(44.0, -44.0);
        let [right, up, back] = self.view.camera.axes();
        let mut arms = [(Vector::x(), "x"), (Vector::y(), "y"), (Vector::z(), "z")];
        arms.sort_by(|a, b| a.0.dot(&back).total_cmp(&b.0.dot(&back)));
        for (axis, name) in arms {
            let way = Vec2::new(axis.dot(&right) as f32, -axis.dot(&up) as f32);
            let near = ((axis.dot(&back) + 1.0) / 2.0) as f32;
            let colour = self.style.ink.gamma_multiply(0.4 + 0.6 * near);
            self.painter.line_segment([centre, centre + way * 24.0], Stroke::new(1.6, colour));
            // An axis that points at the viewer keeps its letter beside the centre.
            self.painter.text(centre + way * 32.0, Align2::CENTER_CENTER, name, FontId::proportional(12.0), colour);
        }
    }

    /// One quiet line at the foot of the bench.
    pub fn hint(&self, text: &str) {
        let at = self.view.rect.center_bottom() - Vec2::new(0.0, 14.0);
        self.tag(at, Align2::CENTER_BOTTOM, text, self.style.ink);
    }

    fn number(&self, handles: &Handles, drag: &Drag, text: &str) {
        if let Some((at, align)) = self.beside(handles, drag.handle) {
            self.big_tag(at, align, text, self.style.accent);
        }
    }

    /// Words beneath the number of the handle that is dragged, one under the other.
    pub fn beneath_number(&self, handles: &Handles, drag: &Drag, words: &[(String, Color32)]) {
        let Some((at, align)) = self.beside(handles, drag.handle) else { return };
        for (i, (text, ink)) in words.iter().enumerate() {
            self.tag(at + Vec2::new(0.0, BENEATH_NUMBER + LINE * i as f32), align, text, *ink);
        }
    }

    /// Where something of its own that is about a handle begins: beside it, inside the picture.
    pub fn number_place(&self, handles: &Handles, handle: Handle) -> Pos2 {
        let at = self.beside(handles, handle).map_or(self.view.rect.center(), |(at, _)| at);
        self.view.rect.shrink(20.0).clamp(at)
    }

    /// Where the number of a handle is written, outwards from where it hangs.
    pub(super) fn beside(&self, handles: &Handles, handle: Handle) -> Option<(Pos2, Align2)> {
        let (seat, at) = (self.view.project(&handles.seat)?, self.view.project(&handles.number_at(handle))?);
        let outward = if (at - seat).length() > 1.0 { (at - seat).normalized() } else { Vec2::RIGHT };
        let align = if outward.x < -0.3 { Align2::RIGHT_CENTER } else { Align2::LEFT_CENTER };
        let beside = Vec2::new(if outward.x < -0.3 { -20.0 } else { 20.0 }, 0.0);
        Some((at + outward * 14.0 + beside, align))
    }

    fn label(&self, label: &Label, rank: Rank, taken: &mut Vec<Rect>) {
        let Some(at) = self.view.project(&label.at).filter(|p| self.view.rect.contains(*p)) else { return };
        let ink = match rank {
            Rank::Strong => self.style.accent,
            Rank::InSight => self.style.ink,
            Rank::Behind => self.style.ink_soft,
        };
        let lines: &[f32] = if label.of.is_some() { &ASIDE_LINES } else { &LED_LINES };
        self.tag_unless_taken(at, &label.text, ink, lines, taken);
    }

    fn dimension(&self, dimension: &Dimension, taken: &mut Vec<Rect>) {
        let (Some(a), Some(b)) = (self.view.project(&dimension.from), self.view.project(&dimension.to)) else { return };
        let run = b - a;
        if run.length() < 12.0 {
            return;
        }
        let across = run.normalized().rot90() * 5.0;
        self.haloed_line(&[a, b], 1.3, self.style.ink);
        for end in [a, b] {
            self.haloed_line(&[end - across, end + across], 1.3, self.style.ink);
        }
        self.tag_unless_taken(a + run / 2.0, &dimension.text, self.style.ink, &LED_LINES, taken);
    }

    /// Words about `at`, on the first of these lines that is free; farther off than the next one a line leads back.
    fn tag_unless_taken(&self, at: Pos2, text: &str, ink: Color32, lines: &[f32], taken: &mut Vec<Rect>) {
        let galley = self.painter.layout_no_wrap(text.to_owned(), FontId::proportional(13.0), ink);
        let there = |lines: &f32| {
            let stands = at + Vec2::new(0.0, lines * LINE);
            (stands, Align2::CENTER_CENTER.anchor_size(stands, galley.size()).expand2(Vec2::new(5.0, 2.0)))
        };
        let is_free = |rect: &Rect| taken.iter().all(|other| !other.intersects(*rect));
        if let Some((stands, rect)) = lines.iter().map(there).find(|(_, rect)| is_free(rect)) {
            taken.push(rect);
            if (stands - at).length() > LED_FROM {
                self.haloed_line(&[at, stands], 1.2, ink);
            }
            self.tag(stands, Align2::CENTER_CENTER, text, ink);
        }
    }

    pub(super) fn tag(&self, at: Pos2, align: Align2, text: &str, ink: Color32) {
        self.sized_tag(at, align, text, ink, 13.0);
    }

    /// Words that stand a line or two farther up or down where others are in the way.
    pub(super) fn clear_tag(&self, at: Pos2, align: Align2, text: &str, ink: Color32) {
        let size = self.painter.layout_no_wrap(text.to_owned(), FontId::proportional(13.0), ink).size();
        let stands = |shift: f32| {
            let frame = align.anchor_size(at + Vec2::new(0.0, shift), size).expand2(FRAME);
            self.view.rect.contains_rect(frame) && !self.taken.borrow().iter().any(|other| other.intersects(frame))
        };
        let shift = CLEAR_LINES.map(|lines| lines * LINE).into_iter().find(|shift| stands(*shift)).unwrap_or(0.0);
        self.tag(at + Vec2::new(0.0, shift), align, text, ink);
    }

    pub(super) fn big_tag(&self, at: Pos2, align: Align2, text: &str, ink: Color32) {
        self.sized_tag(at, align, text, ink, 16.0);
    }

    fn sized_tag(&self, at: Pos2, align: Align2, text: &str, ink: Color32, size: f32) {
        let galley = self.painter.layout_no_wrap(text.to_owned(), FontId::proportional(size), ink);
        let words = align.anchor_size(at, galley.size());
        // Kept inside the bench, so that a number near the edge can still be read.
        let frame = words.expand2(FRAME);
        let inside = self.view.rect.shrink(2.0);
        let push = Vec2::new(
            (inside.left() - frame.left()).max(0.0) + (inside.right() - frame.right()).min(0.0),
            (inside.top() - frame.top()).max(0.0) + (inside.bottom() - frame.bottom()).min(0.0),
        );
        let frame = frame.translate(push);
        self.taken.borrow_mut().push(frame);
        self.painter.rect(
            frame,
            3.0,
            self.style.tag.gamma_multiply(0.94),
            Stroke::new(1.0, ink.gamma_multiply(0.45)),
            egui::StrokeKind::Inside,
        );
        self.painter.galley(words.min + push, galley, ink);
    }

    fn handle_colour(&self, i: usize, hot: bool) -> Color32 {
        if hot { self.style.accent } else { self.style.handles[i] }
    }

    fn arrow(&self, ends: [Point; 2], width: f32, colour: Color32) {
        let [Some(a), Some(b)] = ends.map(|p| self.view.project(&p)) else { return };
        if (b - a).length() < 6.0 {
            return;
        }
        let way = (b - a).normalized();
        let neck = b - way * 12.0;
        self.haloed_line(&[a, neck], width, colour);
        let across = way.rot90() * 7.0;
        let head = vec![b, neck + across, neck - across];
        let halo = Stroke::new(2.0, self.style.tag);
        self.painter.add(PathShape::convex_polygon(head, colour, halo));
    }

    fn arc_ends(&self, arc: &[Pos2], colour: Color32) {
        for (tip, before) in [(arc.last(), arc.iter().rev().nth(1)), (arc.first(), arc.get(1))] {
            let (Some(tip), Some(before)) = (tip, before) else { continue };
            let run = *tip - *before;
            if run.length() < 0.5 {
                continue;
            }
            let way = run.normalized();
            let across = way.rot90() * 5.0;
            let head = vec![*tip + way * 8.0, *tip + across, *tip - across];
            self.painter.add(PathShape::convex_polygon(head, colour, Stroke::new(1.5, self.style.tag)));
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

/// From the middle of a number to the middle of the first line of words beneath it, and from line to line, in points.
const BENEATH_NUMBER: f32 = 27.0;
const LINE: f32 = 24.0;

/// Paper around words, in points.
const FRAME: Vec2 = Vec2::new(6.0, 3.0);
/// Where a mark may stand that would cover another, in lines from where it belongs: farther off it would name something else.
const ASIDE_LINES: [f32; 3] = [0.0, 1.0, -1.0];
/// The same for words that a line leads back to what they are about, when they stand farther off than [`LED_FROM`], points.
const LED_LINES: [f32; 7] = [0.0, 1.0, -1.0, 2.0, -2.0, 3.0, -3.0];
const LED_FROM: f32 = 1.5 * LINE;
/// Where words may stand that have to keep clear, in lines from where they belong, nearest first.
const CLEAR_LINES: [f32; 9] = [0.0, 1.0, -1.0, 2.0, -2.0, 3.0, -3.0, 4.0, -4.0];

/// Radius of a picked point on the screen, in points.
pub const PICKED_RADIUS: f32 = 5.0;

fn darkened(c: Color32) -> Color32 {
    let [r, g, b, _] = c.to_array().map(|x| (f32::from(x) * 0.55) as u8);
    Color32::from_rgb(r, g, b)
}
