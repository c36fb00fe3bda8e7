//! The start sheet: how to begin, what was on the bench lately, the demos, and what the program does.

use egui::{Id, Modal, Rect, RichText, ScrollArea, Sense, Stroke, Ui, UiBuilder};

use super::line::remark;
use super::start_rows::{DEMO, FILE, recent, show_demo};
use crate::app::command::Command;
use crate::app::start::StartFound;
use crate::app::state::State;
use crate::app::style::Paper;
use crate::app::{Action, Queue, StartAction};
use crate::text;

/// Size of the sheet, points, where there is room: for the demos and a good handful of recent files without scrolling.
const WIDTH: f32 = 1100.0;
const HEIGHT: f32 = 760.0;
const LEAST_HEIGHT: f32 = 470.0;
/// What a heading takes, and what is kept free between rows.
const HEADING: f32 = 30.0;
const ROW_GAP: f32 = 5.0;
/// What is said of a file that could not be opened takes so much, in two lines.
const TROUBLE: f32 = 64.0;
/// So many recent files are shown large. Our own choice, no source.
const MOST_LARGE: usize = 4;
/// From this width on, what was open lately and the demos lie side by side.
const SIDE_BY_SIDE: f32 = 820.0;
/// Less than this, and the ways to begin come above the lists.
const LEAST_WIDE: f32 = 540.0;
const BEGIN_WIDTH: f32 = 190.0;
const GAP: f32 = 22.0;
const MARGIN: f32 = 18.0;

/// Shows the sheet on an empty bench, which leaves `room`.
pub fn sheet_on_bench(ui: &mut Ui, room: Rect, state: &State, queue: &mut Queue) {
    let paper = Paper::of(ui.visuals());
    let width = (WIDTH + 2.0 * MARGIN).min(room.width());
    let size = egui::vec2(width, room.height().min(height(state, width - 2.0 * MARGIN)));
    let sheet = Rect::from_center_size(room.center(), size);
    // What is done on the sheet is not done on the bench beneath.
    ui.interact(sheet, Id::unique("start sheet"), Sense::click_and_drag());
    ui.painter().rect(sheet, 3.0, paper.slip, Stroke::new(1.0, paper.rule), egui::StrokeKind::Inside);
    ui.scope_builder(UiBuilder::new().max_rect(sheet.shrink(MARGIN)), |ui| {
        ui.set_clip_rect(ui.clip_rect().intersect(sheet));
        content(ui, state, queue);
    });
}

/// Shows the sheet on top of everything, when it was asked for while a model is open.
pub fn start_sheet(ctx: &egui::Context, state: &State, queue: &mut Queue) {
    if !state.start.open || state.is_bench_bare() {
        return;
    }
    let frame = Paper::of(&ctx.global_style().visuals).sheet_on_top();
    let modal = Modal::new(Id::unique("start sheet on top")).frame(frame).show(ctx, |ui| {
        let room = ctx.content_rect().size();
        let width = WIDTH.min(room.x - 60.0);
        ui.set_width(width);
        ui.set_height(height(state, width).min(room.y - 60.0));
        content(ui, state, queue);
    });
    if modal.should_close() {
        queue.push(Action::Start(StartAction::Close));
    }
}

fn content(ui: &mut Ui, state: &State, queue: &mut Queue) {
    ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
        if let Some(why) = &state.unopened {
            super::line::trouble(ui, why);
            ui.add_space(10.0);
        }
        let width = ui.available_width();
        if width < LEAST_WIDE {
            begin(ui, state, queue);
            ui.add_space(10.0);
            lately_of(ui, state, queue);
            ui.add_space(10.0);
            demos_of(ui, state, queue);
            ui.add_space(10.0);
            return what_it_does(ui);
        }
        let beside = width - BEGIN_WIDTH - GAP;
        ui.horizontal_top(|ui| {
            ui.spacing_mut().item_spacing.x = GAP;
            column(ui, BEGIN_WIDTH, |ui| {
                begin(ui, state, queue);
                ui.add_space(14.0);
                what_it_does(ui);
            });
            if width < SIDE_BY_SIDE {
                return column(ui, beside - 10.0, |ui| {
                    lately_of(ui, state, queue);
                    ui.add_space(12.0);
                    demos_of(ui, state, queue);
                });
            }
            let half = (beside - GAP - 10.0) / 2.0;
            column(ui, half, |ui| lately_of(ui, state, queue));
            column(ui, half, |ui| demos_of(ui, state, queue));
        });
    });
}

