//! The card of one cut: in short, or in full while it is in hand.

use egui::{Grid, RichText, Stroke, Ui};
use seamwright_project::{Axis, Cut, CutForm, CutId, CutPlane, Edit};

use super::cut_form::form_rows;
use super::cut_scope::{only, scope};
use super::cut_sides::{at_rest, outline_told, side_of, sides};
use super::details::details;
use super::entry::{Entry, Typed};
use super::line::{remark, trouble};
use super::middle::{NAME_GAP, name_button, small_width};
use super::name_entry::name_entry;
use super::nearby::nearby;
use crate::app::Action::{self, KeepNewCut, TakeNewCutBack};
use crate::app::Queue;
use crate::app::command::Command;
use crate::app::forms::form_words;
use crate::app::free_place::free_offset_mm;
use crate::app::new_cuts::square_to;
use crate::app::state::State;
use crate::app::style::{Paper, choice};
use crate::text::{self, terms};

/// Shows the card of `cut`.
pub fn cut_card(ui: &mut Ui, state: &State, queue: &mut Queue, cut: &Cut) {
    let in_hand = state.cut_in_hand() == Some(cut.id);
    let paper = Paper::of(ui.visuals());
    let mut frame = paper.slip_frame();
    if in_hand {
        frame = frame.stroke(Stroke::new(1.5, paper.accent));
    } else {
        frame = frame.inner_margin(egui::Margin::symmetric(10, 3));
    }
    let card = frame.show(ui, |ui| {
        ui.set_width(ui.available_width());
        ui.push_id(cut.id.0, |ui| {
            head(ui, state, queue, cut, in_hand);
            if in_hand {
                body(ui, state, queue, cut);
            }
        });
    });
    if in_hand {
        let is_made = state.pieces().iter().any(|piece| side_of(piece, cut).is_some());
        bring_into_view(ui, (cut.id.0, is_made), &card.response);
    }
}

/// The card of a cut that was just taken in hand is scrolled to, once, and again when its pieces have come.
fn bring_into_view(ui: &Ui, card_is: (u32, bool), card: &egui::Response) {
    let key = egui::Id::unique("card brought into view");
    let frame = ui.ctx().cumulative_frame_nr();
    let last = ui.data(|d| d.get_temp::<((u32, bool), u64, u32)>(key));
    let frames = match last {
        Some((was, seen, frames)) if was == card_is && seen + 1 >= frame => frames + 1,
        _ => 0,
    };
    // Its height is known from the second frame on.
    match frames {
        0 => ui.ctx().request_repaint(),
        1 => card.scroll_to_me(None),
        _ => {}
    }
    ui.data_mut(|d| d.insert_temp(key, (card_is, frame, frames)));
}

/// Its row takes a click wherever nothing else in it does.
fn head(ui: &mut Ui, state: &State, queue: &mut Queue, cut: &Cut, in_hand: bool) {
    let row = egui::UiBuilder::new().sense(egui::Sense::CLICK).layout(egui::Layout::left_to_right(egui::Align::Center));
    let size = egui::vec2(ui.available_width(), ui.spacing().interact_size.y);
    let row = row.max_rect(egui::Rect::from_min_size(ui.cursor().min, size));
    let row = ui.scope_builder(row, |ui| {
        let mut enabled = cut.enabled;
        let switch = ui.add(egui::Checkbox::without_text(&mut enabled));
        let name = text::common::is_on(&cut.name);
        switch.widget_info(|| egui::WidgetInfo::selected(egui::Role::CheckBox, true, enabled, &name));
        if switch.on_hover_text(text::cuts::ON_OFF).changed() {
            queue.edit(Edit::SetCutEnabled { cut: cut.id, enabled });
        }
        let paper = Paper::of(ui.visuals());
        let ink = if cut.enabled { paper.ink } else { paper.ink_soft };
        let short = if in_hand { text::common::LAY_DOWN.to_owned() } else { in_short(state, cut) };
        // The name gives way to what stands beside it, but for half of the row.
        let row = ui.available_width();
        let room = (row - small_width(ui, &short) - NAME_GAP).max(row / 2.0);
        let hint = if in_hand { text::common::LAY_IT_DOWN } else { text::common::TAKE_IN_HAND };
        if name_button(ui, &cut.name, ink, room, hint).clicked() {
            queue.push(Action::TakeCut((!in_hand).then_some(cut.id)));
        }
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            if in_hand {
                if ui
                    .add(egui::Button::new(text::common::LAY_DOWN).small())
                    .on_hover_text(Command::LayDown.tooltip(ui.ctx()))
                    .clicked()
                {
                    queue.push(Action::TakeCut(None));
                }
            } else {
                let text = RichText::new(short).small().color(paper.ink_soft);
                ui.add(egui::Label::new(text).truncate()).on_hover_text(scope_hint(state, cut));
            }
        });
    });
    if row.response.clicked() {
        queue.push(Action::TakeCut((!in_hand).then_some(cut.id)));
    }
}

