//! The rows of a cut's card that say what it is made along, and how wide a gap it leaves.

use egui::{ComboBox, Grid, Ui};
use seamwright_project::{Cut, CutForm, CutProfile, Edge, Edit, Line, Waves};

use super::entry::{Entry, Typed};
use super::line::trouble;
use crate::app::forms::{Choice, form_words};
use crate::app::state::State;
use crate::app::{Action, Queue};
use crate::text;

/// Shows the rows.
pub fn form_rows(ui: &mut Ui, state: &State, queue: &mut Queue, cut: &Cut) {
    Grid::new("form").num_columns(2).show(ui, |ui| {
        choice(ui, state, queue, cut);
        match &cut.form {
            CutForm::Flat => {}
            CutForm::Ending(edge) => ending(ui, queue, cut, edge),
            CutForm::Profile(profile) => of_profile(ui, queue, cut, profile),
        }
        let kerf = Entry::length(text::cut_form::KERF, cut.kerf_mm).hint(text::cut_form::KERF_HINT);
        if let Typed::Done(kerf_mm) = kerf.show(ui) {
            queue.edit(Edit::SetCutKerf { cut: cut.id, kerf_mm });
        }
        ui.end_row();
    });
    let shown = state.shown_cut().filter(|_| state.cut_in_hand() == Some(cut.id));
    if let Some(Err(error)) = shown.map(|shown| shown.form.surface(&shown.plane)) {
        trouble(ui, &error.to_string());
    }
}

fn choice(ui: &mut Ui, state: &State, queue: &mut Queue, cut: &Cut) {
    let label = ui.label(text::cut_form::FORM);
    let combo = ComboBox::from_id_salt("form").selected_text(form_words(&cut.form)).width(140.0).show_ui(ui, |ui| {
        for choice in Choice::ALL {
            let chosen = Choice::of(&cut.form) == Some(choice);
            if ui.selectable_label(chosen, choice.name()).on_hover_text(choice.hint()).clicked() && !chosen {
                let crossed = state.placement.as_ref().map_or(&[][..], |placement| &placement.outline);
                let form = choice.form(&cut.plane, crossed, state.part_bounds());
                queue.edit(Edit::SetCutForm { cut: cut.id, form });
            }
        }
    });
    combo.response.labelled_by(label.id).on_hover_text(text::cut_form::FORM_HINT);
    ui.end_row();
}

/// Shows a number of the form; `change` makes the form that it would be with another.
fn number(ui: &mut Ui, queue: &mut Queue, cut: &Cut, entry: Entry<'_>, change: impl Fn(f64) -> CutForm) {
    match entry.show(ui) {
        Typed::Nothing => {}
        Typed::Preview(value) => queue.push(Action::PreviewForm { cut: cut.id, form: Some(change(value)) }),
        Typed::Done(value) => queue.edit(Edit::SetCutForm { cut: cut.id, form: change(value) }),
        Typed::Left => queue.push(Action::PreviewForm { cut: cut.id, form: None }),
    }
    ui.end_row();
}

fn ending(ui: &mut Ui, queue: &mut Queue, cut: &Cut, edge: &Edge) {
    let entry = Entry::length(text::cut_form::ENDS_AT, edge.offset_mm).hint(text::cut_form::ENDS_AT_HINT);
    number(ui, queue, cut, entry, |offset_mm| CutForm::Ending(Edge { offset_mm, ..*edge }));
    let entry = Entry::angle(text::cut_form::TURNED, edge.turn_deg).hint(text::cut_form::ENDING_TURNED_HINT);
    number(ui, queue, cut, entry, |turn_deg| CutForm::Ending(Edge { turn_deg, ..*edge }));
}

fn of_profile(ui: &mut Ui, queue: &mut Queue, cut: &Cut, profile: &CutProfile) {
    let with = |line: Line| CutForm::Profile(CutProfile { line, ..*profile });
    match &profile.line {
        Line::Step { rise_mm } => {
            let entry = Entry::length(text::cut_form::RISE, *rise_mm).hint(text::cut_form::RISE_HINT);
            number(ui, queue, cut, entry, |rise_mm| with(Line::Step { rise_mm }));
        }
        Line::Zigzag(waves) => teeth(ui, queue, cut, waves, |waves| with(Line::Zigzag(waves))),
        Line::Wave(waves) => teeth(ui, queue, cut, waves, |waves| with(Line::Wave(waves))),
        Line::Dovetail { waves, flank_deg } => {
            teeth(ui, queue, cut, waves, |waves| with(Line::Dovetail { waves, flank_deg: *flank_deg }));
            let entry = Entry::angle(text::cut_form::FLANKS, *flank_deg).hint(text::cut_form::FLANKS_HINT);
            number(ui, queue, cut, entry, |flank_deg| with(Line::Dovetail { waves: *waves, flank_deg }));
        }
        Line::Drawn { points_mm, smooth } => {
            let mut round = *smooth;
            ui.label(text::cut_form::points(points_mm.len()));
            if ui.checkbox(&mut round, text::cut_form::SMOOTH).on_hover_text(text::cut_form::SMOOTH_HINT).changed() {
                let line = Line::Drawn { points_mm: points_mm.clone(), smooth: round };
                queue.edit(Edit::SetCutForm { cut: cut.id, form: with(line) });
            }
            ui.end_row();
        }
    }
    let entry = Entry::angle(text::cut_form::TURNED, profile.turn_deg).hint(text::cut_form::PROFILE_TURNED_HINT);
    let turned = |turn_deg| CutForm::Profile(CutProfile { turn_deg, ..profile.clone() });
    number(ui, queue, cut, entry, turned);
}

fn teeth(ui: &mut Ui, queue: &mut Queue, cut: &Cut, waves: &Waves, with: impl Fn(Waves) -> CutForm) {
    let entry = Entry::length(text::common::LENGTH, waves.pitch_mm).hint(text::cut_form::PITCH_HINT);
    number(ui, queue, cut, entry, |pitch_mm| with(Waves { pitch_mm, ..*waves }));
    let entry = Entry::length(text::common::HEIGHT, waves.height_mm).hint(text::cut_form::HEIGHT_HINT);
    number(ui, queue, cut, entry, |height_mm| with(Waves { height_mm, ..*waves }));
    let entry =
        Entry::plain(text::cut_form::HOW_MANY, f64::from(waves.count)).step(1.0).hint(text::cut_form::HOW_MANY_HINT);
    let count = |count: f64| count.round().clamp(1.0, f64::from(u32::MAX)) as u32;
    number(ui, queue, cut, entry, |many| with(Waves { count: count(many), ..*waves }));
}
