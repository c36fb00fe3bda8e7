//! The rods to saw and the bars to buy, in short.

use egui::Ui;
use seamwright_project::rods::RodToSaw;

use super::line::{remark, trouble};
use crate::app::state::State;
use crate::text;

/// Shows the rods of the newest results.
pub fn rod_list(ui: &mut Ui, state: &State) {
    let Some(outcome) = state.outcome.as_ref().filter(|outcome| !outcome.rods.rods.is_empty()) else { return };
    for rod in &outcome.rods.rods {
        ui.label(sawn(rod));
        if let Some(droop) = rod.droop {
            let loaded = rod.small(droop.loaded_mm).filter(|_| droop.carried_g > 0.0);
            let loaded = loaded.map(|loaded| (loaded, droop.carried_g));
            let told = text::bores::droops(rod.small(droop.own_weight_mm), rod.small(droop.per_newton_mm), loaded);
            told.into_iter().for_each(|told| remark(ui, told));
        }
        if rod.is_too_soft() {
            trouble(ui, text::bores::TOO_SOFT);
        }
    }
    for kind in &outcome.rods.kinds {
        match &kind.buying {
            Ok(buying) => {
                let bars = buying.bars.iter().map(|bar| bar.length_mm);
                let offcuts: f64 = buying.bars.iter().map(|bar| bar.offcut_mm).sum();
                remark(ui, text::bores::buy(bars, &kind.rod, offcuts));
            }
            Err(why) => trouble(ui, &text::bores::no_bars(&kind.rod, why)),
        }
    }
}

fn sawn(rod: &RodToSaw) -> String {
    let run = (rod.run[1] > 1).then(|| rod.run[0] + 1);
    text::bores::saw(&rod.bore_name, run, rod.length_mm, &rod.rod, rod.mass_g)
}
