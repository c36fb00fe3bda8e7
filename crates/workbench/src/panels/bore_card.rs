//! The card of one bore: in short, or in full while it is in hand.

use egui::{Grid, RichText, Stroke, Ui};
use seamwright_project::{Bore, BoreChange, BoreFacts, Edit, Placed};

use super::bore_ends::ends;
use super::bore_rows::{placing, rod_rows, shape_rows};
use super::entry::{Entry, Typed};
use super::line::{remark, trouble};
use super::middle::{NAME_GAP, name_button, small_width};
use super::name_entry::name_entry;
use crate::app::command::Command;
use crate::app::state::State;
use crate::app::style::Paper;
use crate::app::{Action, BoreAction, Queue};
use crate::bench::{BenchStyle, WallTone, paint_wall_swatch};
use crate::text;

/// Shows the card of `bore`.
pub fn bore_card(ui: &mut Ui, state: &State, queue: &mut Queue, bore: &Bore) {
    let in_hand = state.held_bore().is_some_and(|held| held.id == bore.id);
    let paper = Paper::of(ui.visuals());
    let mut frame = paper.slip_frame();
    if in_hand {
        frame = frame.stroke(Stroke::new(1.5, paper.accent));
    } else {
        frame = frame.inner_margin(egui::Margin::symmetric(10, 3));
    }
    frame.show(ui, |ui| {
        ui.set_width(ui.available_width());
        ui.push_id(("bore", bore.id.0), |ui| {
            head(ui, state, queue, bore, in_hand);
            if in_hand {
                body(ui, state, queue, bore);
            }
        });
    });
}

/// Asks for a change of a bore.
pub fn change(queue: &mut Queue, bore: &Bore, change: BoreChange) {
    queue.edit(Edit::ChangeBore { bore: bore.id, change });
}

/// Shows a number; `with` makes the change that it stands for.
pub fn number(ui: &mut Ui, queue: &mut Queue, bore: &Bore, entry: Entry<'_>, with: impl Fn(f64) -> BoreChange) {
    let preview = |change| Action::Bore(BoreAction::Preview(bore.id, change));
    match entry.show(ui) {
        Typed::Nothing => {}
        Typed::Preview(value) => queue.push(preview(Some(with(value)))),
        Typed::Done(value) => change(queue, bore, with(value)),
        Typed::Left => queue.push(preview(None)),
    }
    ui.end_row();
}

fn head(ui: &mut Ui, state: &State, queue: &mut Queue, bore: &Bore, in_hand: bool) {
    ui.horizontal(|ui| {
        let mut enabled = bore.enabled;
        let switch = ui.add(egui::Checkbox::without_text(&mut enabled));
        let name = text::common::is_on(&bore.name);
        switch.widget_info(|| egui::WidgetInfo::selected(egui::Role::CheckBox, true, enabled, &name));
        if switch.on_hover_text(text::bores::ON_OFF).changed() {
            change(queue, bore, BoreChange::Enabled(enabled));
        }
        let paper = Paper::of(ui.visuals());
        let ink = if bore.enabled { paper.ink } else { paper.ink_soft };
        let short = if in_hand { text::common::LAY_DOWN.to_owned() } else { in_short(state, bore) };
        // The name gives way to what stands beside it, but for half of the row.
        let row = ui.available_width();
        let room = (row - small_width(ui, &short) - NAME_GAP).max(row / 2.0);
        let hint = if in_hand { text::common::LAY_IT_DOWN } else { text::common::TAKE_IN_HAND };
        let take = |take: bool| Action::Bore(BoreAction::Take(take.then_some(bore.id)));
        if name_button(ui, &bore.name, ink, room, hint).clicked() {
            queue.push(take(!in_hand));
        }
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            if in_hand {
                let button = ui.add(egui::Button::new(text::common::LAY_DOWN).small());
                if button.on_hover_text(Command::LayDown.tooltip(ui.ctx())).clicked() {
                    queue.push(take(false));
                }
            } else {
                let text = RichText::new(short).small().color(paper.ink_soft);
                ui.add(egui::Label::new(text).truncate());
            }
        });
    });
}

fn in_short(state: &State, bore: &Bore) -> String {
    let mut parts = vec![bore.contents()];
    match made(state, bore) {
        Some(Ok(facts)) => parts.push(text::common::in_mm(facts.length_mm())),
        Some(Err(_)) => parts.push(text::bores::IS_NOT_BORED.into()),
        None => {}
    }
    if !bore.enabled {
        parts.push(text::common::OFF.into());
    }
    parts.join(" · ")
}

/// What the newest results say of a bore.
fn made<'a>(state: &'a State, bore: &Bore) -> Option<Result<&'a BoreFacts, &'a str>> {
    let done = state.outcome.as_ref()?.bores.iter().find(|done| done.bore == bore.id)?;
    Some(done.result.as_ref().map(|facts| &**facts).map_err(|failed| failed.why.as_str()))
}

