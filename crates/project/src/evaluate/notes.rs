//! What was noticed on the way, in the maker's words.

use seamwright_geometry::{Reason, Verdict};

mod bores;

use super::parting::{CutMet, Parting};
use super::roofs::OffRoof;
use crate::mending;
use crate::outcome::{CapFacts, MendDone, Note, Outcome, Part, Piece, ReliefDone, Stock, Weight};
use crate::recipe::Recipe;
use crate::relief;

/// All notes: on the stock, on bores, on cuts, on pieces.
pub(super) fn notice(stock: &Stock, parting: &Parting, outcome: &Outcome, off: &[OffRoof]) -> Vec<Note> {
    let Outcome { recipe, parts, pieces, .. } = outcome;
    let mut notes = on_stock(recipe, stock, parts);
    notes.extend(parts.iter().flat_map(|part| on_mends(recipe, part)));
    notes.extend(parts.iter().flat_map(|part| on_reliefs(recipe, part)));
    notes.extend(bores::notice(outcome, off));
    notes.extend(parting.met.iter().flat_map(|met| on_cut(recipe, met)));
    notes.extend(pieces.iter().flat_map(on_piece));
    notes.extend(pieces.iter().flat_map(|piece| on_rims(recipe, piece)));
    notes.sort_by_key(|note| std::cmp::Reverse(note.weight));
    notes
}

fn note(weight: Weight, text: String) -> Note {
    Note { weight, text, place: None, cut: None, bore: None, piece: None, edit: None }
}

/// Steps of mending that could not be done.
fn on_mends(recipe: &Recipe, part: &Part) -> Vec<Note> {
    let failed = part.mended.iter().filter_map(|done| Some((done, done.result.as_ref().err()?)));
    let text = |(done, why): (&MendDone, &String)| {
        let step = recipe.mends.get(done.at).map_or("a mend", |mend| mending::name(&mend.step));
        note(Weight::Warning, format!("{step} was not done: {why}"))
    };
    failed.map(text).collect()
}

/// Reliefs that could not be made, and those that cut a shell apart.
fn on_reliefs(recipe: &Recipe, part: &Part) -> Vec<Note> {
    let text = |done: &ReliefDone| {
        let name = recipe.reliefs.get(done.at).map_or_else(|| "a relief".to_owned(), relief::name);
        match &done.result {
            Err(why) => Some(format!("{name} was not done: {why}")),
            Ok(report) if report.faces_added > 0 && report.bodies > 1 => {
                Some(format!("{name}: it falls into {} bodies", report.bodies))
            }
            Ok(_) => None,
        }
    };
    part.relieved.iter().filter_map(text).map(|text| note(Weight::Warning, text)).collect()
}

fn on_stock(recipe: &Recipe, stock: &Stock, parts: &[Part]) -> Vec<Note> {
    let mut notes = Vec::new();
    let report = &stock.report;
    // Mended parts tell for themselves; what the file had wrong is no news then.
    let mended = parts.iter().any(|part| part.closed.is_some());
    if parts.iter().any(|part| part.closed == Some(false)) {
        let text = "the model is still not closed after mending. Pieces that contain such places cannot be closed";
        notes.push(note(Weight::Warning, text.into()));
    }
    if !report.closed && !mended {
        let at = [&report.longest_open_edge, &report.first_over_used_edge, &report.first_misturned_edge];
        let place = at.into_iter().flatten().next().map(|edge| edge.middle() * recipe.size.scale());
        let found = [
            (report.open_edges, "open edge", "open edges"),
            (report.over_used_edges, "edge with more than two faces", "edges with more than two faces"),
            (report.misturned_edges, "wrongly turned edge", "wrongly turned edges"),
        ];
        let found: Vec<String> = found
            .into_iter()
            .filter(|(n, ..)| *n > 0)
            .map(|(n, one, many)| format!("{n} {}", if n == 1 { one } else { many }))
            .collect();
        let text =
            format!("the model is not closed: {}. Pieces that contain such places cannot be closed", found.join(", "));
        notes.push(Note { place, ..note(Weight::Warning, text) });
    }
    if stock.set_aside > 0 {
        let faces = count(stock.set_aside, "face");
        notes.push(note(
            Weight::Warning,
            format!("{faces} of the file had coordinates that are not numbers and were set aside"),
        ));
    }
    notes.extend(stock.remarks.iter().map(|remark| note(Weight::Remark, remark.clone())));
    if report.duplicate_faces > 0 {
        notes.push(note(Weight::Remark, format!("the model has {}", count(report.duplicate_faces, "duplicate face"))));
    }
    notes
}

