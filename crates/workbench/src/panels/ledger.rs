//! The ledger: a row for each piece.

use std::cmp::Ordering;

use egui::text::LayoutJob;
use egui::{Align, Layout, Panel, RichText, ScrollArea, Sense, Stroke, TextFormat, TextStyle, Ui, pos2, vec2};
use egui_extras::{Column as Width, TableBuilder, TableRow};
use seamwright_geometry::{Fit, Verdict};

use super::middle::shortened;
use super::piece_on_beds::stands;
use super::swatch::swatch;
use crate::app::command::Command;
use crate::app::state::{Column, LedgerOrder, State, tone_of};
use crate::app::style::Paper;
use crate::app::{Action, Piece, Queue, SetAction, words};
use crate::text::{self, terms};

/// Columns are wider in a wide window, up to this: farther apart, a row is hard to follow.
const MOST_STRETCH: f32 = 1.5;
const ROW_HEIGHT: f32 = 22.0;
/// In a window lower than this, points, the ledger takes no more of it than this share. Our own choice, no source.
const LOW: (f32, f32) = (600.0, 0.3);
/// What a column takes beside its own width, points.
const COLUMN_GAP: f32 = 10.0;
/// So many marks of pieces that do not fit are told; the rest is counted.
const MOST_TOLD: usize = 6;

/// Shows the ledger at the foot of the window.
pub fn ledger(ui: &mut Ui, state: &State, queue: &mut Queue) {
    let paper = Paper::of(ui.visuals());
    let frame = egui::Frame::new().fill(paper.sheet).inner_margin(egui::Margin::symmetric(12, 6));
    // In a low window the bench comes first; the rest is scrolled to.
    let height = ui.ctx().content_rect().height();
    let most = if height < LOW.0 { (height * LOW.1).max(90.0) } else { 420.0 };
    if state.is_bench_bare() {
        // The start sheet has more to say.
        Panel::bottom("empty ledger").exact_size(34.0).frame(frame).show(ui, |ui| {
            empty(ui, state);
            ui.take_available_space();
        });
        return;
    }
    Panel::bottom("ledger").resizable(true).default_size(172.0).size_range(64.0..=most).frame(frame).show(ui, |ui| {
        if state.pieces().is_empty() {
            empty(ui, state);
        } else {
            ui.horizontal(|ui| summary(ui, state, queue));
            let total: f32 = columns(state).iter().map(|(_, _, width)| width + COLUMN_GAP).sum();
            // Where the columns have no room they are scrolled to, with a bar that shows it.
            let width = ui.available_width().max(total);
            let usual = ui.spacing().scroll;
            if width > ui.available_width() {
                ui.spacing_mut().scroll =
                    egui::style::ScrollStyle { foreground_color: true, ..egui::style::ScrollStyle::solid() };
            }
            ScrollArea::horizontal().auto_shrink(false).show(ui, |ui| {
                ui.spacing_mut().scroll = usual;
                ui.set_width(width);
                table(ui, state, queue);
            });
        }
        ui.take_available_space();
    });
}

fn empty(ui: &mut Ui, state: &State) {
    let words = if state.recipe().stock.is_none() {
        text::ledger::NO_MODEL
    } else if state.outcome.as_ref().is_some_and(|o| o.failure.is_some()) {
        text::ledger::IN_THE_WAY
    } else {
        text::ledger::WORKING_OUT
    };
    ui.label(RichText::new(words).color(Paper::of(ui.visuals()).ink_soft));
}

