//! The small list of what can be done with what is under the pointer.

use egui::{Area, EventFilter, Id, Key, Modifiers, Order, RichText, Ui};

use crate::app::at_hand::{AtHand, Offer};
use crate::app::state::State;
use crate::app::style::Paper;
use crate::app::{Action, Queue};
use crate::text;

const WIDTH: f32 = 230.0;

/// Shows the list where one is open.
pub fn at_hand(ctx: &egui::Context, state: &State, queue: &mut Queue) {
    let id = Id::unique("list at hand");
    let before = ctx.data(|d| d.get_temp::<Opened>(id));
    let Some(list) = &state.at_hand else {
        if let Some(opened) = before {
            ctx.data_mut(|d| d.remove::<Opened>(id));
            // What had the focus before has it again, unless something else took it.
            if let (Some(focus), None) = (opened.focus, ctx.memory(|m| m.focused())) {
                ctx.memory_mut(|m| m.request_focus(focus));
            }
        }
        return;
    };
    let opened = match before {
        Some(opened) if opened.list == *list => Opened { is_new: false, ..opened },
        Some(opened) => Opened { list: list.clone(), is_new: true, ..opened },
        None => Opened { list: list.clone(), focus: ctx.memory(|m| m.focused()), is_new: true },
    };
    let is_new = opened.is_new;
    ctx.data_mut(|d| d.insert_temp(id, opened));
    let area = Area::new(id).fixed_pos(list.at).order(Order::Foreground).constrain(true).show(ctx, |ui| {
        let paper = Paper::of(ui.visuals());
        paper.sheet_on_top().inner_margin(6).show(ui, |ui| {
            ui.set_width(WIDTH);
            ui.spacing_mut().item_spacing.y = 1.0;
            ui.label(RichText::new(list.title(state)).small().color(paper.ink_soft));
            rows(ui, list, state, is_new)
        })
    });
    ctx.accesskit_node_builder(area.response.id, |node| node.set_label(text::at_hand::LIST));
    if let Some(action) = area.inner.inner {
        queue.push(Action::AtHand(None));
        queue.push(action);
    } else if ctx.input(|i| i.pointer.any_pressed()) && !area.response.contains_pointer() {
        queue.push(Action::AtHand(None));
    }
}

#[derive(Clone)]
struct Opened {
    list: AtHand,
    /// What had the focus before it was opened.
    focus: Option<Id>,
    is_new: bool,
}

/// The lines; the first that can be chosen has the focus, and arrows go from one to the next.
fn rows(ui: &mut Ui, list: &AtHand, state: &State, is_new: bool) -> Option<Action> {
    let (mut chosen, mut rows) = (None, Vec::new());
    for (i, group) in list.offers(state).into_iter().filter(|group| !group.is_empty()).enumerate() {
        if i > 0 {
            ui.separator();
        }
        for offer in group {
            let row = row(ui, &offer);
            if row.clicked() {
                chosen = Some(offer.action);
            }
            if offer.why_not.is_none() {
                rows.push(row);
            }
        }
    }
    if is_new {
        rows.first().into_iter().for_each(|row| row.request_focus());
    }
    if let Some(at) = rows.iter().position(|row| row.has_focus()) {
        let own = EventFilter { tab: true, vertical_arrows: true, ..Default::default() };
        ui.memory_mut(|m| m.set_focus_lock_filter(rows[at].id, own));
        let count = rows.len() as isize;
        let step = ui.input_mut(|i| {
            let mut presses = |modifiers, key| i.count_and_consume_key(modifiers, key) as isize;
            presses(Modifiers::NONE, Key::ArrowDown)
                - presses(Modifiers::NONE, Key::ArrowUp)
                - presses(Modifiers::SHIFT, Key::Tab)
                + presses(Modifiers::NONE, Key::Tab)
        });
        if step != 0 {
            rows[(at as isize + step).rem_euclid(count) as usize].request_focus();
        }
    }
    chosen
}

fn row(ui: &mut Ui, offer: &Offer) -> egui::Response {
    let soft = Paper::of(ui.visuals()).ink_soft;
    let right = match (offer.why_not, offer.keys) {
        (Some(why), _) => why.to_owned(),
        (None, Some(keys)) => ui.ctx().format_shortcut(&keys),
        (None, None) => String::new(),
    };
    let button = egui::Button::selectable(false, &offer.text).right_text(RichText::new(right).small().color(soft));
    let size = [ui.available_width(), 23.0];
    let row = ui.add_enabled_ui(offer.why_not.is_none(), |ui| ui.add_sized(size, button)).inner;
    let told = match offer.why_not {
        Some(why) => text::command_list::not_now(&offer.text, why),
        None => offer.text.clone(),
    };
    row.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, offer.why_not.is_none(), &told));
    row.on_hover_text(&offer.hint).on_disabled_hover_text(&offer.hint)
}
