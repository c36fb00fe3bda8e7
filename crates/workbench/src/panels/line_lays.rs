//! Line 7: the beds that pieces must fit, and how they do.

use egui::Ui;

use super::bed_form::bed_form;
use super::bed_list::{bed_list, own_beds, ways_to_add};
use super::line::remark;
use super::piece_on_beds::piece_on_beds;
use crate::app::Queue;
use crate::app::beds::shown_at;
use crate::app::state::State;
use crate::text;

/// Shows the line's content.
pub fn show(ui: &mut Ui, state: &State, queue: &mut Queue) {
    let at = shown_at(state);
    bed_list(ui, state, queue);
    bed_form(ui, state, queue, at);
    ways_to_add(ui, state, queue, at);
    own_beds(ui, state, queue, at);
    piece_on_beds(ui, state);
    remark(ui, text::beds::LAYS);
}
