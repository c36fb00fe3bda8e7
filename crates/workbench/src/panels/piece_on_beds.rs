//! The selected piece on every bed: the word, the slack or excess, and why.

use egui::{RichText, Ui};
use seamwright_geometry::{Fit, Verdict};
use seamwright_project::{Stands, reason_words};

use super::line::remark;
use super::swatch::swatch;
use crate::app::Piece;
use crate::app::state::{State, tone_of};
use crate::app::style::Paper;
use crate::text;

/// Shows how the selected piece fits each bed.
pub fn piece_on_beds(ui: &mut Ui, state: &State) {
    let Some(piece) = state.selected_piece.as_ref().and_then(|id| state.piece(id)) else { return };
    // While the beds are being changed, verdicts are of the beds as they were.
    let Some(recipe) = state.outcome.as_ref().map(|outcome| &outcome.recipe) else { return };
    for (at, fit) in piece.fits.iter().enumerate() {
        let bed = (!recipe.more_beds.is_empty()).then(|| recipe.bed_name(at));
        ui.horizontal(|ui| {
            swatch(ui, tone_of(fit.verdict));
            let paper = Paper::of(ui.visuals());
            let ink = if fit.verdict.fits() { paper.ink } else { paper.warning };
            ui.add(
                egui::Label::new(
                    RichText::new(text::beds::piece_on_bed(&piece.mark, bed.as_deref(), &fit_words(fit))).color(ink),
                )
                .wrap(),
            );
        });
        remark(ui, text::ledger::at_best(fit.sizes_mm, reason_words(&fit.reason)));
        if fit.verdict != Verdict::AsItStands
            && let Some(stands) = stands(state, piece, at)
        {
            remark(ui, text::ledger::as_it_stands(stands.sizes_mm, stands.room_mm, stands));
        }
    }
}

/// A piece as it stands, against the room of one of the beds that its verdicts are of.
pub fn stands(state: &State, piece: &Piece, bed: usize) -> Option<Stands> {
    let recipe = &state.outcome.as_ref()?.recipe;
    Some(Stands::on(recipe.beds().nth(bed)?, &piece.facts.bounds))
}

/// `fits turned, 3.2 mm to spare`, `too big by 12.0 mm at best`.
pub fn fit_words(fit: &Fit) -> String {
    let word = tone_of(fit.verdict).words();
    match (fit.verdict, &fit.excess) {
        (Verdict::TooBig, Some(excess)) => text::beds::too_big_by(word, excess.mm),
        (Verdict::Undecided, _) => text::beds::undecided(word, fit.slack_mm),
        (verdict, _) if verdict.fits() => text::beds::to_spare(word, fit.slack_mm),
        _ => word.to_owned(),
    }
}
