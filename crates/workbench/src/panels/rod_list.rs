//! The rods to saw and the bars to buy, in short.

use egui::Ui;
use seamwright_project::rods::RodToSaw;

use super::line::{remark, trouble};
use crate::app::state::State;
use crate::app::words;

/// Shows the rods of the newest results.
pub fn rod_list(ui: &mut Ui, state: &State) {
    let Some(outcome) = state.outcome.as_ref().filter(|outcome| !outcome.rods.rods.is_empty()) else { return };
    for rod in &outcome.rods.rods {
        ui.label(sawn(rod));
        if let Some(droop) = rod.droop {
            let text = format!(
                "held at one end, this rod alone droops {} mm by its weight and {} mm per newton at its tip: an estimate",
                words::mm(droop.own_weight_mm),
                words::mm(droop.per_newton_mm)
            );
            remark(ui, text);
        }
    }
    for kind in &outcome.rods.kinds {
        match &kind.buying {
            Ok(buying) => {
                let bars: Vec<String> =
                    buying.bars.iter().map(|bar| format!("{} mm", words::entry(bar.length_mm))).collect();
                let offcuts: f64 = buying.bars.iter().map(|bar| bar.offcut_mm).sum();
                remark(ui, format!("buy {} of {}; {} mm are left over", bars.join(", "), kind.rod, words::mm(offcuts)));
            }
            Err(why) => trouble(ui, &format!("{}: {why}", kind.rod)),
        }
    }
}

fn sawn(rod: &RodToSaw) -> String {
    let run = if rod.run[1] > 1 { format!(" run {}", rod.run[0] + 1) } else { String::new() };
    let mass = rod.mass_g.map_or(String::new(), |g| format!(", {g:.0} g"));
    format!("{}{run}: saw {} mm of {}{mass}", rod.bore_name, words::mm(rod.length_mm), rod.rod)
}
