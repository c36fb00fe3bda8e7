//! The card of a first job: one step in plain words, at the edge of the bench, in nobody's way.

use egui::{Align2, Area, Id, Order, Rect, RichText, Ui, vec2};

use super::first_job_words::words_of;
use crate::app::first_job::JobStep;
use crate::app::state::State;
use crate::app::style::Paper;
use crate::app::{Action, JobAction, Queue};

const WIDTH: f32 = 290.0;
/// Above the compass in the corner of the bench.
const ABOVE_COMPASS: f32 = 84.0;

/// Shows the card while a first job is being done, over the bench, which leaves `room`.
pub fn first_job(ui: &mut Ui, room: Rect, state: &State, queue: &mut Queue) {
    let Some(job) = &state.first_job else { return };
    let paper = Paper::of(ui.visuals());
    let corner = room.left_bottom() - vec2(0.0, ABOVE_COMPASS);
    let area = Area::new(Id::unique("first job")).order(Order::Middle).fixed_pos(corner).pivot(Align2::LEFT_BOTTOM);
    let step = job.step;
    let said = words_of(step, state);
    area.show(ui.ctx(), |ui| {
        let frame = paper.slip_frame().stroke(egui::Stroke::new(1.5, paper.margin_line));
        frame.show(ui, |ui| {
            ui.set_width(WIDTH.min(room.width()));
            ui.horizontal(|ui| {
                ui.label(RichText::new(said.title).heading().color(paper.ink));
                if step != JobStep::Done {
                    let count = format!("{} of {}", step.at() + 1, JobStep::ALL.len() - 1);
                    ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                        ui.label(RichText::new(count).small().color(paper.ink_soft));
                    });
                }
            });
            ui.label(said.text);
            if !said.keys.is_empty() {
                ui.label(RichText::new(said.keys).small().color(paper.ink_soft));
            }
            ui.horizontal(|ui| buttons(ui, step, queue));
        });
    });
}

fn buttons(ui: &mut Ui, step: JobStep, queue: &mut Queue) {
    let mut ask = |action| queue.push(Action::FirstJob(action));
    if step == JobStep::Done {
        if ui.button("put the card away").clicked() {
            ask(JobAction::Leave);
        }
        return;
    }
    if ui.button("go on").on_hover_text("The next step, whether this one is done or not").clicked() {
        ask(JobAction::GoOn);
    }
    if step != JobStep::Open && ui.button("back").on_hover_text("The step before").clicked() {
        ask(JobAction::GoBack);
    }
    if ui.button("leave the first job").on_hover_text("What you have done stays").clicked() {
        ask(JobAction::Leave);
    }
}
