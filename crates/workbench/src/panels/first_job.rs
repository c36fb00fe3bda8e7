//! The card of a first job: one step in plain words, at the edge of the bench, in nobody's way.

use egui::{Align2, Area, Id, Order, Rect, RichText, Ui, vec2};

use crate::app::first_job::JobStep;
use crate::app::state::State;
use crate::app::style::Paper;
use crate::app::{Action, JobAction, Queue};
use crate::text;
use crate::text::first_job::AsItIs;

const WIDTH: f32 = 290.0;
/// Above the compass in the corner of the bench.
const ABOVE_COMPASS: f32 = 84.0;
/// Room for all of the card but its words, points.
const HEAD_AND_FOOT: f32 = 120.0;
const LEAST_WORDS: f32 = 44.0;

/// Shows the card while a first job is being done, over the bench, which leaves `room`; gives where.
pub fn first_job(ui: &mut Ui, room: Rect, state: &State, queue: &mut Queue) -> Option<Rect> {
    let job = state.first_job.as_ref()?;
    let paper = Paper::of(ui.visuals());
    // On a low bench it may hide the compass.
    let above = ABOVE_COMPASS.min((room.height() - HEAD_AND_FOOT - LEAST_WORDS).max(0.0));
    let corner = room.left_bottom() - vec2(0.0, above);
    let area = Area::new(Id::unique("first job")).order(Order::Middle).fixed_pos(corner).pivot(Align2::LEFT_BOTTOM);
    let step = job.step;
    let said = text::first_job::step(step, &as_it_is(state));
    let shown = area.show(ui.ctx(), |ui| {
        let frame = paper.slip_frame().stroke(egui::Stroke::new(1.5, paper.margin_line));
        frame.show(ui, |ui| {
            ui.set_width(WIDTH.min(room.width()));
            ui.horizontal(|ui| {
                ui.label(RichText::new(said.title).heading().color(paper.ink));
                if step != JobStep::Done {
                    let count = text::first_job::so_far(step.at() + 1, JobStep::ALL.len() - 1);
                    ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                        ui.label(RichText::new(count).small().color(paper.ink_soft));
                    });
                }
            });
            // On a low bench its words are scrolled, so that its buttons stay on it.
            let most = (room.height() - above - HEAD_AND_FOOT).max(LEAST_WORDS);
            egui::ScrollArea::vertical().max_height(most).show(ui, |ui| ui.label(said.text));
            if job.done && step != JobStep::Done {
                done(ui, paper.accent);
            }
            if !said.keys.is_empty() {
                ui.label(RichText::new(said.keys).small().color(paper.ink_soft));
            }
            ui.horizontal(|ui| buttons(ui, step, queue));
        });
    });
    Some(shown.response.rect)
}

/// Says that the step is done: a tick and words.
fn done(ui: &mut Ui, ink: egui::Color32) {
    ui.horizontal(|ui| {
        let (rect, _) = ui.allocate_exact_size(vec2(14.0, 14.0), egui::Sense::hover());
        let at = |x: f32, y: f32| rect.lerp_inside(vec2(x, y));
        let tick = vec![at(0.05, 0.55), at(0.38, 0.9), at(0.95, 0.1)];
        ui.painter().add(egui::Shape::line(tick, egui::Stroke::new(2.0, ink)));
        ui.label(RichText::new(text::first_job::STEP_DONE).color(ink));
    });
}

fn as_it_is(state: &State) -> AsItIs<'_> {
    let too_big = state.pieces().iter().filter(|piece| !piece.fit.verdict.fits());
    AsItIs {
        has_model: state.recipe().stock.is_some(),
        too_big: too_big.map(|piece| piece.mark.as_str()).collect(),
        pieces: state.pieces().len(),
    }
}

fn buttons(ui: &mut Ui, step: JobStep, queue: &mut Queue) {
    let mut ask = |action| queue.push(Action::FirstJob(action));
    if step == JobStep::Done {
        if ui.button(text::first_job::PUT_AWAY).clicked() {
            ask(JobAction::Leave);
        }
        return;
    }
    if ui.button(text::first_job::GO_ON).on_hover_text(text::first_job::GO_ON_HINT).clicked() {
        ask(JobAction::GoOn);
    }
    if step != JobStep::Open && ui.button(text::first_job::BACK).on_hover_text(text::first_job::BACK_HINT).clicked() {
        ask(JobAction::GoBack);
    }
    if ui.button(text::first_job::LEAVE).on_hover_text(text::first_job::LEAVE_HINT).clicked() {
        ask(JobAction::Leave);
    }
}