fn on_cut(recipe: &Recipe, met: &CutMet) -> Vec<Note> {
    let name = recipe.cut(met.cut).map_or_else(String::new, |cut| cut.name.clone());
    let mut notes = Vec::new();
    if met.crossed == 0 {
        let text = format!("{name} crosses nothing: it parts no piece where it is");
        notes.push(Note { cut: Some(met.cut), ..note(Weight::Remark, text) });
    }
    if !met.missing.is_empty() {
        let missing = count(met.missing.len(), "piece");
        let text = format!("{name} names {missing} that no longer exist where its turn comes");
        notes.push(Note { cut: Some(met.cut), ..note(Weight::Warning, text) });
    }
    if let Some(place) = met.places.ended_inside.first() {
        let text = format!(
            "{name} ends inside the material in {} and parts nothing there: move its end out of the material",
            count(met.places.ended_inside.len(), "place")
        );
        notes.push(Note { cut: Some(met.cut), place: Some(*place), ..note(Weight::Warning, text) });
    }
    if let Some(place) = met.places.left_open.first() {
        let text = format!(
            "{name} meets the open model in {} where it could not be closed for certain",
            count(met.places.left_open.len(), "place")
        );
        notes.push(Note { cut: Some(met.cut), place: Some(*place), ..note(Weight::Warning, text) });
    }
    notes
}

/// A piece that is smaller than this on all sides is hardly meant, mm (common practice, no source).
const CRUMB_MM: f64 = 5.0;

fn on_piece(piece: &Piece) -> Vec<Note> {
    let mut notes = Vec::new();
    let centre = piece.facts.bounds.centre();
    let about =
        |text: String, place| Note { piece: Some(piece.id.clone()), place: Some(place), ..note(Weight::Warning, text) };
    match piece.fit.verdict {
        Verdict::TooBig => {
            let text = format!(
                "{} is too big: it sticks out by {:.1} mm even in its best pose",
                piece.mark, -piece.fit.slack_mm
            );
            notes.push(about(text, centre));
        }
        Verdict::Undecided => {
            let text = format!("{}: {}", piece.mark, piece.fit.reason);
            notes.push(about(text, centre));
        }
        Verdict::Tilted if matches!(piece.fit.reason, Reason::TiltsFreely) => {
            let text = format!("{} fits only tilted freely, with no flat on the bed", piece.mark);
            notes.push(about(text, centre));
        }
        Verdict::AsItStands | Verdict::Turned | Verdict::Tilted => {}
    }
    let size = piece.facts.bounds.size();
    if size.amax() < CRUMB_MM && !piece.id.path.is_empty() {
        let text = format!(
            "{} is a crumb of {:.1} × {:.1} × {:.1} mm: a cut only just grazes the model there. Move the cut a little",
            piece.mark, size.x, size.y, size.z
        );
        notes.push(Note { weight: Weight::Remark, ..about(text, centre) });
    }
    if !piece.facts.closed {
        let place = piece.facts.open_places.first().copied().unwrap_or(centre);
        notes.push(about(format!("{} is not closed", piece.mark), place));
    }
    notes
}

/// Caps that meet the surface so flatly that the piece ends in a thin wedge.
fn on_rims(recipe: &Recipe, piece: &Piece) -> Vec<Note> {
    let told = |cap: &CapFacts| {
        let rim = cap.thin_rim?;
        let name = recipe.cut(cap.cut).map_or_else(String::new, |cut| cut.name.clone());
        let text = format!(
            "{name} grazes the surface: {} ends in a wedge of {:.0}° there, for {:.0} mm",
            piece.mark,
            rim.angle_deg.max(1.0),
            rim.length_mm
        );
        Some(Note { cut: Some(cap.cut), place: Some(rim.place), ..note(Weight::Remark, text) })
    };
    piece.facts.caps.iter().filter_map(told).collect()
}

fn count(n: usize, what: &str) -> String {
    if n == 1 { format!("1 {what}") } else { format!("{n} {what}s") }
}
