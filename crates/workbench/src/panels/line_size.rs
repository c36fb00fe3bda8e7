//! Line 2: the unit of the file, the factor, and the size that comes of it.

use egui::{ComboBox, Grid, Ui};
use seamwright_project::{Edit, Size, Unit};

use super::entry::{Entry, Typed};
use super::line::remark;
use super::summary::unit_words;
use crate::app::state::State;
use crate::app::{Queue, words};

/// Shows the line's content.
pub fn show(ui: &mut Ui, state: &State, queue: &mut Queue) {
    let size = state.recipe().size;
    Grid::new("size").num_columns(2).show(ui, |ui| {
        let label = ui.label("modelled in");
        ComboBox::from_id_salt("unit")
            .selected_text(unit_words(size.unit))
            .show_ui(ui, |ui| {
                for unit in Unit::ALL {
                    if ui.selectable_label(unit == size.unit, unit_words(unit)).clicked() && unit != size.unit {
                        queue.edit(Edit::SetSize(Size { unit, ..size }));
                    }
                }
            })
            .response
            .labelled_by(label.id);
        ui.end_row();
        if let Typed::Done(factor) = Entry::plain("enlarged by", size.factor).show(ui) {
            queue.edit(Edit::SetSize(Size { factor, ..size }));
        }
        ui.end_row();
    });
    if let Some(bounds) = state.part_bounds() {
        let whole = bounds.size();
        ui.label(format!("{} × {} × {} mm", words::mm(whole.x), words::mm(whole.y), words::mm(whole.z)));
        remark(ui, "width × depth × height of the whole. Cuts stay at their place on the model when it is resized.");
    }
}
