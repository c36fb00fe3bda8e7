//! What lies on the bench beside the model: the exploded slider, the work that is going on, messages, the
//! card of a first job, and on an empty bench the start sheet.

use egui::{Align, Frame, Layout, Margin, ProgressBar, Rect, RichText, Slider, Ui, UiBuilder, pos2};

use super::first_job::first_job;
use super::legend::legend;
use super::messages::messages;
use super::start_sheet::sheet_on_bench;
use crate::app::command::Command;
use crate::app::state::State;
use crate::app::style::Paper;
use crate::app::{Action, Queue};
use crate::text;

const EDGE: f32 = 14.0;
/// A window lower than this has little room beside the model, points. Our own choice, no source.
const LOW: f32 = 600.0;
/// What says that the bench shows how it was may be so wide, points, where it would break too often; our own choice, by eye.
const BANNER: f32 = 420.0;
/// What tells of work takes so much of the corner, points.
const UNDER_WORK: f32 = 56.0;
/// The key to the colours stands clear of the slider beneath it.
const ABOVE_SLIDER: f32 = 40.0;

/// Shows everything that lies over the bench, which fills `bench`; gives where that is.
pub fn bench_corner(ui: &mut Ui, bench: Rect, state: &State, queue: &mut Queue) -> Vec<Rect> {
    let mut covered = Vec::new();
    let inner = bench.shrink(EDGE);
    if state.is_bench_bare() {
        sheet_on_bench(ui, inner, state, queue);
    }
    covered.extend(first_job(ui, inner, state, queue));
    dropping(ui, bench);
    let top = Rect::from_min_max(inner.min, pos2(inner.left() + inner.width() * 0.5, inner.top() + 60.0));
    let at_top = UiBuilder::new().max_rect(top).layout(Layout::top_down(Align::Min));
    covered.push(ui.scope_builder(at_top, |ui| work(ui, state, queue)).response.rect);
    covered.extend(compared(ui, inner, state));
    let right = Rect::from_min_max(pos2((inner.right() - 420.0).max(inner.center().x), inner.top()), inner.max);
    covered.extend(messages(ui, right, state, queue));
    // A hand that drags a cut in a low window needs the room more.
    let gives_way = is_low(ui) && state.is_shown_elsewhere();
    if state.pieces().len() > 1 && !gives_way {
        let low = Rect::from_min_max(pos2(inner.right() - 270.0, inner.bottom() - 30.0), inner.max)
            .translate(if is_low(ui) { egui::vec2(EDGE - 4.0, EDGE - 4.0) } else { egui::Vec2::ZERO });
        let layout = Layout::right_to_left(Align::Center);
        ui.scope_builder(UiBuilder::new().max_rect(low).layout(layout), |ui| {
            // Over the model its word could not be read without paper behind it.
            let paper = Paper::of(ui.visuals());
            let slip = paper.slip_frame().fill(paper.sheet).inner_margin(Margin::symmetric(8, 3));
            covered.push(slip.show(ui, |ui| exploded(ui, state, queue)).response.rect);
        });
    }
    if !gives_way {
        covered.extend(legend(ui, Rect::from_min_max(inner.min, inner.max - egui::vec2(0.0, ABOVE_SLIDER)), state));
    }
    covered.retain(Rect::is_positive);
    covered
}

/// Whether the window has little height: text was made large in it, or it was made small.
fn is_low(ui: &Ui) -> bool {
    ui.ctx().content_rect().height() < LOW
}

/// While a file is held over the window.
fn dropping(ui: &Ui, bench: Rect) {
    let held = ui.input(|i| !i.raw.hovered_files.is_empty());
    if held {
        let paper = Paper::of(ui.visuals());
        let painter = ui.painter();
        painter.rect_filled(bench, 0.0, paper.accent_wash.gamma_multiply(0.8));
        let font = egui::FontId::proportional(20.0);
        painter.text(bench.center(), egui::Align2::CENTER_CENTER, text::bench::LET_GO, font, paper.ink);
    }
}

fn exploded(ui: &mut Ui, state: &State, queue: &mut Queue) {
    let mut share = state.exploded;
    // In a low window it takes less of the model's place.
    let is_low = is_low(ui);
    ui.spacing_mut().slider_width = if is_low { 70.0 } else { 150.0 };
    // On a slip of paper the rail would not be seen.
    ui.visuals_mut().widgets.inactive.bg_fill = Paper::of(ui.visuals()).rule;
    let slider = ui.add(Slider::new(&mut share, 0.0..=1.0).show_value(false));
    let words = RichText::new(text::bench::EXPLODED);
    let label = ui.label(if is_low { words.small() } else { words });
    let slider = slider.labelled_by(label.id).on_hover_text(Command::Explode.tooltip(ui.ctx()));
    if slider.changed() {
        queue.push(Action::Explode(share));
    }
}

/// Says that what is seen is not how things are now; gives where.
fn compared(ui: &mut Ui, room: Rect, state: &State) -> Option<Rect> {
    let compared = state.compared.as_ref()?;
    let paper = Paper::of(ui.visuals());
    let words = match &compared.shown {
        Some(_) => text::bench::before(&compared.without),
        None => text::bench::working_out_before(&compared.without),
    };
    // In the corner, where the model seldom reaches; under what tells of work that goes on.
    let under = if state.work.as_ref().is_some_and(|work| work.is_long) { UNDER_WORK } else { 0.0 };
    let width = (room.width() * 0.6).max(room.width().min(BANNER));
    let rect = Rect::from_min_size(room.min + egui::vec2(0.0, under), egui::vec2(width, 34.0));
    let banner = ui.scope_builder(UiBuilder::new().max_rect(rect).layout(Layout::top_down(Align::Min)), |ui| {
        let frame = Frame::new().fill(paper.accent).corner_radius(3).inner_margin(Margin::symmetric(12, 5));
        frame.show(ui, |ui| {
            ui.add(egui::Label::new(RichText::new(words).color(paper.slip)).wrap());
        });
    });
    Some(banner.response.rect)
}

fn work(ui: &mut Ui, state: &State, queue: &mut Queue) {
    let paper = Paper::of(ui.visuals());
    let slip = Frame::new().fill(paper.slip).corner_radius(3).inner_margin(Margin::symmetric(9, 5));
    if let Some(work) = state.work.as_ref().filter(|work| work.is_long) {
        slip.show(ui, |ui| {
            ui.horizontal(|ui| {
                ui.add(egui::Spinner::new().size(14.0).color(paper.accent));
                ui.label(&work.stage);
                ui.add(
                    ProgressBar::new(work.fraction as f32).desired_width(120.0).desired_height(8.0).fill(paper.accent),
                );
                if ui.button(text::bench::STOP).on_hover_text(Command::CancelWork.tooltip(ui.ctx())).clicked() {
                    queue.push(Action::Run(Command::CancelWork));
                }
            });
            if !state.pieces().is_empty() && state.is_out_of_date() {
                ui.label(RichText::new(text::bench::OUT_OF_DATE).small().color(paper.ink_soft));
            }
        });
    } else if state.stopped || state.placing_stopped {
        let what = if state.stopped { text::bench::OUT_OF_DATE } else { text::bench::FIT_NOT_KNOWN };
        slip.show(ui, |ui| {
            ui.horizontal(|ui| {
                ui.label(text::bench::stopped(what));
                if ui.button(text::bench::WORK_IT_OUT).clicked() {
                    queue.push(Action::EvaluateAgain);
                }
            });
        });
    }
}
