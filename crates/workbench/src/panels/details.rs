//! On a cut's card: details of the model nearby that it may be meant to follow.

use egui::{RichText, Ui};
use seamwright_project::{Cut, CutForm, Edit};

use super::line::remark;
use crate::app::Queue;
use crate::app::state::State;
use crate::app::style::Paper;
use crate::bench::detail_words;
use crate::text;

/// Lists them, each with a way to go there.
pub fn details(ui: &mut Ui, state: &State, queue: &mut Queue, cut: &Cut) {
    if cut.form != CutForm::Flat {
        return;
    }
    if state.details.are_sought {
        remark(ui, text::details::LOOKING);
        return;
    }
    let near = state.details_near(cut);
    if near.is_empty() {
        return;
    }
    ui.label(text::details::NEARBY);
    for near in near {
        let what = detail_words(near.detail);
        if near.is_here() {
            remark(ui, text::details::here(&what));
            continue;
        }
        let turned = (near.turn_deg >= 0.05).then_some(near.turn_deg);
        let text = text::details::off(&what, near.off_mm, turned);
        ui.horizontal(|ui| {
            ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                let button = ui.add(egui::Button::new(text::common::GO_THERE).small());
                button.widget_info(|| {
                    egui::WidgetInfo::labeled(
                        egui::Role::Button,
                        true,
                        text::common::told_apart(text::common::GO_THERE, &what),
                    )
                });
                if button.on_hover_text(text::details::GO_THERE_HINT).clicked() {
                    queue.edit(Edit::SetCutPlane { cut: cut.id, plane: near.plane });
                }
                let text = RichText::new(text).small().color(Paper::of(ui.visuals()).ink_soft);
                ui.with_layout(egui::Layout::left_to_right(egui::Align::Center), |ui| {
                    ui.add(egui::Label::new(text).truncate());
                });
            });
        });
    }
}
