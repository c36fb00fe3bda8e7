//! On a cut's card: the best place nearby at which both its sides fit, to look at and to take.

use egui::Ui;
use seamwright_project::{Cut, Nearest};

use super::line::remark;
use crate::app::advice::show_cut;
use crate::app::state::State;
use crate::app::style::{Paper, choice};
use crate::app::{Action, Queue};
use crate::text;

/// Shows the button, and what was found.
pub fn nearby(ui: &mut Ui, state: &State, queue: &mut Queue, cut: &Cut) {
    let possible = cut.enabled && !state.is_out_of_date();
    match state.nearest_place(cut.id) {
        None => {
            let button = ui.add_enabled(possible, egui::Button::new(text::details::BEST_PLACE));
            let hint = text::details::BEST_PLACE_HINT;
            if button.on_hover_text(hint).clicked() {
                queue.push(Action::FindPlace(cut.id));
            }
        }
        Some(Nearest::Here) => remark(ui, text::details::FITS_HERE),
        Some(Nearest::Nowhere) => {
            remark(ui, text::details::FITS_NOWHERE);
        }
        Some(Nearest::PartsNothing) => remark(ui, text::details::PARTS_NOTHING),
        Some(Nearest::Place(place)) => {
            ui.add(egui::Label::new(capital(&place.text)).wrap());
            ui.horizontal_wrapped(|ui| {
                let shown = state.is_shown_at(place);
                if ui
                    .add(choice(&Paper::of(ui.visuals()), shown, text::common::SHOW_ME))
                    .on_hover_text(text::details::LOOK_FIRST)
                    .clicked()
                {
                    if shown {
                        queue.push(Action::Preview { cut: cut.id, plane: None });
                    } else {
                        show_cut(cut.id, place.plane, queue);
                    }
                }
                if ui.button(text::details::PUT_IT_THERE).clicked() {
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
