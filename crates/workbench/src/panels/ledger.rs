//! The ledger: a row for each piece.

mod cells;
mod columns;

use egui::{Align, Layout, Panel, Rect, RichText, ScrollArea, Sense, Ui, UiBuilder};
use egui_extras::{Column as Width, TableBuilder};
use seamwright_project::PieceId;

use crate::app::command::Command;
use crate::app::state::State;
use crate::app::style::Paper;
use crate::app::{Action, Piece, Queue, SetAction};
use crate::text;
use cells::{cell, fit_told};
use columns::{columns, compare, heading};

/// Columns are wider in a wide window, up to this: farther apart, a row is hard to follow.
const MOST_STRETCH: f32 = 1.5;
const ROW_HEIGHT: f32 = 22.0;
/// In a window lower than this, points, the ledger takes no more of it than this share. Our own choice, no source.
const LOW: (f32, f32) = (600.0, 0.36);
/// What it takes beside its rows, points: its head, the names of its columns, and its edges.
const BESIDE_ROWS: f32 = 76.0;
/// A bar to scroll sideways with, points.
const BAR: f32 = 8.0;
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
    let is_low = height < LOW.0;
    let most = if is_low { (height * LOW.1).max(90.0) } else { 420.0 };
    if state.is_bench_bare() {
        // The start sheet has more to say.
        Panel::bottom("empty ledger").exact_size(34.0).frame(frame).show(ui, |ui| {
            empty(ui, state);
            ui.take_available_space();
        });
        return;
    }
    // Columns keep the widths that they were given, in a wider window or by hand.
    let wide = egui::Id::unique("width of the ledger's columns");
    let begun: f32 = columns(state).iter().map(|(_, _, width)| width + COLUMN_GAP).sum();
    let total = ui.data(|d| d.get_temp::<f32>(wide)).unwrap_or(0.0).max(begun);
    let has_bar = total > ui.available_width() - 24.0;
    let rows = state.pieces().len().max(1) as f32 * (ROW_HEIGHT + ui.spacing().item_spacing.y);
    let needed = BESIDE_ROWS + rows + if has_bar { BAR + 4.0 } else { 0.0 };
    // In a low window it is made smaller; in a high one it is as high again as it was made.
    let key = egui::Id::unique(("height of the ledger", is_low));
    let usual = if is_low { most } else { 172.0 };
    let wanted = ui.data(|d| d.get_temp::<f32>(key)).unwrap_or(usual).min(most);
    let is_short = needed < wanted;
    let panel = if is_short {
        // Few rows take no more than they need: the job card gets the rest.
        Panel::bottom("ledger of few rows").exact_size(needed)
    } else {
        Panel::bottom(egui::Id::unique(("sizable ledger", is_low)))
            .resizable(true)
            .default_size(usual)
            .size_range(64.0..=most)
    };
    let shown = panel.frame(frame).show(ui, |ui| {
        if state.pieces().is_empty() {
            empty(ui, state);
        } else {
            let beside_head = ui.horizontal(|ui| summary(ui, state, queue)).inner;
            // Where the columns have no room they are scrolled to, with a bar that shows it.
            let width = ui.available_width().max(total);
            let usual = ui.style().clone();
            if width > ui.available_width() {
                ui.spacing_mut().scroll = egui::style::ScrollStyle {
                    foreground_color: false,
                    bar_width: BAR,
                    ..egui::style::ScrollStyle::solid()
                };
                ui.visuals_mut().widgets.inactive.bg_fill = paper.rule;
            }
            let rows = ScrollArea::horizontal().auto_shrink(false).show(ui, |ui| {
                ui.set_style(usual);
                ui.set_width(width);
                table(ui, state, queue)
            });
            // It is known only now, and stands above.
            let (beneath, ends) = rows.inner;
            let edge = rows.inner_rect.right() + 1.0;
            let now = ends
                .last()
                .map_or(0.0, |end| end - rows.inner_rect.left() + rows.state.clamped_offset().x + COLUMN_GAP);
            if (now.max(begun) - total).abs() > 1.0 {
                ui.data_mut(|d| d.insert_temp(wide, now));
                ui.ctx().request_discard("columns of another width");
            }
            out_of_reach(ui, beside_head, beneath, ends.into_iter().filter(|end| *end > edge).count());
        }
        ui.take_available_space();
    });
    if !is_short {
        ui.data_mut(|d| d.insert_temp(key, shown.response.rect.height()));
    }
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

