//! On a cut's card: the best place nearby at which both its sides fit, to look at and to take.

use egui::Ui;
use seamwright_project::{Cut, Nearest};

use super::line::remark;
use crate::app::advice::show_cut;
use crate::app::state::State;
use crate::app::{Action, Queue};

/// Shows the button, and what was found.
pub fn nearby(ui: &mut Ui, state: &State, queue: &mut Queue, cut: &Cut) {
    let possible = cut.enabled && !state.is_out_of_date();
    match state.nearest_place(cut.id) {
        None => {
            let button = ui.add_enabled(possible, egui::Button::new("best place nearby"));
            let hint = "The least move, or else the least tilt, with which both sides fit one of the beds";
            if button.on_hover_text(hint).clicked() {
                queue.push(Action::FindPlace(cut.id));
            }
        }
        Some(Nearest::Here) => remark(ui, "Both sides fit where it is."),
        Some(Nearest::Nowhere) => {
            remark(ui, "No move and no tilt of up to 30° leaves two sides that fit: cut once more.");
        }
        Some(Nearest::PartsNothing) => remark(ui, "It parts nothing here."),
        Some(Nearest::Place(place)) => {
            ui.add(egui::Label::new(capital(&place.text)).wrap());
            ui.horizontal_wrapped(|ui| {
                let shown = state.is_shown_at(place);
                if ui
                    .selectable_label(shown, "show me")
                    .on_hover_text("Look at it there; nothing is changed yet")
                    .clicked()
                {
                    if shown {
                        queue.push(Action::Preview { cut: cut.id, plane: None });
                    } else {
                        show_cut(cut.id, place.plane, queue);
                    }
                }
                if ui.button("put it there").clicked() {
                    queue.edit(place.edit());
                }
            });
        }
    }
}

/// As the beginning of a sentence, with its full stop.
pub fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |first| format!("{}{}.", first.to_uppercase(), chars.as_str()))
}
