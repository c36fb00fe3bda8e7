//! What a cut is drawn to while it is dragged, and how far picked points lie off their plane.

use egui::{Align2, Color32, Pos2, Shape, Stroke, Vec2};
use seamwright_geometry::{Detail, DetailKind, Point};

use super::drag::Drag;
use super::handles::Handle;
use super::overlay::{Overlay, PICKED_RADIUS};
use super::scene::Residual;
use crate::text;

/// What suggests a plane, in words.
pub fn detail_words(detail: &Detail) -> String {
    match detail.kind {
        DetailKind::Crease => text::details::crease(detail.off_mm),
        DetailKind::Flat => text::details::FLAT_FACE.into(),
        DetailKind::Symmetry => text::details::MIRROR_PLANE.into(),
        DetailKind::Narrowest => text::details::NARROWEST.into(),
    }
}

/// The same beside a handle, with the turn that it costs where the handle itself does not turn.
pub(super) fn drawn_words(detail: &Detail, drag: &Drag) -> String {
    let turned_deg = drag.turned_deg();
    if drag.handle == Handle::Move && turned_deg >= 0.05 {
        text::details::tilted(&detail_words(detail), turned_deg)
    } else {
        detail_words(detail)
    }
}

/// The lines of a detail, to be drawn on the model; none for what the outline of the cut shows by itself.
pub(super) fn lines(detail: &Detail) -> impl Iterator<Item = Vec<Point>> {
    let pieces = if detail.kind == DetailKind::Crease { detail.places.as_slice() } else { &[] };
    pieces.chunks_exact(2).map(<[Point]>::to_vec)
}

/// A residual shorter than this on the screen is drawn so long, points, so that its direction can be seen.
const SHORTEST: f32 = 7.0;
/// Residuals below half of what is shown of them have no line.
const LEAST_MM: f64 = 0.05;

impl Overlay<'_> {
    /// Dots on a flat face that the cut is drawn to.
    pub fn detail_dots(&self, detail: &Detail) {
        if detail.kind != DetailKind::Flat {
            return;
        }
        for at in detail.places.iter().filter_map(|p| self.view.project(p)) {
            self.painter.circle(at, 2.2, self.style.chalk, Stroke::new(1.0, Color32::from_black_alpha(150)));
        }
    }

    /// How far picked points lie off their plane: a short line to it, and the number.
    pub fn residuals(&self, residuals: &[Residual]) {
        for residual in residuals {
            let [Some(at), Some(foot)] = [residual.at, residual.foot].map(|p| self.view.project(&p)) else { continue };
            let off_mm = (residual.foot - residual.at).norm();
            if off_mm >= LEAST_MM {
                self.residual_line(at, foot, residual);
            }
            let text = text::details::mm_off(off_mm);
            self.tag(at + Vec2::new(13.0, 9.0), Align2::LEFT_TOP, &text, self.style.ink);
        }
    }

    fn residual_line(&self, at: Pos2, foot: Pos2, residual: &Residual) {
        // Seen end on, or far away, the way to the plane is taken from a longer piece of it.
        let longer =
            residual.at + (residual.foot - residual.at).normalize() * (20.0 * self.view.mm_per_point(&residual.at));
        let way = self.view.project(&longer).map_or(foot - at, |longer| longer - at);
        if way.length() < 1.0 {
            return;
        }
        let from = at + way.normalized() * (PICKED_RADIUS + 1.5);
        let reach = (foot - at).length().max(PICKED_RADIUS + 1.5 + SHORTEST);
        let to = at + way.normalized() * reach;
        self.haloed_line(&[from, to], 2.0, self.style.accent);
        let across = way.normalized().rot90() * 5.0;
        self.painter.add(Shape::line(vec![to - across, to + across], Stroke::new(1.6, self.style.accent)));
    }
}
