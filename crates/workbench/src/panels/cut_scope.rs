//! Which pieces a cut may cross, on its card.

use egui::Ui;
use seamwright_geometry::Side;
use seamwright_project::{Cut, CutId, Edit, PieceId, Scope};

use super::cut_sides::{side_of, words_of};
use crate::app::state::{State, Uncut};
use crate::app::style::{Paper, choice};
use crate::app::{Piece, Queue};
use crate::text;

/// The pieces that are made of one that is there without `cut`, and all others.
fn made_of<'a>(state: &'a State, piece: &PieceId, cut: CutId) -> (Vec<&'a str>, Vec<&'a str>) {
    let without = |id: &PieceId| id.path.iter().filter(|(c, _)| *c != cut).copied().collect::<Vec<_>>();
    let named = |p: &Piece| without(&p.id) == piece.path || p.id == *piece || p.lineage.contains(piece);
    // Bodies that lie on the same sides share all but their number, which the cut may change: they are told apart by place.
    let family: Vec<&Uncut> =
        state.uncut.iter().filter(|other| other.id.part == piece.part && other.id.path == piece.path).collect();
    let here = |p: &Piece| family.len() < 2 || body_of(&family, p).is_none_or(|body| body == piece);
    let exactly = |p: &Piece| p.id.part == piece.part && named(p) && here(p);
    // What the cut bounds may no longer say by its name where else the whole of it ended.
    let apart = |p: &Piece| p.id.path.iter().any(|(c, side)| piece.path.contains(&(*c, side.other())));
    let beside = |p: &Piece| p.id.path.iter().any(|(c, _)| *c == cut) && !apart(p) && here(p);
    let known = state.pieces().iter().any(exactly);
    let (of_it, others): (Vec<&Piece>, Vec<&Piece>) =
        state.pieces().iter().partition(|p| if known { exactly(p) } else { beside(p) });
    let marks = |pieces: Vec<&'a Piece>| pieces.into_iter().map(|p| p.mark.as_str()).collect();
    (marks(of_it), marks(others))
}

/// The body of a family that a piece was cut from: the smallest that it lies within.
fn body_of<'a>(family: &[&'a Uncut], piece: &Piece) -> Option<&'a PieceId> {
    let own = piece.facts.bounds;
    let holds = |body: &&&Uncut| {
        let (low, high) = (body.bounds.min, body.bounds.max);
        (0..3).all(|k| own.min[k] >= low[k] - BODY_ROUNDING_MM && own.max[k] <= high[k] + BODY_ROUNDING_MM)
    };
    let volume = |body: &Uncut| body.bounds.size().product();
    family.iter().filter(holds).min_by(|a, b| volume(a).total_cmp(&volume(b))).map(|body| &body.id)
}

/// What a cut rounds at most of the box of what it cuts, mm (our own choice, no source).
const BODY_ROUNDING_MM: f64 = 0.01;

/// What to call a piece that is there without `cut`: the marks of all that is made of it now, or the sides that it lies on.
fn marks_of(state: &State, piece: &PieceId, cut: CutId) -> String {
    let (marks, others) = made_of(state, piece, cut);
    if !marks.is_empty() {
        return text::cuts::made_into(&marks, &others);
    }
    let side = |(cut, side): &(CutId, Side)| {
        let name = state.recipe().cut(*cut).map_or_else(|| text::cuts::gone(cut.0), |cut| cut.name.clone());
        text::cuts::side_of(words_of(*side), &name)
    };
    let uncut = state.uncut.iter().find(|uncut| uncut.id == *piece);
    match (piece.path.as_slice(), uncut) {
        ([], Some(uncut)) if state.uncut.len() > 1 => text::cuts::body(&uncut.bounds.size()),
        ([], _) => text::cuts::THE_WHOLE.into(),
        (path, _) => text::cuts::lies(&path.iter().map(side).collect::<Vec<_>>()),
    }
}

/// What a limited cut crosses, in a few words; `None` for one that crosses all.
pub fn only(state: &State, cut: &Cut) -> Option<String> {
    let Scope::Pieces(named) = &cut.scope else { return None };
    let crossed: Vec<&str> = named.iter().flat_map(|piece| made_of(state, piece, cut.id).0).collect();
    let (marks, others): (Vec<&str>, Vec<&str>) =
        state.pieces().iter().map(|piece| piece.mark.as_str()).partition(|mark| crossed.contains(mark));
    Some(text::cuts::only(&marks, &others))
}

pub fn scope(ui: &mut Ui, state: &State, queue: &mut Queue, cut: &Cut) {
    ui.horizontal_wrapped(|ui| {
        ui.label(text::cuts::CROSSES);
        if ui.add(choice(&Paper::of(ui.visuals()), cut.scope == Scope::All, text::cuts::CROSSES_ALL)).clicked() {
            queue.edit(Edit::SetCutScope { cut: cut.id, scope: Scope::All });
        }
        let named = matches!(cut.scope, Scope::Pieces(_));
        let some = ui.add(choice(&Paper::of(ui.visuals()), named, text::cuts::CROSSES_NAMED));
        if some.on_hover_text(text::cuts::CROSSES_NAMED_HINT).clicked() && !named {
            // It begins with all that it crosses now, to be struck off one by one.
            let mut pieces = candidates(state, cut);
            if pieces.is_empty() {
                pieces = cut_from(state, cut);
            }
            queue.edit(Edit::SetCutScope { cut: cut.id, scope: Scope::Pieces(pieces.into_iter().collect()) });
        }
    });
    let Scope::Pieces(chosen) = &cut.scope else { return };
    for piece in candidates(state, cut) {
        let mut on = chosen.contains(&piece);
        let what = marks_of(state, &piece, cut.id);
        let reached = state.uncut.iter().any(|uncut| uncut.id == piece && uncut.is_reached);
        let row = if reached { text::cuts::crosses(&what) } else { text::cuts::does_not_reach(&what) };
        if ui.checkbox(&mut on, row).changed() {
            let mut next = chosen.clone();
            if on {
                next.insert(piece)
            } else {
                next.remove(&piece)
            };
            queue.edit(Edit::SetCutScope { cut: cut.id, scope: Scope::Pieces(next) });
        }
    }
}

/// The pieces that a cut could be told to cross: those that it reaches as they are without it, and those named already.
fn candidates(state: &State, cut: &Cut) -> Vec<PieceId> {
    let reached = state.uncut.iter().filter(|uncut| uncut.is_reached).map(|uncut| uncut.id.clone());
    let mut all: Vec<PieceId> = reached.collect();
    if let Scope::Pieces(named) = &cut.scope {
        all.extend(named.iter().cloned());
    }
    all.sort();
    all.dedup();
    all
}

/// What the pieces beside a cut were cut from by it: what it crosses, where that is not worked out yet otherwise.
fn cut_from(state: &State, cut: &Cut) -> Vec<PieceId> {
    let beside = state.pieces().iter().filter(|piece| side_of(piece, cut).is_some());
    let before = |id: &&PieceId| id.path.iter().all(|(c, _)| *c != cut.id);
    let mut from: Vec<PieceId> = beside.filter_map(|piece| piece.lineage.iter().rev().find(before).cloned()).collect();
    from.sort();
    from.dedup();
    from
}
