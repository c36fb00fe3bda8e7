//! The handles of the cut as they are drawn, and what stands beside them.

use egui::epaint::PathShape;
use egui::{Align2, Color32, Pos2, Shape, Stroke, Vec2};
use seamwright_geometry::Point;

use super::cut_in_hand::CutInHand;
use super::drag::Drag;
use super::handles::{Handle, Handles};
use super::overlay::{LINE, Overlay};

impl Overlay<'_> {
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

/// From the middle of a number to the middle of the first line of words beneath it, and from line to line, in points.
const BENEATH_NUMBER: f32 = 27.0;
