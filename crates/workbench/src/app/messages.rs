//! Messages: what went wrong or was done. What was done fades after a while; what went wrong stays until it is read, or
//! until another project is shown.

use std::time::{Duration, Instant};

use crate::text;

/// The messages that wait to be read, oldest first.
#[derive(Clone, Debug, Default)]
pub struct Messages {
    list: Vec<Message>,
    next: u64,
}

/// One message.
#[derive(Clone, Debug, PartialEq)]
pub struct Message {
    /// Tells it from others.
    pub id: u64,
    /// Whether something went wrong.
    pub is_error: bool,
    /// What, where, and the way out.
    pub text: String,
    about: About,
    since: Instant,
}

/// What a message is about: a new one of the same kind takes the place of the one before.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum About {
    /// This or that, in the project that is shown.
    Project,
    /// A change that could not be made; the next one that can takes it away.
    Refused,
    /// A kit that was written.
    Kit,
    /// The magnifier.
    Magnifier,
    /// What pieces were before the last change.
    Before,
    /// The program itself, whatever project is shown.
    Program,
}

/// More than these at once hide the bench; the oldest gives way.
const MOST_AT_ONCE: usize = 4;
/// What was done is told for this long: time to look up from the hand and read two lines, with a good deal to spare. Our
/// own choice, no source.
const TOLD_FOR: Duration = Duration::from_secs(12);
/// It grows pale in the last of it, so that it does not vanish under the eye.
const FADES_FOR: Duration = Duration::from_millis(700);

/// How often the time of a message that is being read begins anew.
const HELD_EVERY: Duration = Duration::from_secs(1);

impl Messages {
    /// Says that something went wrong.
    pub fn error(&mut self, text: impl ToString) {
        self.add(true, About::Project, text.to_string());
    }

    /// Says that a change could not be made.
    pub fn refused(&mut self, text: impl ToString) {
        self.changed();
        self.add(true, About::Refused, text.to_string());
    }

    /// A change was made: what was said of one that could not be is read by now.
    pub fn changed(&mut self) {
        self.list.retain(|message| message.about != About::Refused);
    }

    /// Says that something was done.
    pub fn done(&mut self, text: impl ToString) {
        self.add(false, About::Project, text.to_string());
    }

    /// Says that something was done, in place of what was said of the same kind.
    pub fn done_about(&mut self, about: About, text: impl ToString) {
        self.list.retain(|message| message.about != about || message.is_error);
        self.add(false, about, text.to_string());
    }

    /// Says something of the program itself; it stays until it is read.
    pub fn told(&mut self, text: impl ToString) {
        self.add(false, About::Program, text.to_string());
    }

    /// All of them, oldest first.
    pub fn iter(&self) -> impl Iterator<Item = &Message> {
        self.list.iter()
    }

    /// Takes one away.
    pub fn dismiss(&mut self, id: u64) {
        self.list.retain(|message| message.id != id);
    }

    /// One is being read: its time begins anew.
    pub fn hold(&mut self, id: u64) {
        self.list.iter_mut().filter(|message| message.id == id).for_each(|message| message.since = Instant::now());
    }

    /// Another project is shown: what was said of the one before goes with it.
    pub(super) fn leave_project(&mut self) {
        self.list.retain(|message| message.about == About::Program);
    }

    /// Takes away what was told long enough; when to look again.
    pub(super) fn fade(&mut self) -> Option<Duration> {
        self.list.retain(|message| message.left().is_none_or(|left| !left.is_zero()));
        let left = self.list.iter().filter_map(Message::left).min()?;
        // Ever so often while one grows pale.
        Some(left.checked_sub(FADES_FOR).unwrap_or(Duration::from_millis(30)))
    }

    fn add(&mut self, is_error: bool, about: About, text: String) {
        let text = text::files::without_machine_talk(&text);
        self.list.retain(|message| message.text != text);
        if self.list.len() == MOST_AT_ONCE {
            self.list.remove(0);
        }
        self.list.push(Message { id: self.next, is_error, text, about, since: Instant::now() });
        self.next += 1;
    }
}

impl Message {
    /// How long it still stays; `None` until it is taken away.
    fn left(&self) -> Option<Duration> {
        let stays = self.is_error || self.about == About::Program;
        (!stays).then(|| TOLD_FOR.saturating_sub(self.since.elapsed()))
    }

    /// Whether its time runs out, so that holding it means something: not in every frame.
    pub fn runs_out(&self) -> bool {
        self.left().is_some_and(|left| left + HELD_EVERY < TOLD_FOR)
    }

    /// How much of it is to be seen, 0 to 1.
    pub fn strength(&self) -> f32 {
        self.left().map_or(1.0, |left| (left.as_secs_f32() / FADES_FOR.as_secs_f32()).min(1.0))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn texts(messages: &Messages) -> Vec<&str> {
        messages.iter().map(|message| message.text.as_str()).collect()
    }

    /// As if so much time had gone by.
    fn later(messages: &mut Messages, by: Duration) {
        messages.list.iter_mut().for_each(|message| message.since = message.since.checked_sub(by).unwrap());
    }

    #[test]
    fn what_was_done_goes_by_itself_and_what_went_wrong_stays() {
        let mut messages = Messages::default();
        messages.error("no room on the disk");
        messages.done("written");
        messages.told("the program broke down");
        later(&mut messages, TOLD_FOR / 2);
        assert!(messages.fade().is_some() && messages.iter().count() == 3);
        let id = messages.iter().nth(1).unwrap().id;
        messages.hold(id);
        later(&mut messages, TOLD_FOR / 2);
        messages.fade();
        assert_eq!(messages.iter().count(), 3, "it is being read");
        later(&mut messages, TOLD_FOR);
        assert_eq!(messages.fade(), None);
        assert_eq!(texts(&messages), ["no room on the disk", "the program broke down"]);
        messages.leave_project();
        assert_eq!(texts(&messages), ["the program broke down"]);
    }

    #[test]
    fn a_change_that_was_refused_is_told_until_the_next_that_can_be_made() {
        let mut messages = Messages::default();
        messages.error("no room on the disk");
        messages.refused("a model can be scaled by a positive number only");
        messages.refused("a bed needs a width");
        assert_eq!(texts(&messages), ["no room on the disk", "a bed needs a width"]);
        messages.changed();
        assert_eq!(texts(&messages), ["no room on the disk"]);
    }

    #[test]
    fn one_takes_the_place_of_another_of_its_kind() {
        let mut messages = Messages::default();
        messages.done_about(About::Magnifier, "off");
        messages.done_about(About::Kit, "written");
        messages.done_about(About::Magnifier, "on");
        assert_eq!(texts(&messages), ["written", "on"]);
    }
}
