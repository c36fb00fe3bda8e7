//! The job card: one sheet with numbered lines, in the order of the work.

use egui::{Panel, Rect, ScrollArea, Stroke, Ui};

use super::line::{NUMBER_COLUMN, line, remark};
use super::{line_bores, line_cuts, line_kit, line_lays, line_shells, line_size, line_stock};
use crate::app::Queue;
use crate::app::state::{Line, State};
use crate::app::style::Paper;
use crate::text;

/// How wide the card may be, points, and which share of the window. Our own choice, no source.
const LEAST: f32 = 280.0;
const MOST: f32 = 460.0;
const MOST_SHARE: f32 = 0.54;

/// Shows the job card at the left.
pub fn job_card(ui: &mut Ui, state: &State, queue: &mut Queue) {
    let paper = Paper::of(ui.visuals());
    let frame = egui::Frame::new().fill(paper.sheet);
    // In a narrow window the bench keeps nearly half.
    let most = (ui.ctx().content_rect().width() * MOST_SHARE).clamp(LEAST, MOST);
    let mut panel = Panel::left("job card").default_size(330.0).size_range(LEAST..=most).frame(frame);
    // What is dragged would slip away from under the pointer, were the card to grow with its words.
    if let Some(card) = ui.data(|d| d.get_temp::<Rect>(card_key()))
        && (state.is_shown_elsewhere() || is_dragging_beside(ui, card))
    {
        panel = panel.exact_size(card.width());
    }
    let shown = panel.show(ui, |ui| {
        let sheet = ui.max_rect();
        let kept = kept_still(ui, sheet);
        let scrolled = ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
            ui.spacing_mut().item_spacing.y = 0.0;
            for at in Line::ALL {
                line(ui, state, queue, at, |ui, queue| content(ui, state, queue, at));
            }
            let height = ui.min_rect().height();
            if is_over_content(ui) {
                ui.add_space((kept - height).max(0.0));
            }
        });
        ui.data_mut(|d| d.insert_temp(offset_key(), scrolled.state.clamped_offset().y));
        let x = sheet.left() + NUMBER_COLUMN;
        ui.painter().vline(x, sheet.y_range(), Stroke::new(1.0, paper.margin_line));
    });
    ui.data_mut(|d| d.insert_temp(card_key(), shown.response.rect));
}

/// How high the sheet is at least: where it is scrolled to its end, and gets shorter or is seen more of while the pointer is
/// on it, what is there to be pressed would slip away from under the pointer.
fn kept_still(ui: &Ui, seen: Rect) -> f32 {
    let offset = ui.data(|d| d.get_temp::<f32>(offset_key())).unwrap_or(0.0);
    if offset > 0.0 && ui.rect_contains_pointer(seen) { offset + seen.height() } else { 0.0 }
}

/// Whether the pointer is on what is there, not beneath it: where it ends above the pointer there is nothing to be pressed
/// that could slip away, and the card would be seen empty.
fn is_over_content(ui: &Ui) -> bool {
    let end = ui.min_rect().bottom();
    ui.input(|i| i.pointer.latest_pos()).is_some_and(|at| at.y < end)
}

fn offset_key() -> egui::Id {
    egui::Id::unique("how far the job card is scrolled")
}

/// Whether a button went down beyond the edge of the card, which is dragged itself to make the card wider, and is held.
fn is_dragging_beside(ui: &Ui, card: Rect) -> bool {
    let edge = card.right() + ui.style().interaction.resize_grab_radius_side;
    ui.input(|i| i.pointer.press_origin()).is_some_and(|from| from.x > edge)
}

fn card_key() -> egui::Id {
    egui::Id::unique("where the job card is")
}

fn content(ui: &mut Ui, state: &State, queue: &mut Queue, line: Line) {
    match line {
        Line::Stock => line_stock::show(ui, state, queue),
        Line::Size => line_size::show(ui, state, queue),
        Line::Shells => line_shells::show(ui, state, queue),
        Line::Bores => line_bores::show(ui, state, queue),
        Line::Cuts => line_cuts::show(ui, state, queue),
        Line::Joints => remark(ui, text::job_card::NO_JOINTS_YET),
        Line::Lays => line_lays::show(ui, state, queue),
        Line::Kit => line_kit::show(ui, state, queue),
    }
}
