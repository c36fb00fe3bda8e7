//! A number typed at a handle: with a cut in hand a digit opens a small entry for its offset, or for the handle that is held.

use egui::{Event, Key, Pos2};
use seamwright_geometry::{Plane, Point};
use seamwright_project::{Axis, CutId, CutPlane, Edit};

use super::App;
use super::action::{Action, Queue};
use super::quantity::{angle_deg, length_mm};
use super::state::{Line, State, Tool};
use crate::bench::{Handle, Lean};
use crate::text;

/// The entry at a handle.
#[derive(Clone, Debug, PartialEq)]
pub struct Typing {
    /// Of which cut.
    pub cut: CutId,
    /// What the number is for.
    pub handle: Handle,
    /// What was typed.
    pub text: String,
    /// Why it is no number, once it was entered.
    pub wrong: Option<String>,
    /// Where the entry stands on the screen.
    pub at: Pos2,
    /// The place that a tilt turns about.
    pub seat: Point,
}

/// Something about the entry.
#[derive(Clone, Debug, PartialEq)]
pub enum TypingAction {
    /// This cut is taken in hand, and the entry opens at its handle as soon as that is shown.
    Begin(CutId, Handle),
    /// The text is this now.
    Changed(String),
    /// It is for another number of the cut.
    For(Handle),
    /// It is done: the number becomes an edit.
    Entered,
    /// It is left as it was.
    Left,
}

impl Typing {
    /// What the number is, in words.
    pub fn name(&self, plane: &CutPlane) -> String {
        let about = |i: usize| {
            let axes = plane.plane().map(|flat| Lean::of(&flat.normal()).axes);
            let axis = axes.map_or(plane.axis.tilt_axes()[i], |axes| Axis::nearest(&axes[i].abs()));
            text::cuts::tilt_about(axis.name())
        };
        match self.handle {
            Handle::Move => text::cuts::offset_along(plane.axis.name()),
            Handle::TiltFirst => about(0),
            Handle::TiltSecond => about(1),
        }
    }

    /// Where the cut would lie with the number as it was typed; why not, in words.
    pub fn plane(&self, before: &CutPlane) -> Result<CutPlane, String> {
        let said = |error: super::quantity::QuantityError| error.to_string();
        if self.handle == Handle::Move {
            return Ok(before.with_offset_mm(length_mm(&self.text).map_err(said)?));
        }
        let deg = angle_deg(&self.text).map_err(said)?;
        if deg.abs() >= 90.0 {
            return Err(text::cuts::TILT_TOO_FAR.into());
        }
        let flat = before.plane().map_err(|error| error.to_string())?;
        let lean = Lean::of(&flat.normal());
        let leaning = match self.handle {
            Handle::TiltFirst => Lean { first_deg: deg, ..lean },
            _ => Lean { second_deg: deg, ..lean },
        };
        let seat = flat.project(&self.seat);
        let turned = Plane::through(seat, leaning.normal()).map_err(|error| error.to_string())?;
        Ok(before.turned_to(&turned, seat))
    }
}

/// The text that begins a number, taken from what was pressed in this frame; `None` where it is meant for something else.
fn begun(ctx: &egui::Context, state: &State) -> Option<String> {
    // With the line of the cuts shut nothing tells that a number would go there: digits open lines then.
    let edits = state.held_cut().is_some() && state.open_line == Some(Line::Cuts);
    let listening = edits && state.tool == Tool::Look && state.typing.is_none();
    let covered = state.at_hand.is_some() || state.commands_open || state.history_open || state.question.is_some();
    // With Alt or Ctrl a digit is a command, though some systems tell it as text too.
    let commanded = ctx.input(|i| i.modifiers.alt || i.modifiers.command || i.modifiers.ctrl);
    if !listening || covered || commanded || ctx.text_edit_focused() {
        return None;
    }
    ctx.input_mut(|input| {
        let begins = |text: &str| text.chars().all(|c| c.is_ascii_digit() || matches!(c, '-' | '−' | '.' | ',' | '='));
        let mut text = String::new();
        // Where a frame takes long, more of the number comes with its beginning: a stroke, a unit.
        input.events.retain(|event| match event {
            Event::Text(more) if !more.is_empty() && (begins(more) || !text.is_empty()) => {
                text.push_str(more);
                false
            }
            _ => true,
        });
        if text.is_empty() {
            // Where the key comes a frame before its text, it must open no line meanwhile.
            input.events.retain(|event| !is_of_digit(event));
            return None;
        }
        // The same keys mean other things elsewhere: they are used up.
        input.events.retain(|event| !is_of_text(event));
        Some(text)
    })
}

