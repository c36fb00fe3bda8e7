//! The small entry at a handle: a number for the cut in hand, typed without looking for its field.

use egui::text::{CCursor, CCursorRange};
use egui::{Area, Id, Key, Modifiers, Order, RichText, TextEdit};

use crate::app::Queue;
use crate::app::state::State;
use crate::app::style::Paper;
use crate::app::typing::{Typing, TypingAction, ask};
use crate::bench::Handle;
use crate::text;

const WIDTH: f32 = 150.0;

/// Shows the entry where one is open.
pub fn typed_number(ctx: &egui::Context, state: &State, queue: &mut Queue) {
    let (Some(typing), Some(cut)) = (&state.typing, state.held_cut()) else { return };
    let id = Id::unique("number at a handle");
    let paper = Paper::of(&ctx.global_style().visuals);
    let name = typing.name(&cut.plane);
    Area::new(id).fixed_pos(typing.at).order(Order::Foreground).constrain(true).show(ctx, |ui| {
        paper.sheet_on_top().inner_margin(8).show(ui, |ui| {
            ui.set_width(WIDTH);
            ui.label(RichText::new(&name).small().color(paper.ink_soft));
            field(ui, id.with("text"), typing, &name, queue);
            match &typing.wrong {
                Some(why) => ui.label(RichText::new(why).small().color(paper.warning)),
                None => ui.label(RichText::new(text::bench::TYPING_KEYS).small().color(paper.ink_soft)),
            };
        });
    });
}

fn field(ui: &mut egui::Ui, id: Id, typing: &Typing, name: &str, queue: &mut Queue) {
    let mut text = typing.text.clone();
    let has_focus = ui.memory(|m| m.has_focus(id));
    let tabs = if has_focus { ui.input_mut(|i| i.count_and_consume_key(Modifiers::NONE, Key::Tab)) } else { 0 };
    // Tab is for the next number here, not for the next field.
    let mut output = TextEdit::singleline(&mut text).id(id).lock_focus(true).desired_width(WIDTH - 10.0).show(ui);
    let field = output.response.response.clone();
    ui.ctx().accesskit_node_builder(id, |node| node.set_label(text::bench::typed(name)));
    // Where a frame takes long, a stroke, Tab and Enter may come in one: each is taken, in this order.
    if field.changed() {
        ask(queue, TypingAction::Changed(text.clone()));
    }
    if tabs > 0 {
        let handle = (0..tabs).fold(typing.handle, |handle, _| next(handle));
        ask(queue, TypingAction::For(handle));
    }
    if field.lost_focus() {
        // Consumed: it is said to the field, not to the bench.
        let escaped = ui.input_mut(|i| i.consume_key(Modifiers::NONE, Key::Escape));
        let entered = ui.input(|i| i.key_pressed(Key::Enter));
        // A field is left by a click elsewhere when the button comes up.
        let elsewhere = ui.input(|i| i.pointer.any_pressed() || i.pointer.any_released());
        if escaped || elsewhere || entered {
            ask(queue, if entered { TypingAction::Entered } else { TypingAction::Left });
            return;
        }
    }
    if !field.has_focus() {
        // It opens with what was pressed already: more goes after it.
        field.request_focus();
        let end = CCursorRange::one(CCursor::new(text.chars().count()));
        output.state.cursor.set_char_range(Some(end));
        output.state.clone().store(ui.ctx(), id);
    }
}

fn next(handle: Handle) -> Handle {
    match handle {
        Handle::Move => Handle::TiltFirst,
        Handle::TiltFirst => Handle::TiltSecond,
        Handle::TiltSecond => Handle::Move,
    }
}
