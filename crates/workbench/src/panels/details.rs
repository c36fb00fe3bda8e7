//! On a cut's card: details of the model nearby that it may be meant to follow.

use egui::{RichText, Ui};
use seamwright_project::{Cut, CutForm, Edit};

use super::line::remark;
use crate::app::state::State;
use crate::app::style::Paper;
use crate::app::{Queue, words};
use crate::bench::detail_words;

/// Lists them, each with a way to go there.
pub fn details(ui: &mut Ui, state: &State, queue: &mut Queue, cut: &Cut) {
    if cut.form != CutForm::Flat {
        return;
    }
    if state.details.are_sought {
        remark(ui, "looking for creases, flat faces, mirror planes and waists…");
        return;
    }
    let near = state.details_near(cut);
    if near.is_empty() {
        return;
    }
    ui.label("details nearby");
    for near in near {
        let what = detail_words(near.detail);
        if near.is_here() {
            remark(ui, format!("here: {what}"));
            continue;
        }
        let mut far = vec![format!("{} mm off", words::mm(near.off_mm))];
        if near.turn_deg >= 0.05 {
            far.push(format!("{}° turned", words::angle(near.turn_deg)));
        }
        let text = format!("{what} · {}", far.join(", "));
        ui.horizontal(|ui| {
            ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                let button = ui.add(egui::Button::new("go there").small());
                button.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, true, format!("go there: {what}")));
                if button.on_hover_text("Lay the cut along it: one step, undo takes it back").clicked() {
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