/// Whether `event` is about a key that writes something.
fn is_of_text(event: &Event) -> bool {
    let Event::Key { key, modifiers, .. } = event else { return false };
    let writes = *key == Key::Space || key.symbol_or_name().chars().count() == 1;
    writes && (modifiers.is_none() || modifiers.shift_only()) && !is_arrow(*key)
}

/// Whether `event` is about a key of a digit, pressed by itself.
fn is_of_digit(event: &Event) -> bool {
    let Event::Key { key, modifiers, .. } = event else { return false };
    modifiers.is_none() && key.name().len() == 1 && key.name().chars().all(|c| c.is_ascii_digit())
}

/// Arrows have a symbol of one letter too.
fn is_arrow(key: Key) -> bool {
    matches!(key, Key::ArrowUp | Key::ArrowDown | Key::ArrowLeft | Key::ArrowRight)
}

impl App {
    /// Opens the entry where a number is begun. A drag that goes on is given up for it.
    pub(super) fn begin_typing(&mut self, ctx: &egui::Context) {
        if self.chooser.is_asking() {
            return;
        }
        let (Some(cut), Some((handle, at, seat))) = (self.state.cut_in_hand(), self.bench.handle_in_hand()) else {
            return;
        };
        if let Some((_, handle)) = self.state.typing_wanted.take().filter(|(wanted, _)| *wanted == cut) {
            self.state.typing = Some(Typing { cut, handle, text: String::new(), wrong: None, at, seat });
        } else if let Some(text) = begun(ctx, &self.state) {
            self.bench.give_up_drag();
            self.state.preview = None;
            self.state.typing = Some(Typing { cut, handle, text, wrong: None, at, seat });
            self.preview_typed();
        }
    }

    pub(super) fn apply_typing(&mut self, action: TypingAction) {
        if let TypingAction::Begin(cut, handle) = action {
            if self.state.cut_in_hand() != Some(cut) {
                self.take_in_hand(Some(cut));
                // Those of another cut are still shown.
                self.bench.forget_handles();
            }
            self.state.typing_wanted = Some((cut, handle));
        }
        let Some(typing) = &mut self.state.typing else { return };
        match action {
            TypingAction::Begin(..) => {}
            TypingAction::Changed(text) => {
                typing.text = text;
                typing.wrong = None;
                self.preview_typed();
            }
            TypingAction::For(handle) => {
                typing.handle = handle;
                typing.wrong = None;
                self.preview_typed();
            }
            TypingAction::Entered => self.enter_typed(),
            TypingAction::Left => {
                self.state.typing = None;
                self.state.preview = None;
            }
        }
    }

    /// The entry goes with the cut that it is for.
    pub(super) fn update_typing(&mut self) {
        let of = self.state.typing.as_ref().map(|typing| typing.cut);
        if of.is_some() && of != self.state.cut_in_hand() {
            self.state.typing = None;
        }
    }

    fn enter_typed(&mut self) {
        let (Some(typing), Some(cut)) = (self.state.typing.clone(), self.state.held_cut()) else { return };
        match typing.plane(&cut.plane) {
            Ok(plane) => {
                self.state.typing = None;
                self.state.preview = None;
                self.apply_edit(Edit::SetCutPlane { cut: typing.cut, plane });
            }
            Err(why) => self.state.typing = Some(Typing { wrong: Some(why), ..typing }),
        }
    }

    /// Shows the cut where the number would lay it, while it is one.
    fn preview_typed(&mut self) {
        let (Some(typing), Some(cut)) = (&self.state.typing, self.state.held_cut()) else { return };
        let plane = typing.plane(&cut.plane).ok();
        let action = Action::Preview { cut: typing.cut, plane };
        self.queue.push(action);
    }
}

/// Asks for something about the entry.
pub fn ask(queue: &mut Queue, action: TypingAction) {
    queue.push(Action::Typing(action));
}