fn small(ui: &mut Ui, state: &State, queue: &mut Queue, command: Command, words: &str) {
    let button = ui.add_enabled(command.is_possible(state), egui::Button::new(words).small());
    if button.on_hover_text(command.tooltip(ui.ctx())).clicked() {
        queue.push(Action::Run(command));
    }
}

fn in_short(state: &State, cut: &Cut) -> String {
    let plane = &cut.plane;
    let mut parts = vec![text::cuts::place(plane.axis.name(), plane.offset_mm())];
    if plane.tilt_deg != [0.0; 2] {
        parts.push(text::cuts::tilts(plane.tilt_deg));
    }
    if cut.form != CutForm::Flat {
        parts.push(form_words(&cut.form).into());
    }
    parts.extend(only(state, cut));
    if !cut.enabled {
        parts.push(text::common::OFF.into());
    }
    parts.join(" · ")
}

/// Whether the card of a new cut is shown for the first time: its number is entered once, and left as the maker likes.
fn is_first_sight(ui: &Ui, cut: &Cut) -> bool {
    let key = egui::Id::unique("new cut that was entered");
    let now = ui.ctx().cumulative_frame_nr();
    let last = ui.data(|d| d.get_temp::<(CutId, u64)>(key));
    ui.data_mut(|d| d.insert_temp(key, (cut.id, now)));
    !last.is_some_and(|(id, seen)| id == cut.id && seen + 1 >= now)
}

fn scope_hint(state: &State, cut: &Cut) -> String {
    text::cuts::crosses(&only(state, cut).unwrap_or_else(|| text::cuts::ALL_IT_CROSSES.into()))
}

