//! Where a number is typed.
//!
//! It can also be changed by the arrow keys and by dragging its name sideways. While it changes it is a
//! *preview*; Enter, leaving the field, or letting go makes it an edit. What can't be read stays, with the reason
//! beneath, until it is mended or Escape is pressed.

use egui::{Id, Key, Label, Modifiers, Response, RichText, Sense, Ui};

use crate::app::quantity;
use crate::app::style::Paper;
use crate::app::typed_over::{enter, typed_over};
use crate::app::words;
use crate::text;

/// A number that can be typed.
pub struct Entry<'a> {
    name: &'a str,
    value: f64,
    shown: f64,
    kind: Kind,
    step: f64,
    width: f32,
    hint: &'a str,
    enters: bool,
    above_zero: bool,
    means: &'a str,
    check: Option<&'a dyn Fn(f64) -> Result<(), String>>,
}

/// What was done with an entry in this frame.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Typed {
    /// Nothing.
    Nothing,
    /// It is being changed, and would be this.
    Preview(f64),
    /// It is this now.
    Done(f64),
    /// It was left as it was.
    Left,
}

#[derive(Clone, Copy, PartialEq)]
enum Kind {
    Length,
    Angle,
    Plain,
}

impl<'a> Entry<'a> {
    /// A length in mm.
    pub fn length(name: &'a str, value_mm: f64) -> Entry<'a> {
        Entry::new(name, value_mm, Kind::Length, text::entry::LENGTH_HINT)
    }

    /// An angle in degrees.
    pub fn angle(name: &'a str, value_deg: f64) -> Entry<'a> {
        Entry { width: 72.0, ..Entry::new(name, value_deg, Kind::Angle, text::entry::ANGLE_HINT) }
    }

    /// A plain number.
    pub fn plain(name: &'a str, value: f64) -> Entry<'a> {
        Entry { step: 0.01, ..Entry::new(name, value, Kind::Plain, text::entry::NUMBER_HINT) }
    }

    fn new(name: &'a str, value: f64, kind: Kind, hint: &'a str) -> Entry<'a> {
        Entry {
            name,
            value,
            shown: value,
            kind,
            step: 1.0,
            width: 96.0,
            hint,
            enters: false,
            above_zero: false,
            means: "",
            check: None,
        }
    }

    /// Shows `value` while nothing is typed: where a drag on the bench has come.
    pub fn shown(self, value: f64) -> Entry<'a> {
        Entry { shown: value, ..self }
    }

    /// What one press of an arrow key changes.
    pub fn step(self, step: f64) -> Entry<'a> {
        Entry { step, ..self }
    }

