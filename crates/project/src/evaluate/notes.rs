//! What was noticed on the way, in the maker's words.

use seamwright_geometry::mend::MendStep;
use seamwright_geometry::{Bed, Reason, ThinRim, Verdict};

mod bores;
mod crumbs;
mod slits;
mod standing;
mod tall;

use super::parting::{CutMet, Parting};
use super::roofs::OffRoof;
use crate::edit::Edit;
use crate::mending;
use crate::outcome::{MendDone, Note, Outcome, Part, Piece, ReliefDone, Stock, Weight};
use crate::recipe::{Cut, Recipe, Size, SizedBy};
use crate::relief;
use crate::stands::Stands;
use crate::unit_guess::guess_units;

/// All notes: on the stock, on bores, on cuts, on pieces.
pub(super) fn notice(stock: &Stock, parting: &Parting, outcome: &Outcome, off: &[OffRoof]) -> Vec<Note> {
    let Outcome { recipe, parts, pieces, .. } = outcome;
    let mut notes = on_stock(stock, outcome);
    notes.extend(on_unit(recipe, stock));
    notes.extend(standing::notice(stock, outcome));
    notes.extend(parts.iter().flat_map(|part| on_mends(recipe, part)));
    notes.extend(on_parted(outcome));
    notes.extend(parts.iter().flat_map(|part| on_reliefs(recipe, part)));
    notes.extend(bores::notice(outcome, off));
    notes.extend(parting.met.iter().flat_map(|met| on_cut(recipe, met)));
    notes.extend(slits::notice(outcome));
    notes.extend(pieces.iter().filter(|piece| !piece.is_crumb()).flat_map(|piece| on_piece(recipe, piece)));
    notes.extend(tall::notice(outcome));
    notes.extend(crumbs::notice(outcome));
    notes.extend(recipe.cuts.iter().filter_map(|cut| on_rims(cut, pieces)));
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

/// Surfaces that hung together along an edge only are bodies of their own once a mend has parted them. Once it is cut, one
/// has seen what it falls into.
fn on_parted(outcome: &Outcome) -> Option<Note> {
    let Outcome { recipe, parts, pieces, .. } = outcome;
    if !recipe.cuts.is_empty() || recipe.keep_bodies_together {
        return None;
    }
    let step = |done: &MendDone| recipe.mends.get(done.at).map(|mend| &mend.step);
    let parted = |done: &MendDone| {
        step(done) == Some(&MendStep::SplitSheets) && done.result.as_ref().is_ok_and(|report| !report.did_nothing())
    };
    let shells: usize = parts.iter().map(|part| part.shells.len()).sum();
    // Crumbs have a note of their own.
    let bodies = pieces.iter().filter(|piece| !piece.is_crumb()).count();
    if bodies <= shells || !parts.iter().any(|part| part.mended.iter().any(parted)) {
        return None;
    }
    let text = format!(
        "{} has left {} where the file has {}: what touched along an edge only came apart. Keep them in one piece",
        mending::name(&MendStep::SplitSheets),
        count(bodies, "piece"),
        count(shells, "shell")
    );
    Some(Note { edit: Some(Edit::SetKeepBodiesTogether(true)), ..note(Weight::Remark, text) })
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

/// Marks of this many shells are told one by one; of more only how many there are.
const MOST_SHELLS: usize = 6;

/// `: shell 2 of 3 is open`; nothing where all are.
fn which_open(open: &[u32], all: usize) -> String {
    let names: Vec<String> = open.iter().map(|shell| (u64::from(*shell) + 1).to_string()).collect();
    match open.len() {
        n if n == 0 || n == all => String::new(),
        1 => format!(": shell {} of {all} is open", names[0]),
        n if n <= MOST_SHELLS => {
            format!(": shells {} and {} of {all} are open", names[..n - 1].join(", "), names[n - 1])
        }
        n => format!(": {n} of {all} shells are open"),
    }
}

fn on_stock(stock: &Stock, outcome: &Outcome) -> Vec<Note> {
    let mut notes = Vec::new();
    let (recipe, report, parts) = (&outcome.recipe, &stock.report, &outcome.parts);
    let open = outcome.open_shells();
    // Mended parts tell for themselves; what the file had wrong is no news then. One part may be mended and another not.
    let mended = outcome.is_mended();
    if mended && (!open.is_empty() || parts.iter().any(|part| part.closed == Some(false))) {
        let which = which_open(&open, report.shells.len());
        let text = format!(
            "the model is still not closed after mending{which}. Pieces that contain such places cannot be closed"
        );
        let place = outcome.pieces.iter().find_map(|piece| piece.facts.open_places.first()).copied();
        notes.push(Note { place, ..note(Weight::Warning, text) });
    }
    // What is dropped may be as open as it likes.
    if !open.is_empty() && !mended {
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
    let dropped = !parts.is_empty() && parts.iter().all(|part| dropped_duplicates(recipe, part));
    if report.duplicate_faces > 0 && !dropped {
        notes.push(note(Weight::Remark, format!("the model has {}", count(report.duplicate_faces, "duplicate face"))));
    }
    notes
}

/// Whether a mend dropped the faces of a part that the file has twice.
fn dropped_duplicates(recipe: &Recipe, part: &Part) -> bool {
    let step = |done: &MendDone| recipe.mends.get(done.at).map(|mend| &mend.step);
    part.mended.iter().any(|done| done.result.is_ok() && step(done) == Some(&MendStep::DropDuplicates))
}

/// A model of a size that no part of a costume has was read in the wrong unit; whoever sized it knows better.
fn on_unit(recipe: &Recipe, stock: &Stock) -> Vec<Note> {
    if recipe.sized_by != SizedBy::AsMade {
        return Vec::new();
    }
    let size = recipe.size;
    let longest = stock.mesh.bounds().map_or(0.0, |bounds| bounds.size().max());
    let guesses = guess_units(longest * size.factor, size.unit).into_iter().enumerate();
    let told = guesses.map(|(i, guess)| {
        let words = if i == 0 { guess.words(size.unit) } else { guess.other_words() };
        let edit = Edit::SetSize(Size { unit: guess.unit, ..size });
        Note { edit: Some(edit), ..note(Weight::Warning, words) }
    });
    told.collect()
}

fn on_cut(recipe: &Recipe, met: &CutMet) -> Vec<Note> {
    let name = recipe.cut(met.cut).map_or_else(String::new, |cut| cut.name.clone());
    let mut notes = Vec::new();
    if met.crossed == 0 {
        let text = format!("{name} crosses nothing: it parts no piece where it is");
        notes.push(Note { cut: Some(met.cut), ..note(Weight::Remark, text) });
    }
    if !met.missing.is_empty() {
        let missing = match met.missing.len() {
            1 => "1 piece that no longer exists".to_owned(),
            n => format!("{n} pieces that no longer exist"),
        };
        let text = format!("{name} names {missing} where its turn comes");
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

/// Which ways a piece is too long as it stands; nothing where each side fits by itself, and only its outline does not.
fn as_it_stands(piece: &Piece, bed: &Bed) -> String {
    let stands = Stands::on(bed, &piece.facts.bounds);
    if stands.over_mm() == [0.0; 3] { String::new() } else { format!("{stands} as it stands, and ") }
}

fn on_piece(recipe: &Recipe, piece: &Piece) -> Vec<Note> {
    let bed = recipe.beds().nth(piece.bed).unwrap_or(&recipe.bed);

    let mut notes = Vec::new();
    let centre = piece.facts.bounds.centre();
    let about =
        |text: String, place| Note { piece: Some(piece.id.clone()), place: Some(place), ..note(Weight::Warning, text) };
    match piece.fit.verdict {
        Verdict::TooBig => {
            let text = format!(
                "{} is too big: {}even in its best pose it sticks out by {:.1} mm",
                piece.mark,
                as_it_stands(piece, bed),
                -piece.fit.slack_mm
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
    if !piece.facts.closed {
        let place = piece.facts.open_places.first().copied().unwrap_or(centre);
        notes.push(about(format!("{} is not closed", piece.mark), place));
    }
    notes
}

/// A cut that meets the surface so flatly that pieces end in thin wedges; the thinnest is told.
fn on_rims(cut: &Cut, pieces: &[Piece]) -> Option<Note> {
    let rims = pieces.iter().flat_map(|piece| {
        let caps = piece.facts.caps.iter().filter(|cap| cap.cut == cut.id);
        caps.filter_map(move |cap| Some((piece, cap.thin_rim?)))
    });
    let rims: Vec<(&Piece, ThinRim)> = rims.collect();
    let (_, thinnest) = rims.iter().min_by(|a, b| a.1.angle_deg.total_cmp(&b.1.angle_deg))?;
    let mut marks: Vec<&str> = rims.iter().map(|(piece, _)| piece.mark.as_str()).collect();
    marks.dedup();
    let (ends, in_one) =
        if let [_] = marks.as_slice() { ("ends in a wedge", "") } else { ("end in wedges", " at the thinnest") };
    let text = format!(
        "{} grazes the surface: {} {ends} of {:.0}°{in_one}, for {:.0} mm",
        cut.name,
        marks.join(", "),
        thinnest.angle_deg.max(1.0),
        thinnest.length_mm
    );
    Some(Note { cut: Some(cut.id), place: Some(thinnest.place), ..note(Weight::Remark, text) })
}

fn count(n: usize, what: &str) -> String {
    if n == 1 { format!("1 {what}") } else { format!("{n} {what}s") }
}
