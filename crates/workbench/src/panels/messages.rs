//! Messages on the bench, until they are read.

use egui::{Align, Area, Frame, Id, Label, Layout, Margin, Order, Rect, RichText, Ui};

use crate::app::state::State;
use crate::app::style::Paper;
use crate::app::{Action, Queue};
use crate::text;

/// Shows the messages in `room`, newest below, over all that lies on the bench; gives where.
pub fn messages(ui: &mut Ui, room: Rect, state: &State, queue: &mut Queue) -> Option<Rect> {
    state.messages.iter().next()?;
    let area = Area::new(Id::unique("messages")).order(Order::Foreground).fixed_pos(room.min).constrain(false);
    let shown = area.show(ui.ctx(), |ui| {
        ui.set_width(room.width());
        all(ui, state, queue);
    });
    Some(shown.response.rect)
}

fn all(ui: &mut Ui, state: &State, queue: &mut Queue) {
    let paper = Paper::of(ui.visuals());
    for message in state.messages.iter() {
        let (fill, ink) = if message.is_error { (paper.warning_wash, paper.warning) } else { (paper.slip, paper.ink) };
        let frame = Frame::new().fill(fill).stroke(egui::Stroke::new(1.0, ink)).corner_radius(3);
        let shown = ui.scope(|ui| {
            ui.multiply_opacity(message.strength());
            frame.inner_margin(Margin::same(9)).show(ui, |ui| {
                ui.with_layout(Layout::left_to_right(Align::Min), |ui| {
                    let room = ui.available_width() - 76.0;
                    ui.allocate_ui_with_layout(egui::vec2(room, 0.0), Layout::top_down(Align::Min), |ui| {
                        ui.set_width(room);
                        ui.add(Label::new(RichText::new(&message.text).color(ink)).wrap().selectable(true));
                    });
                    if ui.button(text::bench::DISMISS).on_hover_text(text::bench::DISMISS_HINT).clicked() {
                        queue.push(Action::DismissMessage(message.id));
                    }
                });
            });
        });
        // Whoever reads it is given the time.
        if message.runs_out() && shown.response.contains_pointer() {
            queue.push(Action::HoldMessage(message.id));
        }
    }
}