/// Shows the rows; gives how many lie beneath the lowest that is to be seen, and where the columns end.
fn table(ui: &mut Ui, state: &State, queue: &mut Queue) -> (usize, Vec<f32>) {
    let mut pieces: Vec<&Piece> = state.pieces().iter().collect();
    pieces.sort_by(|a, b| {
        let order = compare(a, b, state.order.column);
        // What nobody meant comes last, whichever way they are sorted.
        a.is_crumb().cmp(&b.is_crumb()).then(if state.order.descending { order.reverse() } else { order })
    });
    let columns = columns(state);
    let total: f32 = columns.iter().map(|(_, _, width)| width).sum();
    let stretch = (ui.available_width() / (total + 80.0)).clamp(1.0, MOST_STRETCH);
    let keys = ui.input(|i| i.modifiers);
    let bottom = ui.max_rect().bottom();
    // A row that leads anew is brought into sight, wherever it was chosen; after that, one scrolls as one likes.
    let led = egui::Id::unique("row that led the ledger");
    let leads = state.selected_piece.clone();
    let mut to_sight = None;
    if ui.data(|d| d.get_temp::<Option<PieceId>>(led)).flatten() != leads {
        ui.data_mut(|d| d.insert_temp(led, leads.clone()));
        to_sight = pieces.iter().position(|piece| Some(&piece.id) == leads.as_ref());
    }
    let mut builder = TableBuilder::new(ui)
        .cell_layout(Layout::left_to_right(Align::Center))
        .striped(false)
        // The mark of each row takes the keyboard for the whole row.
        .sense(Sense::CLICK)
        .auto_shrink(false)
        .min_scrolled_height(0.0);
    if let Some(row) = to_sight {
        builder = builder.scroll_to_row(row, None);
    }
    for (_, _, width) in &columns {
        builder = builder.column(Width::initial(width * stretch).at_least(44.0).clip(true).resizable(true));
    }
    let (mut lit, mut last_row, mut ends) = (None, 0, Vec::new());
    builder
        .column(Width::remainder())
        .header(ROW_HEIGHT, |mut header| {
            for (column, words, _) in &columns {
                let (place, _) = header.col(|ui| heading(ui, state.order, *column, words, queue));
                ends.push(place.right());
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
    light(ui, state, queue, lit);
    (pieces.len().saturating_sub(last_row), ends)
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

/// The head of the ledger: how many pieces, which of them do not fit, and what is out of sight; gives the room beside that.
fn summary(ui: &mut Ui, state: &State, queue: &mut Queue) -> Rect {
    let paper = Paper::of(ui.visuals());
    let (crumbs, meant): (Vec<&Piece>, Vec<&Piece>) = state.pieces().iter().partition(|piece| piece.is_crumb());
    let unfit: Vec<&Piece> = meant.iter().copied().filter(|piece| !piece.fit.verdict.fits()).collect();
    ui.label(RichText::new(text::ledger::fit_of(meant.len(), unfit.len(), crumbs.len())).color(paper.ink_soft));
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
    ui.available_rect_before_wrap()
}

/// Says in the room beside the head how many rows are farther down, and how many columns farther right.
fn out_of_reach(ui: &mut Ui, room: Rect, beneath: usize, beside: usize) {
    if beneath + beside > 0 {
        let soft = Paper::of(ui.visuals()).ink_soft;
        let layout = Layout::right_to_left(Align::Center);
        let mut head = ui.new_child(UiBuilder::new().max_rect(room).layout(layout));
        head.label(RichText::new(text::ledger::out_of_reach(beneath, beside)).small().color(soft));
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
fn light(ui: &Ui, state: &State, queue: &mut Queue, lit: Option<PieceId>) {
    let key = ui.scope_id().with("lit by the ledger");
    let was_ours = ui.data(|d| d.get_temp::<bool>(key)).unwrap_or(false);
    if (lit.is_some() || was_ours) && lit != state.lit_piece {
        queue.push(Action::LightPiece(lit.clone()));
    }
    ui.data_mut(|d| d.insert_temp(key, lit.is_some()));
}
