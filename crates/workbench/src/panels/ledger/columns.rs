//! The columns: their headings, what they are about, and how they sort the pieces.

use std::cmp::Ordering;

use egui::{RichText, Sense, Stroke, TextStyle, Ui, pos2, vec2};

use crate::app::state::{Column, LedgerOrder, State};
use crate::app::style::Paper;
use crate::app::{Action, Piece, Queue};
use crate::panels::middle::shortened;
use crate::text::{self, terms};

/// The columns with their headings and widths in points. With several beds each has one of its own.
pub(super) fn columns(state: &State) -> Vec<(Column, String, f32)> {
    let column = |column, words: &str, width| (column, words.to_owned(), width);
    let mut columns =
        vec![column(Column::Mark, text::ledger::MARK, 74.0), column(Column::Size, text::ledger::SIZE, 130.0)];
    match state.outcome.as_ref().map(|outcome| &outcome.recipe).filter(|recipe| !recipe.more_beds.is_empty()) {
        Some(recipe) => columns.extend(
            (0..=recipe.more_beds.len())
                .map(|at| (Column::FitOn(at), text::ledger::on_bed(&recipe.bed_name(at)), 236.0)),
        ),
        None => columns
            .extend([column(Column::Fit, text::ledger::FIT, 236.0), column(Column::Slack, text::ledger::SLACK, 84.0)]),
    }
    columns.extend([
        column(Column::Volume, text::ledger::VOLUME, 92.0),
        column(Column::Cap, text::ledger::CAP, 100.0),
        column(Column::Bores, text::ledger::BORES, 110.0),
        column(Column::Closed, text::ledger::CLOSED, 70.0),
    ]);
    columns
}

pub(super) fn heading(ui: &mut Ui, order: LedgerOrder, column: Column, words: &str, queue: &mut Queue) {
    let here = order.column == column;
    let ink = Paper::of(ui.visuals()).ink_soft;
    // A column of a bed is called as that is, however long.
    let room = ui.available_width() - if here { 14.0 } else { 0.0 };
    let shown = shortened(ui, words, &TextStyle::Button.resolve(ui.style()), room);
    let hint = if shown == words { about(column) } else { [words, &about(column)].join("\n") };
    let button = ui.add(egui::Button::new(RichText::new(shown).color(ink)).frame(false));
    button.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, true, words));
    let button = button.on_hover_text(hint);
    if here {
        triangle(ui, order.descending, ink);
    }
    if button.clicked() {
        queue.push(Action::Sort(LedgerOrder { column, descending: here && !order.descending }));
    }
}

/// What a column is about, and what a click on its heading does.
fn about(column: Column) -> String {
    let term = match column {
        Column::Mark => terms::MARK,
        // The word means the size of the model.
        Column::Size => return text::ledger::sort_by(text::ledger::ABOUT_SIZE),
        Column::Fit | Column::FitOn(_) => terms::FIT,
        Column::Slack => terms::SLACK,
        Column::Volume => terms::VOLUME,
        Column::Cap => terms::CAP,
        Column::Bores => terms::BORE,
        Column::Closed => terms::CLOSED,
    };
    text::ledger::sort_by(term.means)
}

/// Shows which way a column is sorted.
fn triangle(ui: &mut Ui, descending: bool, ink: egui::Color32) {
    let (rect, _) = ui.allocate_exact_size(vec2(8.0, 8.0), Sense::hover());
    let (tip, base) = if descending { (rect.bottom(), rect.top()) } else { (rect.top(), rect.bottom()) };
    let corners = vec![pos2(rect.center().x, tip), pos2(rect.right(), base), pos2(rect.left(), base)];
    ui.painter().add(egui::Shape::convex_polygon(corners, ink, Stroke::NONE));
}

pub(super) fn compare(a: &Piece, b: &Piece, column: Column) -> Ordering {
    let longest = |p: &Piece| p.facts.bounds.size().max();
    let cap = |p: &Piece| p.facts.caps.first().map_or(0.0, |cap| cap.area_mm2);
    let slack_on = |p: &Piece, at: usize| p.fits.get(at).map_or(0.0, |fit| fit.slack_mm);
    match column {
        // Results come in the order of their marks, and sorting keeps the order of equals.
        Column::Mark => mark_key(&a.mark).cmp(&mark_key(&b.mark)),
        Column::Size => longest(a).total_cmp(&longest(b)),
        Column::Fit => a.fit.verdict.cmp(&b.fit.verdict),
        Column::Slack => a.fit.slack_mm.total_cmp(&b.fit.slack_mm),
        Column::FitOn(at) => slack_on(a, at).total_cmp(&slack_on(b, at)),
        Column::Volume => a.facts.volume_mm3.total_cmp(&b.facts.volume_mm3),
        Column::Cap => cap(a).total_cmp(&cap(b)),
        Column::Bores => a.facts.bores.len().cmp(&b.facts.bores.len()),
        Column::Closed => a.facts.closed.cmp(&b.facts.closed),
    }
}

/// Letters, then the number as a number: A2 before A10.
fn mark_key(mark: &str) -> (String, u64) {
    let digits = mark.find(|c: char| c.is_ascii_digit()).unwrap_or(mark.len());
    (mark[..digits].to_owned(), mark[digits..].parse().unwrap_or(0))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn marks_are_sorted_as_people_count() {
        let mut marks = ["B1", "A10", "A2", "A1"];
        marks.sort_by_key(|mark| mark_key(mark));
        assert_eq!(marks, ["A1", "A2", "A10", "B1"]);
    }
}