/// The columns with their headings and widths in points. With several beds each has one of its own.
fn columns(state: &State) -> Vec<(Column, String, f32)> {
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

fn table(ui: &mut Ui, state: &State, queue: &mut Queue) {
    let mut pieces: Vec<&Piece> = state.pieces().iter().collect();
    pieces.sort_by(|a, b| {
        let order = compare(a, b, state.order.column);
        if state.order.descending { order.reverse() } else { order }
    });
    let columns = columns(state);
    let total: f32 = columns.iter().map(|(_, _, width)| width).sum();
    let stretch = (ui.available_width() / (total + 80.0)).clamp(1.0, MOST_STRETCH);
    let keys = ui.input(|i| i.modifiers);
    let bottom = ui.max_rect().bottom();
    let mut builder = TableBuilder::new(ui)
        .cell_layout(Layout::left_to_right(Align::Center))
        .striped(false)
        // The mark of each row takes the keyboard for the whole row.
        .sense(Sense::CLICK)
        .auto_shrink(false)
        .min_scrolled_height(0.0);
    for (_, _, width) in &columns {
        builder = builder.column(Width::initial(width * stretch).at_least(44.0).clip(true).resizable(true));
    }
    let (mut lit, mut last_row) = (None, 0);
    builder
        .column(Width::remainder())
        .header(ROW_HEIGHT, |mut header| {
            for (column, words, _) in &columns {
                header.col(|ui| heading(ui, state.order, *column, words, queue));
            }
        })
        .body(|body| {
            body.rows(ROW_HEIGHT, pieces.len(), |mut row| {
                let piece = pieces[row.index()];
                row.set_selected(state.is_selected(&piece.id));
                row.set_hovered(state.lit_piece.as_ref() == Some(&piece.id));
                let by_mark =
                    columns.iter().fold(false, |by, (column, ..)| cell(&mut row, state, piece, *column) || by);
                let response = row.response();
                // What is cut off by the edge is not to be read.
                if response.rect.center().y < bottom {
                    last_row = last_row.max(row.index() + 1);
                }
                if response.hovered() {
                    lit = Some(piece.id.clone());
                }
                if response.double_clicked() {
                    queue.push(Action::ShowPiece(piece.id.clone()));
                } else if response.clicked() || by_mark {
                    queue.push(chosen(state, &pieces, row.index(), keys));
                }
            });
        });
    ui.data_mut(|d| d.insert_temp(beneath_key(), pieces.len().saturating_sub(last_row)));
    light(ui, state, queue, lit);
}

/// What choosing a row means: with Ctrl it is added or taken out, with Shift all rows from the one that leads are
/// taken.
fn chosen(state: &State, pieces: &[&Piece], row: usize, keys: egui::Modifiers) -> Action {
    let id = &pieces[row].id;
    if keys.command {
        return Action::Set(SetAction::Toggle(id.clone()));
    }
    let lead = pieces.iter().position(|piece| state.selected_piece.as_ref() == Some(&piece.id));
    if let Some(lead) = lead.filter(|lead| keys.shift && *lead != row) {
        let range = &pieces[lead.min(row)..=lead.max(row)];
        let others = range.iter().filter(|piece| piece.id != pieces[lead].id);
        // It goes on leading, so that another row with Shift changes the far end.
        let ids = others.chain([&pieces[lead]]).map(|piece| piece.id.clone());
        return Action::Set(SetAction::Only(ids.collect()));
    }
    let alone = state.selected_piece.as_ref() == Some(id) && state.selected_pieces().count() == 1;
    Action::SelectPiece((!alone).then(|| id.clone()))
}

/// Where it is kept how many rows lie beneath the lowest that is drawn.
fn beneath_key() -> egui::Id {
    egui::Id::unique("rows beneath the ledger")
}

/// The head of the ledger: how many pieces, which of them do not fit, what is out of sight, and how many rows are farther
/// down.
fn summary(ui: &mut Ui, state: &State, queue: &mut Queue) {
    let paper = Paper::of(ui.visuals());
    let unfit: Vec<&Piece> = state.pieces().iter().filter(|piece| !piece.fit.verdict.fits()).collect();
    ui.label(RichText::new(text::ledger::fit_of(state.pieces().len(), unfit.len())).color(paper.ink_soft));
    for piece in unfit.iter().take(MOST_TOLD) {
        let link = ui.link(RichText::new(&piece.mark).color(paper.warning));
        let name = text::ledger::does_not_fit(&piece.mark);
        link.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Link, true, &name));
        if link.on_hover_text(fit_told(state, piece, piece.bed, &piece.fit)).clicked() {
            queue.push(Action::ShowPiece(piece.id.clone()));
        }
    }
    if unfit.len() > MOST_TOLD {
        ui.label(RichText::new(text::common::and_more(unfit.len() - MOST_TOLD)).color(paper.ink_soft));
    }
    out_of_sight(ui, state, queue);
    let beneath = ui.data(|d| d.get_temp::<usize>(beneath_key())).unwrap_or(0);
    if beneath > 0 {
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            ui.label(RichText::new(text::ledger::farther_down(beneath)).small().color(paper.ink_soft));
        });
    }
}