fn body(ui: &mut Ui, state: &State, queue: &mut Queue, bore: &Bore) {
    let mut renamed = None;
    Grid::new("rod").num_columns(2).show(ui, |ui| {
        renamed = name_entry(ui, text::common::NAME, &bore.name, 150.0);
        ui.end_row();
        rod_rows(ui, queue, bore);
    });
    if let Some(name) = renamed {
        change(queue, bore, BoreChange::Name(name));
    }
    remark(ui, text::bores::bored_wide(bore.diameter_mm(), bore.hole().diameter_mm, bore.hole().source));
    Grid::new("shape").num_columns(2).show(ui, |ui| shape_rows(ui, state, queue, bore));
    placing(ui, state, queue, bore);
    ends(ui, queue, bore);
    walls(ui, state, queue, bore);
    if let Some(Err(why)) = made(state, bore).filter(|_| !state.is_out_of_date()) {
        trouble(ui, &text::bores::not_bored(why));
    }
    crossed_pieces(ui, state, bore);
    ui.horizontal(|ui| {
        let mut may_cross = bore.may_cross;
        let cross = ui.checkbox(&mut may_cross, text::bores::MAY_CROSS);
        if cross.on_hover_text(text::bores::MAY_CROSS_HINT).changed() {
            change(queue, bore, BoreChange::MayCross(may_cross));
        }
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            let button = ui.add(egui::Button::new(text::common::REMOVE).small());
            if button.on_hover_text(Command::RemoveBore.tooltip(ui.ctx())).clicked() {
                queue.push(Action::Run(Command::RemoveBore));
            }
        });
    });
}

/// The wall around it, where it is shown now.
fn walls(ui: &mut Ui, state: &State, queue: &mut Queue, bore: &Bore) {
    Grid::new("walls").num_columns(2).show(ui, |ui| {
        let hint = text::bores::WALL_FROM_HINT;
        let entry = Entry::length(text::bores::WALL_FROM, bore.least_wall_mm).step(0.1).hint(hint);
        number(ui, queue, bore, entry, BoreChange::LeastWall);
    });
    match &state.bore.now {
        None => remark(ui, text::bores::WORKING_OUT_WALL),
        Some(Err(why)) => trouble(ui, why),
        Some(Ok(now)) => {
            match &now.profile.least {
                None if !now.profile.mouths.is_empty() => remark(ui, text::bores::ONLY_MOUTHS),
                None => remark(ui, text::bores::NO_MATERIAL),
                Some(least) => {
                    let tone = WallTone::of(least.wall_mm, bore.least_wall_mm);
                    let said = text::bores::least_wall_is(least.wall_mm.max(0.0), tone.words());
                    ui.horizontal(|ui| {
                        ui.label(said);
                        let show = ui.add(egui::Button::new(text::common::SHOW).small());
                        if show.on_hover_text(text::bores::SHOW_LEAST_HINT).clicked() {
                            queue.push(Action::ShowPlace(least.towards));
                        }
                    });
                }
            }
            if let Some(broken) = now.profile.broken.first() {
                trouble(ui, &text::bores::breaks_through_at(broken.from_mm));
            } else if let Some(thin) = now.profile.thin.first() {
                remark(ui, text::bores::thin_stretches(now.profile.thin.len(), thin.from_mm));
            }
            legend(ui);
        }
    }
    ui.horizontal(|ui| {
        if bore.seam.is_some() {
            return;
        }
        let centre = ui.button(text::bores::CENTRE);
        if centre.on_hover_text(text::bores::CENTRE_HINT).clicked() {
            queue.push(Action::Bore(BoreAction::Centre(bore.id)));
        }
        if let Some((_, [before, after])) = state.bore.gain.filter(|(id, _)| *id == bore.id) {
            remark(ui, text::bores::gained(after.max(0.0), before.max(0.0)));
        } else if bore.placed == Placed::Centred {
            remark(ui, text::bores::CENTRED);
        }
    });
}

/// What the bands on the bench mean.
fn legend(ui: &mut Ui) {
    let style = BenchStyle::of(ui.visuals());
    ui.horizontal_wrapped(|ui| {
        for tone in WallTone::ALL {
            let (rect, _) = ui.allocate_exact_size(egui::vec2(22.0, 11.0), egui::Sense::hover());
            paint_wall_swatch(ui.painter(), rect, tone, &style);
            remark(ui, tone.words());
        }
    });
}

fn crossed_pieces(ui: &mut Ui, state: &State, bore: &Bore) {
    let crossed: Vec<String> = state
        .pieces()
        .iter()
        .filter_map(|piece| {
            let within = piece.facts.bores.iter().find(|within| within.bore == bore.id)?;
            Some(text::bores::piece_stretch(&piece.mark, within.from_mm, within.to_mm))
        })
        .collect();
    if !crossed.is_empty() && !state.is_out_of_date() {
        remark(ui, text::bores::through(&crossed));
    }
}