    /// Is entered by itself, so that what is typed next goes into it.
    pub fn entered(self, enters: bool) -> Entry<'a> {
        Entry { enters, ..self }
    }

    /// Is of something that nothing and less than nothing of is no answer: said beside the field, in its own words.
    pub fn above_zero(self) -> Entry<'a> {
        Entry { above_zero: true, ..self }
    }

    /// Says of what can be read why it will not do, beside the field and in words with the way out: what is refused stays
    /// there until it is mended.
    pub fn checked(self, check: &'a dyn Fn(f64) -> Result<(), String>) -> Entry<'a> {
        Entry { check: Some(check), ..self }
    }

    /// Says what its name means, when the pointer rests on that.
    pub fn meaning(self, means: &'a str) -> Entry<'a> {
        Entry { means, ..self }
    }

    /// Says what it is, when the pointer rests on it.
    pub fn hint(self, hint: &'a str) -> Entry<'a> {
        Entry { hint, ..self }
    }

    /// Shows name and field in two cells of a grid, or side by side.
    pub fn show(self, ui: &mut Ui) -> Typed {
        let id = ui.make_persistent_id(("entry", self.name));
        // Dragged, but never entered by Tab: that goes from field to field.
        let label =
            ui.add(Label::new(self.name).sense(Sense::DRAG)).on_hover_cursor(egui::CursorIcon::ResizeHorizontal);
        let label = if self.means.is_empty() { label } else { label.on_hover_text(self.means) };
        let dragged = self.drag(ui, id, &label);
        let typed = ui.vertical(|ui| self.field(ui, id, &label)).inner;
        if dragged == Typed::Nothing { typed } else { dragged }
    }

    fn field(&self, ui: &mut Ui, id: Id, label: &Response) -> Typed {
        let kept = ui.data(|d| d.get_temp::<Draft>(id)).filter(|draft| draft.of == self.value);
        // What is dragged on the bench meanwhile is shown, not what could not be read before.
        let kept = kept.filter(|_| self.shown == self.value || ui.memory(|m| m.has_focus(id)));
        let wrong = kept.as_ref().and_then(|draft| self.parse(&draft.text).err());
        let paper = Paper::of(ui.visuals());
        let focused = ui.memory(|m| m.has_focus(id));
        let (read, exact) = (self.text(self.shown), self.exact(self.shown));
        // What is read is rounded; what is typed over is not.
        let mut text = match &kept {
            Some(draft) => draft.text.clone(),
            None if focused => exact.clone(),
            None => read.clone(),
        };
        let response = typed_over(ui, &mut text, |field| {
            let field = field.id(id).desired_width(self.width);
            if wrong.is_some() && !focused {
                field.text_color(paper.warning).background_color(paper.warning_wash)
            } else {
                field
            }
        });
        if self.enters || (response.gained_focus() && kept.is_none()) {
            // More may be typed over than was shown.
            enter(ui, &response, if kept.is_none() { &exact } else { &text });
        }
        let response = response.labelled_by(label.id);
        let response = if read == exact {
            response.on_hover_text(self.hint)
        } else {
            response.on_hover_text(text::entry::exactly(&exact, self.hint))
        };
        let typed = self.react(ui, id, &response, text);
        if let (Some(error), false) = (wrong, response.has_focus()) {
            ui.add(Label::new(RichText::new(error).small().color(paper.warning)).wrap());
        }
        typed
    }

    fn react(&self, ui: &Ui, id: Id, response: &Response, text: String) -> Typed {
        let keep = |text: String| ui.data_mut(|d| d.insert_temp(id, Draft { text, of: self.value }));
        let forget = || ui.data_mut(|d| d.remove_temp::<Draft>(id));
        if response.lost_focus() {
            // Consumed: it is said to the field, not to the bench.
            let escaped = ui.input_mut(|i| i.consume_key(Modifiers::NONE, Key::Escape));
            let kept = ui.data(|d| d.get_temp::<Draft>(id)).map(|draft| draft.text);
            // What is shown is rounded; leaving the field untouched must not round the number.
            let draft = kept.or_else(|| response.changed().then_some(text));
            let Some(draft) = draft.filter(|draft| !escaped && *draft != self.exact(self.value)) else {
                forget();
                return Typed::Left;
            };
            return match self.parse(&draft) {
                Ok(value) => {
                    forget();
                    Typed::Done(value)
                }
                Err(_) => {
                    keep(draft);
                    Typed::Left
                }
            };
        }
        if response.changed() {
            let preview = self.parse(&text).map_or(Typed::Nothing, Typed::Preview);
            keep(text);
            return preview;
        }
        if response.has_focus() {
            let steps = ui.input(|i| i.num_presses(Key::ArrowUp) as f64 - i.num_presses(Key::ArrowDown) as f64);
            if steps != 0.0 {
                let fine = if ui.input(|i| i.modifiers.shift) { 0.1 } else { 1.0 };
                let now = self.parse(&text).unwrap_or(self.value) + steps * fine * self.step;
                let is_refused = (self.above_zero && now <= 0.0) || self.check.is_some_and(|check| check(now).is_err());
                let now = if is_refused { self.value } else { now };
                keep(self.exact(now));
                return Typed::Preview(now);
            }
        }
        Typed::Nothing
    }

    fn drag(&self, ui: &Ui, id: Id, label: &Response) -> Typed {
        let id = id.with("drag");
        if label.drag_started() {
            ui.data_mut(|d| d.insert_temp(id, self.value));
        }
        let Some(start) = ui.data(|d| d.get_temp::<f64>(id)) else { return Typed::Nothing };
        let moved = f64::from(label.total_drag_delta().unwrap_or_default().x);
        let fine = if ui.input(|i| i.modifiers.shift) { 0.1 } else { 1.0 };
        let value = start + (moved * DRAG_STEPS_PER_POINT).round() * self.step * fine;
        if label.drag_stopped() {
            ui.data_mut(|d| d.remove_temp::<f64>(id));
            let value = ui.data_mut(|d| d.remove_temp::<f64>(id.with("last"))).unwrap_or(start);
            return if value == start { Typed::Left } else { Typed::Done(value) };
        }
        // A drag stops short of what would be refused.
        let is_refused = self.check.is_some_and(|check| check(value).is_err());
        if label.dragged() && !is_refused {
            ui.data_mut(|d| d.insert_temp(id.with("last"), value));
            return Typed::Preview(value);
        }
        Typed::Nothing
    }

    /// What was typed; or what is wrong with it, in words.
    fn parse(&self, text: &str) -> Result<f64, String> {
        let value = match self.kind {
            Kind::Length => quantity::length_mm(text),
            Kind::Angle => quantity::angle_deg(text),
            Kind::Plain => quantity::number(text),
        };
        let value = value.map_err(|error| error.to_string())?;
        if self.above_zero && value <= 0.0 {
            return Err(text::entry::above_zero(self.name));
        }
        self.check.map_or(Ok(()), |check| check(value))?;
        Ok(value)
    }

    /// As it is read.
    fn text(&self, value: f64) -> String {
        self.with_unit(&match self.kind {
            Kind::Length => words::length(value),
            Kind::Angle => words::entry(words::hundredths(value)),
            Kind::Plain => words::factor(value),
        })
    }

    /// As it is typed.
    fn exact(&self, value: f64) -> String {
        self.with_unit(&words::entry(value))
    }

    fn with_unit(&self, number: &str) -> String {
        match self.kind {
            Kind::Length => text::entry::length(number),
            Kind::Angle => text::entry::angle(number),
            Kind::Plain => number.to_owned(),
        }
    }
}

/// Half a step for each point that a name is dragged: fine enough to hit a number, quick enough to cross a bed.
const DRAG_STEPS_PER_POINT: f64 = 0.5;

/// What is being typed, and the value that it will replace: it is dropped when that changes otherwise.
#[derive(Clone, Default, PartialEq)]
struct Draft {
    text: String,
    of: f64,
}
