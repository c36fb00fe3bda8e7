//! Line 7: the bed that pieces must fit, and how many do.

use egui::{Grid, Ui};
use seamwright_geometry::{Bed, Outline};
use seamwright_project::Edit;

use super::entry::{Entry, Typed};
use super::line::remark;
use crate::app::state::State;
use crate::app::{Queue, words};

/// Shows the line's content.
pub fn show(ui: &mut Ui, state: &State, queue: &mut Queue) {
    let bed = &state.recipe().bed;
    let mut set = |typed: Typed, change: &dyn Fn(&mut Bed, f64)| {
        if let Typed::Done(value) = typed {
            let mut next = bed.clone();
            change(&mut next, value);
            queue.edit(Edit::SetBed(next));
        }
    };
    Grid::new("bed").num_columns(2).show(ui, |ui| {
        match bed.outline {
            Outline::Rectangle { x_mm, y_mm } => {
                let width = Entry::length("bed width", x_mm).show(ui);
                set(width, &|bed, v| bed.outline = Outline::Rectangle { x_mm: v, y_mm });
                ui.end_row();
                let depth = Entry::length("bed depth", y_mm).show(ui);
                set(depth, &|bed, v| bed.outline = Outline::Rectangle { x_mm, y_mm: v });
                ui.end_row();
            }
            Outline::Circle { diameter_mm } => {
                let diameter = Entry::length("bed diameter", diameter_mm).show(ui);
                set(diameter, &|bed, v| bed.outline = Outline::Circle { diameter_mm: v });
                ui.end_row();
            }
            Outline::Polygon { .. } => {}
        }
        set(Entry::length("height", bed.height_mm).show(ui), &|bed, v| bed.height_mm = v);
        ui.end_row();
        set(Entry::length("margin", bed.margin_mm).show(ui), &|bed, v| bed.margin_mm = v);
        ui.end_row();
        set(Entry::length("around a piece", bed.around_mm).show(ui), &|bed, v| bed.around_mm = v);
        ui.end_row();
        set(Entry::length("raft", bed.raft_mm).step(0.1).show(ui), &|bed, v| bed.raft_mm = v);
        ui.end_row();
    });
    let [x, y, z] = bed.room_mm().map(words::entry);
    remark(ui, format!("Room for a piece: {x} × {y} × {z} mm."));
    remark(
        ui,
        "In the kit every piece lies on its largest cap where it fits so, else in a pose in which it fits, else as it \
         stands. Choosing a lay by hand is not in this version yet.",
    );
}
