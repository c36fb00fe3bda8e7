//! Room made in shells for others, beneath the table of shells.

use egui::{ComboBox, Ui};
use seamwright_project::relief::{self, CLEARANCE_MM};
use seamwright_project::{Edit, Relief};

use super::entry::{Entry, Typed};
use super::line::{remark, trouble};
use crate::app::state::State;
use crate::app::{Queue, Stock};
use crate::text;

/// Solids that are offered at most, the largest first: a list that long is looked through no more.
const MOST_OFFERED: usize = 40;

/// Shows the reliefs, and offers one for the shell that is lit up.
pub fn reliefs(ui: &mut Ui, state: &State, queue: &mut Queue, stock: &Stock) {
    for at in 0..state.recipe().reliefs.len() {
        ui.push_id(("relief", at), |ui| row(ui, state, queue, at));
    }
    let mut solids: Vec<u32> = (0..).take(stock.report.shells.len()).filter(|i| stock.solid_of(*i) == *i).collect();
    solids.sort_by_key(|i| std::cmp::Reverse(stock.report.shells[*i as usize].triangles));
    let Some(shell) = state.selected_shell.map(|shell| stock.solid_of(shell)).filter(|_| solids.len() > 1) else {
        return;
    };
    ui.horizontal(|ui| {
        let name = text::shells::makes_room(u64::from(shell) + 1);
        ui.label(&name);
        let combo =
            ComboBox::from_id_salt("relieved by").selected_text(text::shells::CHOOSE).width(88.0).show_ui(ui, |ui| {
                for &by in solids.iter().filter(|by| **by != shell).take(MOST_OFFERED) {
                    if ui.selectable_label(false, text::shells::for_shell(u64::from(by) + 1)).clicked() {
                        add(queue, state, shell, by);
                    }
                }
            });
        let hint = text::shells::RELIEF_HINT;
        combo.response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::ComboBox, true, name.clone()));
        combo.response.on_hover_text(hint);
    });
}

/// Adds a relief with the usual clearance.
pub fn add(queue: &mut Queue, state: &State, shell: u32, by: u32) {
    let mut reliefs = state.recipe().reliefs.clone();
    reliefs.retain(|relief| relief.enabled || (relief.shell, relief.by) != (shell, by));
    reliefs.push(Relief { shell, by, clearance_mm: CLEARANCE_MM, enabled: true });
    queue.edit(Edit::SetReliefs(reliefs));
}

fn row(ui: &mut Ui, state: &State, queue: &mut Queue, at: usize) {
    let reliefs = &state.recipe().reliefs;
    let relief = reliefs[at];
    let change = |queue: &mut Queue, to: Option<Relief>| {
        let mut next = reliefs.clone();
        match to {
            Some(to) => next[at] = to,
            None => drop(next.remove(at)),
        }
        queue.edit(Edit::SetReliefs(next));
    };
    let [shell, by] = [relief.shell, relief.by].map(|shell| u64::from(shell) + 1);
    let mut enabled = relief.enabled;
    let name = text::shells::makes_room_for(shell, by);
    if ui.checkbox(&mut enabled, name).on_hover_text(text::common::DONE_OR_NOT).changed() {
        change(queue, Some(Relief { enabled, ..relief }));
    }
    ui.horizontal(|ui| {
        let hint = text::shells::CLEARANCE_HINT;
        let entry = Entry::length(text::shells::CLEARANCE, relief.clearance_mm).step(0.05).hint(hint);
        if let Typed::Done(clearance_mm) = entry.show(ui) {
            change(queue, Some(Relief { clearance_mm, ..relief }));
        }
        let away = ui.add(egui::Button::new(text::common::TAKE_AWAY).small());
        if away.on_hover_text(text::health::TAKE_AWAY_HINT).clicked() {
            change(queue, None);
        }
    });
    let Some(outcome) = &state.outcome else { return };
    for done in outcome.parts.iter().flat_map(|part| part.relieved.iter()).filter(|done| done.at == at) {
        match &done.result {
            Ok(report) => remark(ui, relief::words(report, state.recipe().size.scale())),
            Err(error) => trouble(ui, error),
        }
    }
}
