//! The start sheet: how to begin, what was on the bench lately, and the demos.

use std::path::Path;
use std::time::SystemTime;

use egui::text::LayoutJob;
use egui::{
    FontId, Id, Modal, Rect, Response, RichText, ScrollArea, Sense, Stroke, TextFormat, TextStyle, Ui, UiBuilder,
};

use super::line::remark;
use super::middle::shortened;
use crate::app::command::Command;
use crate::app::demos::Demo;
use crate::app::glance::figures;
use crate::app::start::{RecentFile, StartFound};
use crate::app::state::State;
use crate::app::style::Paper;
use crate::app::{Action, Queue, StartAction, words};
use crate::text;

/// Width of the sheet, points, where there is room.
const WIDTH: f32 = 620.0;
/// Less than this beside the list, and the ways to begin come above it.
const LEAST_WIDE: f32 = 540.0;
const BEGIN_WIDTH: f32 = 178.0;
const MARGIN: f32 = 16.0;

/// Shows the sheet on an empty bench, which leaves `room`.
pub fn sheet_on_bench(ui: &mut Ui, room: Rect, state: &State, queue: &mut Queue) {
    let paper = Paper::of(ui.visuals());
    let size = egui::vec2((WIDTH + 2.0 * MARGIN).min(room.width()), room.height().min(HEIGHT));
    let sheet = Rect::from_center_size(room.center(), size);
    // What is done on the sheet is not done on the bench beneath.
    ui.interact(sheet, Id::unique("start sheet"), Sense::click_and_drag());
    ui.painter().rect(sheet, 3.0, paper.slip, Stroke::new(1.0, paper.rule), egui::StrokeKind::Inside);
    ui.scope_builder(UiBuilder::new().max_rect(sheet.shrink(MARGIN)), |ui| {
        ui.set_clip_rect(ui.clip_rect().intersect(sheet));
        content(ui, state, queue);
    });
}

/// Height of the sheet, points, where there is room: for all demos and a handful of recent files without scrolling.
const HEIGHT: f32 = 520.0;

/// Shows the sheet on top of everything, when it was asked for while a model is open.
pub fn start_sheet(ctx: &egui::Context, state: &State, queue: &mut Queue) {
    if !state.start.open || state.is_bench_bare() {
        return;
    }
    let frame = Paper::of(&ctx.global_style().visuals).sheet_on_top();
    let modal = Modal::new(Id::unique("start sheet on top")).frame(frame).show(ctx, |ui| {
        let room = ctx.content_rect().size();
        ui.set_width(WIDTH.min(room.x - 60.0));
        ui.set_height(HEIGHT.min(room.y - 60.0));
        content(ui, state, queue);
    });
    if modal.should_close() {
        queue.push(Action::Start(StartAction::Close));
    }
}

fn content(ui: &mut Ui, state: &State, queue: &mut Queue) {
    let list = |ui: &mut Ui, queue: &mut Queue| match &state.start.found {
        Some(found) => lists(ui, found, queue),
        None => remark(ui, text::start::LOOKING),
    };
    ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
        let width = ui.available_width();
        if width < LEAST_WIDE {
            begin(ui, state, queue);
            ui.add_space(10.0);
            return list(ui, queue);
        }
        ui.horizontal_top(|ui| {
            ui.vertical(|ui| {
                ui.set_width(BEGIN_WIDTH);
                begin(ui, state, queue);
            });
            ui.add_space(14.0);
            ui.vertical(|ui| {
                ui.set_width(width - BEGIN_WIDTH - 34.0);
                list(ui, queue);
            });
        });
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
    for (command, words) in ways {
        // With a model open, another one begins a project of its own.
        let command = if command == Command::OpenStock && !state.is_bench_bare() { Command::Open } else { command };
        let button = ui.add_sized([ui.available_width().min(BEGIN_WIDTH), 26.0], egui::Button::new(words));
        if button.on_hover_text(command.tooltip(ui.ctx())).clicked() {
            queue.push(Action::Start(StartAction::Close));
            queue.push(Action::Run(command));
        }
    }
    remark(ui, text::start::DROP);
}

