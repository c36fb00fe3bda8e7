//! What was noticed of bores.

use super::note;
use crate::bore::Bore;
use crate::outcome::{BoreDone, BoreFacts, Note, Outcome, Weight};

/// Notes on all bores.
pub(super) fn notice(outcome: &Outcome) -> Vec<Note> {
    let on = |done: &BoreDone| outcome.recipe.bore(done.bore).map(|bore| on_bore(bore, done));
    outcome.bores.iter().filter_map(on).flatten().collect()
}

fn on_bore(bore: &Bore, done: &BoreDone) -> Vec<Note> {
    let about = |weight, text: String, place| Note { bore: Some(bore.id), place, ..note(weight, text) };
    let name = &bore.name;
    match &done.result {
        Err(failed) => {
            vec![about(Weight::Warning, format!("{name} was not bored: {}", failed.why), failed.place)]
        }
        Ok(facts) if facts.removed_mm3 <= 0.0 => {
            vec![about(Weight::Warning, format!("{name} goes through no material where it is"), None)]
        }
        Ok(facts) => {
            on_walls(bore, facts).into_iter().map(|(text, place)| about(Weight::Warning, text, place)).collect()
        }
    }
}

fn on_walls(bore: &Bore, facts: &BoreFacts) -> Vec<(String, Option<seamwright_geometry::Point>)> {
    let name = &bore.name;
    let mut notes = Vec::new();
    if let Some(broken) = facts.profile.broken.first() {
        let text = format!(
            "{name} breaks through the surface {:.0} mm along its line: centre it, move it, or take a thinner rod",
            broken.from_mm
        );
        notes.push((text, Some(facts.place_at(broken.from_mm))));
    }
    let thin = facts.profile.least.as_ref().filter(|least| least.wall_mm > 0.0 && least.wall_mm < bore.least_wall_mm);
    if let Some(least) = thin {
        let text = format!(
            "the wall around {name} is only {:.1} mm thick {:.0} mm along its line; {} mm were asked for",
            least.wall_mm, least.at_mm, bore.least_wall_mm
        );
        notes.push((text, Some(least.towards)));
    }
    notes
}
