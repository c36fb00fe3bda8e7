//! What stands in the row of a piece.

use egui::text::LayoutJob;
use egui::{RichText, Stroke, TextFormat, TextStyle, Ui};
use egui_extras::TableRow;
use seamwright_geometry::{Fit, Verdict};
use seamwright_project::reason_words;

use crate::app::state::{Column, State, tone_of};
use crate::app::style::Paper;
use crate::app::{Piece, words};
use crate::panels::piece_on_beds::stands;
use crate::panels::swatch::swatch;
use crate::shown::tone_on_bed;
use crate::text;

/// Shows one cell; `true` where the row was chosen by its mark.
pub(super) fn cell(row: &mut TableRow<'_, '_>, state: &State, piece: &Piece, column: Column) -> bool {
    let facts = &piece.facts;
    let mut by_mark = false;
    row.col(|ui| match column {
        Column::Mark => by_mark = mark(ui, state, piece),
        Column::Size => size_cell(ui, state, piece),
        Column::Fit => {
            let said = fit_words(piece, &piece.fit);
            fit_cell(ui, piece, &piece.fit, &said, &fit_told(state, piece, piece.bed, &piece.fit));
        }
        Column::Slack => {
            ui.label(words::signed_mm(piece.fit.slack_mm));
        }
        Column::FitOn(at) => {
            let Some(fit) = piece.fits.get(at) else { return };
            let said = fit_words(piece, fit);
            let said = match fit.verdict {
                Verdict::TooBig => said,
                _ if piece.is_crumb() => said,
                _ => text::ledger::with_slack(&said, fit.slack_mm),
            };
            fit_cell(ui, piece, fit, &said, &fit_told(state, piece, at, fit));
        }
        Column::Volume => {
            ui.label(words::volume(facts.volume_mm3));
        }
        Column::Cap => {
            ui.label(facts.caps.first().map_or(text::common::DASH.to_owned(), |cap| words::area(cap.area_mm2)));
        }
        Column::Bores => {
            let (names, places) = bores_words(state, piece);
            let label = ui.add(egui::Label::new(names).truncate());
            if !places.is_empty() {
                label.on_hover_text(places);
            }
        }
        Column::Closed => {
            let paper = Paper::of(ui.visuals());
            let (text, ink) =
                if facts.closed { (text::ledger::CLOSED, paper.ink) } else { (text::ledger::OPEN, paper.warning) };
            ui.label(RichText::new(text).color(ink));
        }
    });
    by_mark
}

/// The mark, which can be reached and chosen by keyboard; soft while its piece is out of sight.
fn mark(ui: &mut Ui, state: &State, piece: &Piece) -> bool {
    let paper = Paper::of(ui.visuals());
    let (hidden, through) = (state.sets.hidden.contains(&piece.id), state.sets.through.contains(&piece.id));
    let ink = if hidden { paper.ink_soft } else { paper.ink };
    let text = RichText::new(&piece.mark).strong().color(ink);
    let button = ui.add(egui::Button::new(if hidden { text.strikethrough() } else { text }).frame_when_inactive(false));
    let seen = match (hidden, through) {
        (true, _) => Some(text::ledger::OUT_OF_SIGHT),
        (false, true) => Some(text::ledger::SEEN_THROUGH),
        _ => None,
    };
    let mut fit = fit_words(piece, &piece.fit);
    if let Some(stands) = stands(state, piece, piece.bed).filter(|_| !piece.fit.verdict.fits()) {
        fit = format!("{fit}, {}", text::ledger::stands_over(stands));
    }
    let told = text::ledger::row(&piece.facts.bounds.size(), &fit, seen);
    button.widget_info(|| {
        egui::WidgetInfo::selected(egui::Role::Button, true, state.is_selected(&piece.id), &piece.mark)
    });
    ui.ctx().accesskit_node_builder(button.id, |node| node.set_description(told));
    let clicked = button.clicked();
    if seen.is_some() {
        ui.label(
            RichText::new(if hidden { text::ledger::HIDDEN } else { text::ledger::THROUGH })
                .small()
                .color(paper.ink_soft),
        );
    }
    clicked
}

/// The bores that cross a piece: their names, and where they do.
fn bores_words(state: &State, piece: &Piece) -> (String, String) {
    let name = |bore| state.outcome.as_ref()?.recipe.bore(bore).map(|bore| bore.name.clone());
    let told = piece.facts.bores.iter().filter_map(|within| {
        let name = name(within.bore)?;
        Some((name.clone(), text::ledger::bore_place(&name, [within.from_mm, within.to_mm], within.ends)))
    });
    let (names, places): (Vec<String>, Vec<String>) = told.unzip();
    (if names.is_empty() { text::common::DASH.to_owned() } else { names.join(", ") }, places.join("\n"))
}

/// The sizes as it stands; of what is too big, the sides that are longer than the bed's room are underlined.
fn size_cell(ui: &mut Ui, state: &State, piece: &Piece) {
    let paper = Paper::of(ui.visuals());
    let stands = stands(state, piece, piece.bed).filter(|_| !piece.fit.verdict.fits());
    let over = stands.map_or([0.0; 3], |stands| stands.over_mm());
    let font = TextStyle::Body.resolve(ui.style());
    let mut text = LayoutJob::default();
    for (side, words) in words::sides(&piece.facts.bounds.size()).iter().enumerate() {
        if side > 0 {
            text.append(text::ledger::TIMES, 0.0, TextFormat::simple(font.clone(), paper.ink));
        }
        let ink = if over[side] > 0.0 { paper.warning } else { paper.ink };
        let line = if over[side] > 0.0 { Stroke::new(1.0, ink) } else { Stroke::NONE };
        text.append(words, 0.0, TextFormat { underline: line, ..TextFormat::simple(font.clone(), ink) });
    }
    let label = ui.label(text);
    if let Some(stands) = stands {
        label.on_hover_text(text::ledger::as_it_stands(stands.sizes_mm, stands.room_mm, stands));
    }
}

/// How a piece fits a bed in whole sentences: as it stands, and in its best pose.
pub(super) fn fit_told(state: &State, piece: &Piece, bed: usize, fit: &Fit) -> String {
    let best = text::ledger::at_best(fit.sizes_mm, reason_words(&fit.reason));
    match stands(state, piece, bed).filter(|_| fit.verdict != Verdict::AsItStands) {
        Some(stands) => {
            format!("{}\n{best}", text::ledger::as_it_stands(stands.sizes_mm, stands.room_mm, stands))
        }
        None => best,
    }
}

fn fit_cell(ui: &mut Ui, piece: &Piece, fit: &Fit, words: &str, told: &str) {
    let means = if piece.is_crumb() { text::verdicts::CRUMB_MEANS } else { text::verdicts::means(fit.verdict) };
    swatch(ui, tone_on_bed(piece, fit)).on_hover_text(means);
    // Of what nobody meant it is no question how it fits.
    let told = if piece.is_crumb() { means } else { told };
    let paper = Paper::of(ui.visuals());
    let ink = if fit.verdict.fits() && !piece.is_crumb() { paper.ink } else { paper.warning };
    ui.label(RichText::new(words).color(ink)).on_hover_text(told);
}

/// How a piece fits; of what nobody meant that is not the question.
fn fit_words(piece: &Piece, fit: &Fit) -> String {
    match (fit.verdict, &fit.excess) {
        _ if piece.is_crumb() => text::verdicts::CRUMB.to_owned(),
        (Verdict::TooBig, Some(excess)) => text::ledger::too_big(excess.mm),
        _ => tone_of(fit.verdict).words().to_owned(),
    }
}