fn lists(ui: &mut Ui, found: &StartFound, queue: &mut Queue) {
    heading(ui, text::start::LATELY);
    if let Some(trouble) = &found.trouble {
        super::line::trouble(ui, trouble);
    } else if found.recents.is_empty() {
        remark(ui, text::start::NOTHING_YET);
    }
    for file in &found.recents {
        recent(ui, file, queue);
    }
    ui.add_space(12.0);
    heading(ui, text::start::DEMOS);
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

/// A file that was open lately, or what became of it.
fn recent(ui: &mut Ui, file: &RecentFile, queue: &mut Queue) {
    let path = &file.recent.path;
    let name = path.file_name().map_or_else(|| path.display().to_string(), |name| name.to_string_lossy().into_owned());
    let folder = path.parent().map_or_else(String::new, |folder| folder.display().to_string());
    let Some(bytes) = file.bytes else { return gone(ui, path, &name, &folder, queue) };
    let known = figures(file.recent.triangles, file.recent.size_mm);
    let known = if known.is_empty() { words::bytes(bytes) } else { known };
    let ago = words::ago(file.recent.opened, SystemTime::now());
    let response = row(ui, &name, &text::start::ago_and_known(&ago, &known), &folder, true);
    if response.on_hover_text(path.display().to_string()).clicked() {
        queue.push(Action::Start(StartAction::Open(path.clone())));
    }
}

/// A file that is not where it was.
fn gone(ui: &mut Ui, path: &Path, name: &str, folder: &str, queue: &mut Queue) {
    let paper = Paper::of(ui.visuals());
    let off = text::start::TAKE_OFF;
    let room = ui.available_width() - 130.0;
    ui.horizontal(|ui| {
        ui.vertical(|ui| {
            ui.set_width(room);
            let name = shortened(ui, name, &TextStyle::Body.resolve(ui.style()), room);
            ui.label(RichText::new(name).color(paper.ink_soft)).on_hover_text(path.display().to_string());
            let small = TextStyle::Small.resolve(ui.style());
            let words = text::start::GONE;
            let left = room - ui.painter().layout_no_wrap(words.into(), small.clone(), paper.ink).size().x;
            let folder = shortened(ui, folder, &small, left);
            ui.label(RichText::new(format!("{words}{folder}")).small().color(paper.warning));
        });
        let button = ui.add(egui::Button::new(off).small());
        button.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, true, text::common::told_apart(off, name)));
        if button.on_hover_text(text::start::TAKE_OFF_HINT).clicked() {
            queue.push(Action::Start(StartAction::Forget(path.into())));
        }
    });
}

fn show_demo(ui: &mut Ui, demo: &Demo, queue: &mut Queue) {
    let Some(model) = &demo.model else {
        row(ui, demo.name, demo.about, text::start::DEMO_WITHOUT_MODEL, false);
        return;
    };
    let response = row(ui, demo.name, &model.words(), demo.about, true);
    if response.on_hover_text(text::start::DEMO_HINT).clicked() {
        queue.push(Action::Start(StartAction::OpenDemo(demo.path.clone())));
    }
}

/// A row that can be pressed: a name with figures at the right, and something softer below.
fn row(ui: &mut Ui, name: &str, figures: &str, below: &str, enabled: bool) -> Response {
    let paper = Paper::of(ui.visuals());
    let (body, small) = (TextStyle::Body.resolve(ui.style()), TextStyle::Small.resolve(ui.style()));
    let room = ui.available_width() - 2.0 * ui.spacing().button_padding.x - 12.0;
    let figures_width = ui.painter().layout_no_wrap(figures.into(), small.clone(), paper.ink).size().x;
    let shown = shortened(ui, name, &body, room - figures_width);
    let mut text = LayoutJob::default();
    let add = |text: &mut LayoutJob, words: &str, font: &FontId, ink| {
        text.append(words, 0.0, TextFormat::simple(font.clone(), ink));
    };
    add(&mut text, &shown, &body, if enabled { paper.ink } else { paper.ink_soft });
    add(&mut text, &format!("\n{}", shortened(ui, below, &small, room)), &small, paper.ink_soft);
    let right = RichText::new(figures).small().color(paper.ink_soft);
    let button = egui::Button::new(text).right_text(right).frame_when_inactive(false);
    let response = ui.add_enabled_ui(enabled, |ui| ui.add_sized([ui.available_width(), 40.0], button)).inner;
    response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, enabled, format!("{name}: {below}")));
    response
}
