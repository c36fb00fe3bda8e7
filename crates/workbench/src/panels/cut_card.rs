//! The card of one cut: in short, or in full while it is in hand.

use egui::{Grid, RichText, Stroke, Ui};
use seamwright_geometry::Side;
use seamwright_project::{Axis, Cut, CutPlane, Edit, PieceId, Scope};

use super::entry::{Entry, Typed, name_entry};
use super::line::remark;
use super::summary::scope_words;
use super::swatch::swatch;
use crate::app::command::Command;
use crate::app::placing::{residual_words, square_to};
use crate::app::state::{State, tone_of};
use crate::app::style::Paper;
use crate::app::{Action, PlacedSide, Queue, words};

/// Shows the card of `cut`.
pub fn cut_card(ui: &mut Ui, state: &State, queue: &mut Queue, cut: &Cut) {
    let in_hand = state.cut_in_hand() == Some(cut.id);
    let paper = Paper::of(ui.visuals());
    let mut frame = paper.slip_frame();
    if in_hand {
        frame = frame.stroke(Stroke::new(1.5, paper.accent));
    }
    frame.show(ui, |ui| {
        ui.set_width(ui.available_width());
        ui.push_id(cut.id.0, |ui| {
            head(ui, state, queue, cut, in_hand);
            if in_hand {
                body(ui, state, queue, cut);
            } else {
                remark(ui, in_short(cut));
            }
        });
    });
}

fn head(ui: &mut Ui, state: &State, queue: &mut Queue, cut: &Cut, in_hand: bool) {
    ui.horizontal(|ui| {
        let mut enabled = cut.enabled;
        let switch = ui.add(egui::Checkbox::without_text(&mut enabled));
        let name = format!("{} is on", cut.name);
        switch.widget_info(|| egui::WidgetInfo::selected(egui::Role::CheckBox, true, enabled, &name));
        if switch.on_hover_text("On: it cuts. Off: it stays here and does nothing").changed() {
            queue.edit(Edit::SetCutEnabled { cut: cut.id, enabled });
        }
        let paper = Paper::of(ui.visuals());
        let ink = if cut.enabled { paper.ink } else { paper.ink_soft };
        let text = RichText::new(&cut.name).strong().color(ink);
        let hint = if in_hand { "Lay it down" } else { "Take it in hand: handles on the bench, numbers here" };
        if ui.add(egui::Button::new(text).frame(false)).on_hover_text(hint).clicked() {
            queue.push(Action::TakeCut((!in_hand).then_some(cut.id)));
        }
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            if in_hand {
                small(ui, state, queue, Command::RemoveCut, "remove");
                small(ui, state, queue, Command::CutLater, "later");
                small(ui, state, queue, Command::CutEarlier, "earlier");
            }
        });
    });
}

fn small(ui: &mut Ui, state: &State, queue: &mut Queue, command: Command, words: &str) {
    let button = ui.add_enabled(command.is_possible(state), egui::Button::new(words).small());
    if button.on_hover_text(command.tooltip(ui.ctx())).clicked() {
        queue.push(Action::Run(command));
    }
}

fn in_short(cut: &Cut) -> String {
    let plane = &cut.plane;
    let mut parts = vec![format!("{} {} mm", plane.axis.name(), words::mm(plane.offset_mm()))];
    if plane.tilt_deg != [0.0; 2] {
        parts.push(format!("tilt {}° / {}°", words::angle(plane.tilt_deg[0]), words::angle(plane.tilt_deg[1])));
    }
    if cut.scope != Scope::All {
        parts.push(scope_words(&cut.scope));
    }
    if !cut.enabled {
        parts.push("off".into());
    }
    parts.join(" · ")
}

fn body(ui: &mut Ui, state: &State, queue: &mut Queue, cut: &Cut) {
    let shown = state.shown_plane().unwrap_or(cut.plane);
    let (was, now) = (&cut.plane, &shown);
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
        let offset = Entry::length("offset", was.offset_mm()).shown(now.offset_mm());
        set(offset.show(ui), &|value| was.with_offset_mm(value));
        ui.end_row();
        let (name, value) = (format!("tilt about {first}"), was.tilt_deg[0]);
        set(Entry::angle(&name, value).shown(now.tilt_deg[0]).show(ui), &|value| tilted(0, value));
        ui.end_row();
        let (name, value) = (format!("tilt about {second}"), was.tilt_deg[1]);
        set(Entry::angle(&name, value).shown(now.tilt_deg[1]).show(ui), &|value| tilted(1, value));
        ui.end_row();
    });
    axis_row(ui, state, queue, cut);
    if let Some((_, residual_mm, points)) = state.residual.filter(|(id, ..)| *id == cut.id) {
        remark(ui, residual_words(residual_mm, points));
    }
    sides(ui, state);
    scope(ui, state, queue, cut);
    if let Some(name) = name_entry(ui, "name", &cut.name, ui.available_width()) {
        queue.edit(Edit::RenameCut { cut: cut.id, name });
    }
}

