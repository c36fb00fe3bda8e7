//! What is drawn over the picture in a frame, one thing after another.

use egui::{Rect, Response, Ui};

use super::action::Mode;
use super::detail;
use super::gestures::{Gesture, offset_of, picked_under};
use super::handles::{Handle, Handles};
use super::overlay::Overlay;
use super::pick::{self, SurfaceHit};
use super::scene::Scene;
use super::style::BenchStyle;
use super::widget::Bench;
use crate::text;

impl Bench {
    /// What words keep clear of: the ring under the pointer, and the magnifier.
    fn under_the_hand(&self, overlay: &Overlay, scene: &Scene, mode: Mode, aim: Option<SurfaceHit>) -> Vec<Rect> {
        let ring = aim
            .filter(|_| mode != Mode::Look)
            .and_then(|hit| overlay.aimed_at(&hit, &offset_of(scene, hit.id), mode == Mode::PlaceByClick));
        let pointed = scene.pointed.and_then(|place| overlay.ring_of(&place));
        ring.into_iter().chain(pointed).chain(self.magnifier.shown.map(|magnified| magnified.rect)).collect()
    }

    pub(super) fn draw_over(
        &mut self,
        ui: &Ui,
        response: &Response,
        (scene, mode): (&Scene, Mode),
        style: &BenchStyle,
        aim: Option<SurfaceHit>,
        uncovered: bool,
    ) {
        let view = self.view(response);
        let overlay = Overlay::new(ui.painter_at(response.rect), view, style);
        overlay.compass();
        overlay.words(scene, &self.under_the_hand(&overlay, scene, mode, aim));
        let pointer = response.hover_pos();
        let undone = pointer.filter(|_| mode == Mode::PickPoints).and_then(|at| picked_under(scene, &view, at));
        overlay.residuals(&scene.residuals);
        overlay.picked(&scene.picked, undone);
        if let Gesture::Orbit { pivot } = &self.gesture {
            overlay.pivot(pivot);
        }
        if let (Gesture::Box { from }, Some(to)) = (&self.gesture, response.interact_pointer_pos()) {
            let boxed = Rect::from_two_pos(*from, to);
            overlay.selection_box(boxed);
            overlay.taken_by_box(scene, &pick::within(scene, &view, boxed));
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
        if let Some(place) = &scene.pointed {
            overlay.pointed(place, uncovered);
        }
        if let Some(text) = self.painter.trouble() {
            overlay.hint(&text);
        }
        self.covered = overlay.into_taken();
    }
}