fn column(ui: &mut Ui, width: f32, content: impl FnOnce(&mut Ui)) {
    ui.vertical(|ui| {
        ui.set_width(width);
        ui.spacing_mut().item_spacing.x = 8.0;
        content(ui);
    });
}

/// The ways to begin.
fn begin(ui: &mut Ui, state: &State, queue: &mut Queue) {
    heading(ui, text::start::BEGIN);
    let ways = [
        (Command::OpenStock, text::start::CHOOSE_MODEL),
        (Command::Open, text::start::OPEN_PROJECT),
        (Command::FirstJob, text::start::FIRST_JOB),
        (Command::Manual, text::start::MANUAL),
    ];
    // In a narrow window two stand side by side, so that what was open lately comes into sight.
    let in_a_row = if ui.available_width() > 1.5 * BEGIN_WIDTH { 2 } else { 1 };
    let gaps = (in_a_row - 1) as f32 * ui.spacing().item_spacing.x;
    let width = ((ui.available_width() - gaps) / in_a_row as f32).min(BEGIN_WIDTH);
    for row in ways.chunks(in_a_row) {
        ui.horizontal(|ui| {
            for (command, words) in row {
                // With a model open, another one begins a project of its own.
                let other = *command == Command::OpenStock && !state.is_bench_bare();
                let command = if other { Command::Open } else { *command };
                let button = ui.add_sized([width, 28.0], egui::Button::new(*words).truncate());
                if button.on_hover_text(command.tooltip(ui.ctx())).clicked() {
                    queue.push(Action::Start(StartAction::Close));
                    queue.push(Action::Run(command));
                }
            }
        });
    }
    remark(ui, text::start::DROP);
}

/// What the program is for, in three steps.
fn what_it_does(ui: &mut Ui) {
    heading(ui, text::start::WHAT_IT_DOES);
    let paper = Paper::of(ui.visuals());
    for (number, step) in (1..).zip(text::start::STEPS) {
        ui.horizontal_top(|ui| {
            ui.spacing_mut().item_spacing.x = 6.0;
            ui.label(RichText::new(text::start::number(number)).heading().color(paper.ink_soft));
            ui.add(egui::Label::new(RichText::new(step).color(paper.ink_soft)).wrap());
        });
    }
}

fn lately_of(ui: &mut Ui, state: &State, queue: &mut Queue) {
    heading(ui, text::start::LATELY);
    match &state.start.found {
        Some(found) => lately(ui, found, queue),
        None => remark(ui, text::start::LOOKING),
    }
}

fn lately(ui: &mut Ui, found: &StartFound, queue: &mut Queue) {
    if let Some(trouble) = &found.trouble {
        super::line::trouble(ui, trouble);
    } else if found.recents.is_empty() {
        remark(ui, text::start::NOTHING_YET);
    }
    let size = size_of_recent(found);
    for file in &found.recents {
        recent(ui, file, size, queue);
    }
}

/// A few are shown as large as the demos.
fn size_of_recent(found: &StartFound) -> [f32; 2] {
    if found.recents.len() <= MOST_LARGE { DEMO } else { FILE }
}

/// How high a sheet of this width inside is, points: as what is on it takes.
fn height(state: &State, width: f32) -> f32 {
    if width < SIDE_BY_SIDE {
        return HEIGHT;
    }
    let found = state.start.found.as_ref();
    let rows = found.map_or(0.0, |found| found.recents.len() as f32 * (size_of_recent(found)[0] + ROW_GAP));
    let trouble = if state.unopened.is_some() { TROUBLE } else { 0.0 };
    (rows + HEADING + 2.0 * MARGIN).clamp(LEAST_HEIGHT, HEIGHT) + trouble
}

fn demos_of(ui: &mut Ui, state: &State, queue: &mut Queue) {
    heading(ui, text::start::DEMOS);
    let Some(found) = &state.start.found else { return remark(ui, text::start::LOOKING) };
    if found.demos.is_empty() {
        remark(ui, text::start::NO_DEMOS);
    }
    for demo in &found.demos {
        show_demo(ui, demo, queue);
    }
}

fn heading(ui: &mut Ui, words: &str) {
    let paper = Paper::of(ui.visuals());
    ui.label(RichText::new(words).heading().color(paper.ink));
    let y = ui.cursor().top();
    ui.painter().hline(ui.max_rect().x_range(), y, Stroke::new(1.0, paper.margin_line));
    ui.add_space(4.0);
}