/// Says which pieces are not to be seen as they are, and how to get them back.
fn out_of_sight(ui: &mut Ui, state: &State, queue: &mut Queue) {
    if state.shows_all() {
        return;
    }
    let (hidden, through) = (state.hidden_pieces().count(), state.through_pieces().count());
    let told = [(hidden, text::ledger::OUT_OF_SIGHT), (through, text::ledger::SEEN_THROUGH)];
    let told: Vec<String> =
        told.iter().filter(|(n, _)| *n > 0).map(|(n, how)| text::ledger::so_many(*n, how)).collect();
    ui.label(RichText::new(told.join(", ")).color(Paper::of(ui.visuals()).warning));
    let link = ui.link(Command::ShowAll.text());
    if link.on_hover_text(Command::ShowAll.tooltip(ui.ctx())).clicked() {
        queue.push(Action::Run(Command::ShowAll));
    }
}

/// A row under the pointer lights its piece; leaving the ledger puts the light out.
fn light(ui: &Ui, state: &State, queue: &mut Queue, lit: Option<seamwright_project::PieceId>) {
    let key = ui.scope_id().with("lit by the ledger");
    let was_ours = ui.data(|d| d.get_temp::<bool>(key)).unwrap_or(false);
    if (lit.is_some() || was_ours) && lit != state.lit_piece {
        queue.push(Action::LightPiece(lit.clone()));
    }
    ui.data_mut(|d| d.insert_temp(key, lit.is_some()));
}

fn heading(ui: &mut Ui, order: LedgerOrder, column: Column, words: &str, queue: &mut Queue) {
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
        Column::Size => return text::ledger::SORT.to_owned(),
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

/// Shows one cell; `true` where the row was chosen by its mark.
fn cell(row: &mut TableRow<'_, '_>, state: &State, piece: &Piece, column: Column) -> bool {
    let facts = &piece.facts;
    let mut by_mark = false;
    row.col(|ui| match column {
        Column::Mark => by_mark = mark(ui, state, piece),
        Column::Size => size_cell(ui, state, piece),
        Column::Fit => {
            fit_cell(ui, &piece.fit, &fit_words(&piece.fit), &fit_told(state, piece, piece.bed, &piece.fit));
        }
        Column::Slack => {
            ui.label(words::signed_mm(piece.fit.slack_mm));
        }
        Column::FitOn(at) => {
            let Some(fit) = piece.fits.get(at) else { return };
            let said = fit_words(fit);
            let said = match fit.verdict {
                Verdict::TooBig => said,
                _ => text::ledger::with_slack(&said, fit.slack_mm),
            };
            fit_cell(ui, fit, &said, &fit_told(state, piece, at, fit));
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
    let mut fit = fit_words(&piece.fit);
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
fn fit_told(state: &State, piece: &Piece, bed: usize, fit: &Fit) -> String {
    let best = text::ledger::at_best(fit.sizes_mm, &fit.reason);
    match stands(state, piece, bed).filter(|_| fit.verdict != Verdict::AsItStands) {
        Some(stands) => {
            format!("{}\n{best}", text::ledger::as_it_stands(stands.sizes_mm, stands.room_mm, stands))
        }
        None => best,
    }
}

fn fit_cell(ui: &mut Ui, fit: &Fit, words: &str, told: &str) {
    swatch(ui, tone_of(fit.verdict)).on_hover_text(text::verdicts::means(fit.verdict));
    let paper = Paper::of(ui.visuals());
    let ink = if fit.verdict.fits() { paper.ink } else { paper.warning };
    ui.label(RichText::new(words).color(ink)).on_hover_text(told);
}

fn fit_words(fit: &Fit) -> String {
    match (fit.verdict, &fit.excess) {
        (Verdict::TooBig, Some(excess)) => text::ledger::too_big(excess.axis, excess.mm),
        _ => tone_of(fit.verdict).words().to_owned(),
    }
}

fn compare(a: &Piece, b: &Piece, column: Column) -> Ordering {
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
