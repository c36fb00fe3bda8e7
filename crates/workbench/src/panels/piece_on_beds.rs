//! The selected piece on every bed: the word, the slack or excess, and why.

use egui::{RichText, Ui};
use seamwright_geometry::{Fit, Verdict};

use super::line::remark;
use super::swatch::swatch;
use crate::app::state::{State, tone_of};
use crate::app::style::Paper;
use crate::app::words;

/// Shows how the selected piece fits each bed.
pub fn piece_on_beds(ui: &mut Ui, state: &State) {
    let Some(piece) = state.selected_piece.as_ref().and_then(|id| state.piece(id)) else {
        if !state.pieces().is_empty() {
            remark(ui, "Select a piece, and the plan shows how it would lie there.");
        }
        return;
    };
    // While the beds are being changed, verdicts are of the beds as they were.
    let Some(recipe) = state.outcome.as_ref().map(|outcome| &outcome.recipe) else { return };
    for (at, fit) in piece.fits.iter().enumerate() {
        let on = if recipe.more_beds.is_empty() { String::new() } else { format!(" on {}", recipe.bed_name(at)) };
        ui.horizontal(|ui| {
            swatch(ui, tone_of(fit.verdict));
            let paper = Paper::of(ui.visuals());
            let ink = if fit.verdict.fits() { paper.ink } else { paper.warning };
            ui.add(
                egui::Label::new(RichText::new(format!("{}{on}: {}", piece.mark, fit_words(fit))).color(ink)).wrap(),
            );
        });
        remark(ui, format!("{}, {} mm", fit.reason, words::sizes(&fit.sizes_mm.into())));
    }
}

/// `fits turned, 3.2 mm to spare`, `too big: depth by 12.0 mm`.
pub fn fit_words(fit: &Fit) -> String {
    let word = tone_of(fit.verdict).words();
    match (fit.verdict, &fit.excess) {
        (Verdict::TooBig, Some(excess)) => format!("{word}: {} by {} mm", excess.axis, words::mm(excess.mm)),
        (Verdict::Undecided, _) => format!("{word}, {} mm", words::signed_mm(fit.slack_mm)),
        (verdict, _) if verdict.fits() => format!("{word}, {} mm to spare", words::mm(fit.slack_mm)),
        _ => word.to_owned(),
    }
}
