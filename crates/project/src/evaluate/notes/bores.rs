//! What was noticed of bores.

use super::super::roofs::OffRoof;
use super::note;
use crate::bore::Bore;
use crate::outcome::{BoreDone, BoreFacts, Note, Outcome, Weight};

/// Notes on all bores; `off` are the roofs that do not point up.
pub(super) fn notice(outcome: &Outcome, off: &[OffRoof]) -> Vec<Note> {
    let on = |done: &BoreDone| {
        let bore = outcome.recipe.bore(done.bore)?;
        let mut notes = on_bore(bore, done);
        notes.extend(on_magnets(outcome, bore, done));
        Some(notes)
    };
    let roof = |off: &OffRoof| {
        let name = &outcome.recipe.bore(off.bore)?.name;
        let text = format!(
            "the roof of {name} does not point up in {}: the bore itself changed how that piece lies. Turn the roof by hand",
            off.mark
        );
        Some(Note { bore: Some(off.bore), place: Some(off.place), ..note(Weight::Warning, text) })
    };
    let soft = outcome.rods.rods.iter().filter(|rod| rod.is_too_soft()).map(|rod| {
        let text = format!(
            "the rod of {} is too soft: {:.0} mm of {} held at one end droop by more than a tenth of that with the pieces on \
             it printed solid. Take a thicker rod",
            rod.bore_name, rod.length_mm, rod.rod
        );
        Note { bore: Some(rod.bore), ..note(Weight::Warning, text) }
    });
    outcome.bores.iter().filter_map(on).flatten().chain(off.iter().filter_map(roof)).chain(soft).collect()
}

/// Magnets hold two pieces together: their pocket has to be open in both, and in no third.
fn on_magnets(outcome: &Outcome, bore: &Bore, done: &BoreDone) -> Option<Note> {
    let (seam, facts) = (bore.seam?, done.result.as_ref().ok()?);
    let in_pieces: Vec<&str> = outcome
        .pieces
        .iter()
        .filter(|piece| piece.facts.bores.iter().any(|within| within.bore == bore.id))
        .map(|piece| piece.mark.as_str())
        .collect();
    let (name, cut) = (&bore.name, outcome.recipe.cut(seam.cut).map_or("its cut", |cut| cut.name.as_str()));
    let text = match in_pieces.as_slice() {
        [_, _] => return None,
        [] => return None,
        [only] => format!("{name} lies shut in {only}: {cut} parts nothing there. Move the magnets to where it does"),
        more => format!("{name} reaches into {}: move the magnets away from the other cut", more.join(", ")),
    };
    let place = Some(nalgebra::center(facts.line.first()?, facts.line.last()?));
    Some(Note { bore: Some(bore.id), place, ..note(Weight::Warning, text) })
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
    if let Some(broken) = facts.broken_mm().next() {
        let text = format!(
            "{name} breaks through the surface {:.0} mm along its line: centre it, move it, or take a thinner rod",
            broken[0]
        );
        notes.push((text, Some(facts.place_at(broken[0]))));
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