fn body(ui: &mut Ui, state: &State, queue: &mut Queue, cut: &Cut) {
    let shown = state.shown_plane().unwrap_or(cut.plane);
    let (was, now) = (&cut.plane, &shown);
    let (mut renamed, mut new_cut) = (None, None);
    let mut set = |typed: Typed, change: &dyn Fn(f64) -> CutPlane| match typed {
        Typed::Nothing => {}
        Typed::Preview(value) => queue.push(Action::Preview { cut: cut.id, plane: Some(change(value)) }),
        Typed::Done(value) => queue.edit(Edit::SetCutPlane { cut: cut.id, plane: change(value) }),
        Typed::Left => queue.push(Action::Preview { cut: cut.id, plane: None }),
    };
    let [first, second] = was.axis.tilt_axes().map(Axis::name);
    let tilted = |i: usize, value: f64| {
        let mut plane = *was;
        plane.tilt_deg[i] = value;
        plane
    };
    Grid::new("numbers").num_columns(2).show(ui, |ui| {
        renamed = name_entry(ui, text::common::NAME, &cut.name, 150.0);
        ui.end_row();
        let is_new = state.new_cut == Some(cut.id);
        let escaped = is_new && ui.input(|i| i.key_pressed(egui::Key::Escape));
        let offset =
            Entry::length(text::cuts::OFFSET, was.offset_mm()).meaning(terms::OFFSET.means).shown(now.offset_mm());
        let typed = offset.entered(is_new && is_first_sight(ui, cut)).show(ui);
        new_cut = (is_new && typed == Typed::Left).then_some(if escaped { TakeNewCutBack } else { KeepNewCut });
        set(typed, &|value| was.with_offset_mm(value));
        ui.end_row();
        let (name, value) = (text::cuts::tilt_about(first), was.tilt_deg[0]);
        let tilt = Entry::angle(&name, value).meaning(terms::TILT.means);
        set(tilt.shown(now.tilt_deg[0]).show(ui), &|value| tilted(0, value));
        ui.end_row();
        let (name, value) = (text::cuts::tilt_about(second), was.tilt_deg[1]);
        let tilt = Entry::angle(&name, value).meaning(terms::TILT.means);
        set(tilt.shown(now.tilt_deg[1]).show(ui), &|value| tilted(1, value));
        ui.end_row();
    });
    new_cut.into_iter().for_each(|action| queue.push(action));
    if let Some(name) = renamed {
        queue.edit(Edit::RenameCut { cut: cut.id, name });
    }
    if !state.recipe().loose.is_empty() {
        remark(ui, text::cuts::cuts_part(state.recipe().part_name(cut.part)));
    }
    axis_row(ui, state, queue, cut);
    form_rows(ui, state, queue, cut);
    if let Some((_, residual_mm, points)) = state.residual.filter(|(id, ..)| *id == cut.id) {
        remark(ui, text::cuts::residual(residual_mm, points));
    }
    off_the_model(ui, state, queue, cut);
    // Before what changes its height as the cut moves: a button must not move away from under the pointer.
    nearby(ui, state, queue, cut);
    sides(ui, state, cut);
    scope(ui, state, queue, cut);
    ui.horizontal(|ui| {
        small(ui, state, queue, Command::CutEarlier, text::cuts::EARLIER);
        small(ui, state, queue, Command::CutLater, text::cuts::LATER);
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            small(ui, state, queue, Command::RemoveCut, text::common::REMOVE);
        });
    });
    // What comes and goes as the cut moves or rests stands last, so that nothing above it moves away from under the pointer.
    at_rest(ui, state, queue);
    outline_told(ui, state, queue);
    details(ui, state, queue, cut);
}

fn axis_row(ui: &mut Ui, state: &State, queue: &mut Queue, cut: &Cut) {
    ui.horizontal(|ui| {
        ui.label(text::common::SQUARE_TO);
        for axis in Axis::ALL {
            let at_it = cut.plane.axis == axis;
            let hint = text::cuts::make_square(axis.name());
            if ui.add(choice(&Paper::of(ui.visuals()), at_it, axis.name())).on_hover_text(hint).clicked() {
                let plane = square_to(axis, cut, state.part_bounds());
                queue.edit(Edit::SetCutPlane { cut: cut.id, plane });
            }
        }
    });
}

/// A cut beside the model parts nothing and has no handles in sight: it is brought back from here.
fn off_the_model(ui: &mut Ui, state: &State, queue: &mut Queue, cut: &Cut) {
    let (Some(bounds), Ok(surface)) = (state.part_bounds(), cut.form.surface(&cut.plane)) else { return };
    if surface.side_of_box(&bounds, 0.0).is_none() {
        return;
    }
    trouble(ui, text::cuts::OFF_THE_MODEL);
    if ui.button(text::cuts::BRING_IT).on_hover_text(text::cuts::BRING_IT_HINT).clicked() {
        let mut through_mm: [f64; 3] = bounds.centre().coords.into();
        let along = cut.plane.axis.index();
        through_mm[along] = free_offset_mm(state.recipe(), cut.plane.axis, &bounds);
        queue.edit(Edit::SetCutPlane { cut: cut.id, plane: CutPlane { through_mm, ..cut.plane } });
    }
}
