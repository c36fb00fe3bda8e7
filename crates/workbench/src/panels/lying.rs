//! How the selected piece lies on a bed: as the kit has it where it fits, else as it sticks out least.

use std::sync::{Arc, Weak};

use egui::{Label, RichText, Ui};
use seamwright_project::kit::{LaidBy, Lay, lay};
use seamwright_project::{Outcome, PieceId};

use super::piece_on_beds::fit_words;
use crate::app::Piece;
use crate::app::state::State;
use crate::app::style::Paper;
use crate::bench::Tone;
use crate::bench::ground::{Spot, shadow};
use crate::shown::{pose_of, tone_on_bed};
use crate::text;

/// A piece on a bed, seen from above.
pub struct Lying {
    /// Its outline, mm, in the coordinates of the bed.
    pub corners: Vec<Spot>,
    /// That of its verdict.
    pub tone: Tone,
    /// What it is called.
    pub mark: String,
    /// How it fits, and how it lies.
    pub words: String,
}

/// The selected piece on the bed with this place among those of the project.
pub fn lying(ui: &Ui, state: &State, at: usize) -> Option<Lying> {
    let outcome = state.outcome.as_ref()?;
    let piece: &Piece = state.piece(state.selected_piece.as_ref()?)?;
    let fit = piece.fits.get(at)?;
    // It is printed on one bed; on another it would lie as its verdict there has it.
    let printed = (at == piece.bed && fit.verdict.fits()).then(|| lay_of(ui, outcome, piece));
    let pose = printed.as_ref().map(|lay| lay.pose).or_else(|| pose_of(fit))?;
    let seen = piece.facts.hull.iter().map(|p| (pose * p).xy().coords.into()).collect();
    let words = match printed.as_ref().map(|lay| &lay.by) {
        Some(LaidBy::Cap(cut)) => text::beds::lies_on_cap(&piece.mark, cut),
        Some(LaidBy::PoseThatFits) => text::beds::lies_as_it_fits(&piece.mark, fit_words(fit)),
        Some(LaidBy::AsItStands) => text::beds::lies_as_it_stands(&piece.mark),
        None => text::beds::piece_on_bed(&piece.mark, None, &fit_words(fit)),
    };
    Some(Lying { corners: shadow(seen), tone: tone_on_bed(piece, fit), mark: piece.mark.clone(), words })
}

/// One line beneath the plan at all times, so that what stands below keeps still when a piece is selected.
pub fn caption(ui: &mut Ui, state: &State, lying: Option<&Lying>) {
    let paper = Paper::of(ui.visuals());
    let (words, hint, ink) = match lying {
        Some(lying) => (lying.words.as_str(), text::beds::LYING_HINT, paper.ink),
        None if state.pieces().is_empty() => (" ", "", paper.ink_soft),
        None => (text::beds::SELECT_A_PIECE, text::beds::LAYS, paper.ink_soft),
    };
    let line = ui.add(Label::new(RichText::new(words).small().color(ink)).truncate());
    if !hint.is_empty() {
        line.on_hover_text([words, hint].join("\n"));
    }
}

/// The lay of a piece in the kit, made once for each of its forms.
fn lay_of(ui: &Ui, outcome: &Arc<Outcome>, piece: &Piece) -> Arc<Lay> {
    type Made = (Weak<Outcome>, PieceId, Arc<Lay>);
    let id = egui::Id::unique("lay in the kit");
    if let Some((of, known, made)) = ui.data(|d| d.get_temp::<Made>(id))
        && known == piece.id
        && Weak::ptr_eq(&of, &Arc::downgrade(outcome))
    {
        return made;
    }
    let made = Arc::new(lay(outcome, piece));
    ui.data_mut(|d| d.insert_temp::<Made>(id, (Arc::downgrade(outcome), piece.id.clone(), made.clone())));
    made
}
