//! Pieces that nobody meant, all in one note.

use super::{count, note};
use crate::edit::Edit;
use crate::outcome::{Crumb, Note, Outcome, Piece, Weight};

/// So many marks are told one by one.
const MOST_TOLD: usize = 8;

/// One note for all crumbs, with the change that leaves them out; where that is done, what was left out.
pub(super) fn notice(outcome: &Outcome) -> Option<Note> {
    let mut crumbs: Vec<&Piece> = outcome.left_out.iter().collect();
    if !outcome.left_out.is_empty() {
        let are = if crumbs.len() == 1 { "1 crumb is" } else { &format!("{} crumbs are", crumbs.len()) };
        let text = format!("{are} left out of the list and the kit: {}", told(&crumbs));
        return Some(Note { place: centre(largest(&crumbs)), ..note(Weight::Remark, text) });
    }
    crumbs.extend(outcome.pieces.iter().filter(|piece| piece.is_crumb()));
    let first = largest(&crumbs)?;
    let (what, of_them) = match crumbs.len() {
        1 => ("1 piece is a crumb".to_owned(), "it"),
        n => (format!("{n} of the {} are crumbs", count(outcome.pieces.len(), "piece")), "they"),
    };
    let gone = crumbs.iter().filter(|piece| piece.crumb == Some(Crumb::Vanishes)).count();
    let fine = crumbs.iter().filter(|piece| piece.crumb == Some(Crumb::Fine)).count();
    let how = match (gone, fine) {
        (0, 0) => format!("so small that {of_them} can hardly be meant"),
        (0, _) => "smaller than a printed line can make, or hardly meant".to_owned(),
        (n, _) if n == crumbs.len() => {
            format!("so thin that {of_them} vanish{} in print", if n == 1 { "es" } else { "" })
        }
        (n, _) => format!("smaller than a printed line can make, or hardly meant; {n} so thin as to vanish in print"),
    };
    let text = format!("{what}, {how}: {}. Leave {} out of list and kit", told(&crumbs), pronoun(crumbs.len()));
    Some(Note {
        piece: Some(first.id.clone()),
        place: centre(Some(first)),
        edit: Some(Edit::SetLeaveOutCrumbs(true)),
        ..note(Weight::Warning, text)
    })
}

fn pronoun(crumbs: usize) -> &'static str {
    if crumbs == 1 { "it" } else { "them" }
}

/// The one that is easiest to see.
fn largest<'a>(crumbs: &[&'a Piece]) -> Option<&'a Piece> {
    crumbs.iter().copied().max_by(|a, b| a.size_mm().total_cmp(&b.size_mm()))
}

fn centre(piece: Option<&Piece>) -> Option<seamwright_geometry::Point> {
    piece.map(|piece| piece.facts.bounds.centre())
}

/// Their marks, and how large the largest is.
fn told(crumbs: &[&Piece]) -> String {
    let marks: Vec<&str> = crumbs.iter().take(MOST_TOLD).map(|piece| piece.mark.as_str()).collect();
    let more = crumbs.len() - marks.len();
    let more = if more > 0 { format!(" and {more} more") } else { String::new() };
    let size = largest(crumbs).map(|piece| piece.facts.bounds.size()).unwrap_or_default();
    let [x, y, z] = [size.x, size.y, size.z].map(side);
    let the = if crumbs.len() == 1 { "" } else { "the largest " };
    format!("{}{more} ({the}{x} × {y} × {z} mm)", marks.join(", "))
}

/// One decimal, and of what would be nothing with it, that it is less.
fn side(mm: f64) -> String {
    if mm < 0.05 { "under 0.1".to_owned() } else { format!("{mm:.1}") }
}
