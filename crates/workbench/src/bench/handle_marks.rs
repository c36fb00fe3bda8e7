//! The handles of the cut as they are drawn, and what stands beside them.

use egui::epaint::PathShape;
use egui::{Color32, Pos2, Rect, Shape, Stroke, Vec2};
use seamwright_geometry::Point;

use super::cut_in_hand::CutInHand;
use super::drag::Drag;
use super::handles::{Handle, Handles};
use super::overlay::Overlay;
use super::said::{Of, Said, Words};
use super::words::beads;

impl Overlay<'_> {
    /// The handles of the cut.
    pub fn handles(&self, handles: &Handles, hovered: Option<Handle>, drag: Option<&Drag>) {
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
    }

    /// What the handle that is dragged says: its number, and beneath it what is told of the cut.
    pub fn handle_said(&self, cut: &CutInHand, handles: &Handles, drag: &Drag, beneath: Vec<Words>) -> Option<Said> {
        let (about, beside) = self.beside(handles, drag.handle)?;
        let number = Words::large(drag.number(&cut.plane, cut.offset_mm), self.style.accent);
        let words = [number].into_iter().chain(beneath).collect();
        Some(Said { of: Of::Handle, about, beside, words, needed: true })
    }

    /// What the handles cover on the screen, for words to keep clear of.
    pub fn handles_cover(&self, handles: &Handles, drag: Option<&Drag>) -> Vec<Rect> {
        let shown = |handle: Handle| drag.is_none_or(|drag| drag.handle == handle);
        let mut covered = Vec::new();
        if let Some(arrow) = handles.arrow.filter(|_| shown(Handle::Move)) {
            let halves = [arrow.below, arrow.above].map(|ends| ends.map(|p| self.view.project(&p)));
            let lines = halves.into_iter().filter_map(|[a, b]| Some(beads(&[a?, b?])));
            covered.extend(lines.flatten().map(|bead| bead.expand(ARROW_HALF)));
        }
        for (knob, handle) in handles.knobs.iter().zip([Handle::TiltFirst, Handle::TiltSecond]) {
            if shown(handle) {
                let arc = knob.arc.iter().filter_map(|p| self.view.project(p));
                covered.extend(arc.map(|at| Rect::from_center_size(at, Vec2::splat(2.0 * ARROW_HALF))));
            }
        }
        let seat = self.view.project(&handles.seat);
        covered.extend(seat.map(|seat| Rect::from_center_size(seat, Vec2::splat(2.0 * ARROW_HALF))));
        covered
    }

    /// Where something of its own that is about a handle begins: beside it, inside the picture.
    pub fn number_place(&self, handles: &Handles, handle: Handle) -> Pos2 {
        let at = self.beside(handles, handle).map_or(self.view.rect.center(), |(at, beside)| at + beside);
        self.view.rect.shrink(20.0).clamp(at)
    }

    /// Where a handle is, and from there to where its number begins: outwards from where it hangs.
    fn beside(&self, handles: &Handles, handle: Handle) -> Option<(Pos2, Vec2)> {
        let (seat, at) = (self.view.project(&handles.seat)?, self.view.project(&handles.number_at(handle))?);
        let outward = if (at - seat).length() > 1.0 { (at - seat).normalized() } else { Vec2::RIGHT };
        let beside = Vec2::new(if outward.x < -0.3 { -20.0 } else { 20.0 }, 0.0);
        Some((at, outward * 14.0 + beside))
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
}

/// Half of what the head of an arrow, or a knob, takes on the screen, points.
const ARROW_HALF: f32 = 9.0;
