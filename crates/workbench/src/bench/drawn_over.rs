//! What is drawn over the picture in a frame, one thing after another.

use egui::{Rect, Response, Ui, Vec2};

use super::action::Mode;
use super::cut_in_hand::CutInHand;
use super::detail;
use super::drag::Drag;
use super::gestures::{Gesture, offset_of, picked_under};
use super::handles::{Handle, Handles};
use super::overlay::Overlay;
use super::pick::{self, SurfaceHit};
use super::said::Words;
use super::scene::Scene;
use super::style::BenchStyle;
use super::widget::Bench;
use crate::text;

/// What the hand on a handle covers, points.
const HAND: f32 = 26.0;
/// In so many frames from the first of a drag on, its words find their places afresh. Our own choice, no source.
const FRAMES_AFRESH: u8 = 4;

impl Bench {
    /// What words keep clear of: the ring under the pointer, and the magnifier.
    fn under_the_hand(&self, overlay: &Overlay, scene: &Scene, mode: Mode, aim: Option<SurfaceHit>) -> Vec<Rect> {
        let ring = aim
            .filter(|_| mode != Mode::Look)
            .and_then(|hit| overlay.aimed_at(&hit, &offset_of(scene, hit.id), mode == Mode::PlaceByClick));
        let pointed = scene.pointed.and_then(|place| overlay.ring_of(&place));
        ring.into_iter().chain(pointed).chain(self.magnifier.shown.map(|magnified| magnified.rect)).collect()
    }

    /// The drag of a handle of the cut that goes on.
    fn cut_drag(&self) -> Option<&Drag> {
        match &self.gesture {
            Gesture::Handle(drag) => Some(drag.as_ref()),
            _ => None,
        }
    }

    /// The handles of the cut, its band, and what is said of it, clear of these and of what lies over the bench.
    fn draw_cut(
        &mut self,
        overlay: &Overlay,
        scene: &Scene,
        (cut, handles, hovered, on_band): (&CutInHand, &Handles, Option<Handle>, bool),
        clear: Vec<Rect>,
    ) {
        let drag = self.cut_drag();
        overlay.band(cut, handles, drag);
        overlay.handles(handles, hovered, drag);
        let mut said = Vec::new();
        if let Some(drag) = drag {
            let short = scene.details.is_empty() || overlay.is_low();
            if !overlay.is_tiny() {
                overlay.hint(if short { text::bench::DRAG_KEYS } else { text::bench::DRAG_KEYS_DETAILS });
            }
            let beneath = self.told_of_cut(overlay, scene, (cut, handles, drag));
            said.extend(overlay.handle_said(cut, handles, drag, beneath));
            said.extend(overlay.sides_said(cut, handles));
        }
        said.extend(overlay.band_said(cut, handles, on_band || hovered == Some(Handle::Move), drag));
        // When it is taken marks and more are still in the way that are gone a moment later.
        self.said_afresh = if drag.is_some() { self.said_afresh.saturating_sub(1) } else { FRAMES_AFRESH };
        if self.said_afresh > 0 {
            self.said.clear();
        }
        overlay.say(&said, &clear, &mut self.said);
    }

    /// What is told of the cut beneath the number of the handle that is dragged: the detail that it is drawn to, warnings,
    /// and where there is room what else every frame knows.
    fn told_of_cut(
        &self,
        overlay: &Overlay,
        scene: &Scene,
        (cut, handles, drag): (&CutInHand, &Handles, &Drag),
    ) -> Vec<Words> {
        let style = overlay.style;
        let detail = self.drawn_to(scene);
        detail.into_iter().for_each(|detail| overlay.detail_dots(detail));
        let detail = detail.map(|detail| Words::new(detail::drawn_words(detail, drag), style.accent));
        let nowhere = overlay.no_band_said(cut, handles, drag).map(|none| Words::new(none, style.ink));
        // Where there is little room it says only what the hand needs; the rest is on its card.
        let has_room = |is_warning: bool| if is_warning { !overlay.is_tiny() } else { !overlay.is_low() };
        let told = scene.cut_words.iter().filter(|(_, is_warning)| has_room(*is_warning));
        let told = told.map(|(text, is_warning)| Words::new(text, if *is_warning { style.warning } else { style.ink }));
        detail.into_iter().chain(nowhere).chain(told).collect()
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
        scene.hint.into_iter().for_each(|hint| overlay.hint(hint));
        let mut clear = self.under_the_hand(&overlay, scene, mode, aim);
        if let Some(cut) = scene.cut.as_ref().filter(|cut| cut.held) {
            let handles = Handles::of(cut, &view, self.cut_drag());
            clear.extend(overlay.handles_cover(&handles, self.cut_drag()));
            clear.extend(overlay.band_covers(cut, &handles, self.cut_drag()));
        }
        clear.extend(&self.overlaid);
        overlay.words(scene, &clear);
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
        self.hung = None;
        if let Some(cut) = scene.cut.as_ref().filter(|c| c.held) {
            let handles = Handles::of(cut, &view, self.cut_drag());
            let numbers = [Handle::Move, Handle::TiltFirst, Handle::TiltSecond]
                .map(|handle| overlay.number_place(&handles, handle));
            self.hung = Some((handles.seat, numbers));
            let free = matches!(self.gesture, Gesture::Nothing);
            let hovered = pointer.filter(|_| free).and_then(|at| handles.under(&view, at));
            let hand = response.interact_pointer_pos().or(pointer);
            clear.extend(hand.map(|at| Rect::from_center_size(at, Vec2::splat(HAND))));
            let on_band = pointer.filter(|_| free && hovered.is_none());
            let on_band = on_band.and_then(|at| overlay.band_under(cut, &handles, at));
            self.draw_cut(&overlay, scene, (cut, &handles, hovered, on_band.is_some()), clear);
            if let Some(words) = on_band {
                response.clone().on_hover_text_at_pointer(words);
            }
            if self.cut_drag().is_some() {
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