fn axis_row(ui: &mut Ui, state: &State, queue: &mut Queue, cut: &Cut) {
    ui.horizontal(|ui| {
        ui.label("square to");
        for axis in Axis::ALL {
            let at_it = cut.plane.axis == axis;
            let hint = format!("Make it square to {}, without tilt", axis.name());
            if ui.selectable_label(at_it, axis.name()).on_hover_text(hint).clicked() {
                let plane = square_to(axis, cut, state.part_bounds());
                queue.edit(Edit::SetCutPlane { cut: cut.id, plane });
            }
        }
    });
}

/// How both sides would fit, where the cut is shown now.
fn sides(ui: &mut Ui, state: &State) {
    let Some(placement) = &state.placement else {
        remark(ui, "working out both sides…");
        return;
    };
    if placement.sides.is_empty() {
        remark(ui, "It crosses nothing here.");
        return;
    }
    for side in &placement.sides {
        side_row(ui, state, side);
    }
    remark(ui, format!("section {}", words::area(placement.area_mm2)));
}

fn side_row(ui: &mut Ui, state: &State, side: &PlacedSide) {
    let tone = tone_of(side.verdict);
    let slack = words::signed_mm(side.slack_mm);
    let [x, y, z] = side.sizes_mm;
    let size = words::sizes(&seamwright_geometry::Vector::new(x, y, z));
    let which = if side.side == Side::Above { "above" } else { "below" };
    let several = state.placement.as_ref().is_some_and(|p| p.sides.len() > 2);
    ui.horizontal(|ui| {
        swatch(ui, tone);
        ui.label(format!("{which}: {}", tone.words()));
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| ui.label(slack));
    });
    let of = if several { format!(" of {}", marks_of(state, &side.piece)) } else { String::new() };
    remark(ui, format!("{size} mm{of}"));
}

/// The marks of the pieces that are made of this one by the cut in hand.
fn marks_of(state: &State, piece: &PieceId) -> String {
    let cut = state.cut_in_hand();
    let without = |id: &PieceId| id.path.iter().filter(|(c, _)| Some(*c) != cut).copied().collect::<Vec<_>>();
    let marks: Vec<&str> =
        state.pieces().iter().filter(|p| without(&p.id) == piece.path).map(|p| p.mark.as_str()).collect();
    if marks.is_empty() { piece.to_string() } else { marks.join("+") }
}

fn scope(ui: &mut Ui, state: &State, queue: &mut Queue, cut: &Cut) {
    ui.horizontal_wrapped(|ui| {
        ui.label("crosses");
        if ui.selectable_label(cut.scope == Scope::All, "all").clicked() {
            queue.edit(Edit::SetCutScope { cut: cut.id, scope: Scope::All });
        }
        let named = matches!(cut.scope, Scope::Pieces(_));
        if ui.selectable_label(named, "named pieces").clicked() && !named {
            // It begins with all that it crosses now, to be struck off one by one.
            let pieces = candidates(state, cut);
            queue.edit(Edit::SetCutScope { cut: cut.id, scope: Scope::Pieces(pieces.into_iter().collect()) });
        }
    });
    let Scope::Pieces(chosen) = &cut.scope else { return };
    for piece in candidates(state, cut) {
        let mut on = chosen.contains(&piece);
        if ui.checkbox(&mut on, format!("crosses {}", marks_of(state, &piece))).changed() {
            let mut next = chosen.clone();
            if on {
                next.insert(piece)
            } else {
                next.remove(&piece)
            };
            queue.edit(Edit::SetCutScope { cut: cut.id, scope: Scope::Pieces(next) });
        }
    }
}

/// The pieces that a cut could be told to cross: those that are there without it, and those named already.
fn candidates(state: &State, cut: &Cut) -> Vec<PieceId> {
    let mut all = state.names.clone();
    if let Scope::Pieces(named) = &cut.scope {
        all.extend(named.iter().cloned());
    }
    all.sort();
    all.dedup();
    all
}
