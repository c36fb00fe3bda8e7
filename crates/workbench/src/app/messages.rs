//! Messages: what went wrong or was done, until it is read.

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
}

/// More than these at once hide the bench; the oldest gives way.
const MOST_AT_ONCE: usize = 4;

impl Messages {
    /// Says that something went wrong.
    pub fn error(&mut self, text: impl ToString) {
        self.add(true, text.to_string());
    }

    /// Says that something was done.
    pub fn done(&mut self, text: impl ToString) {
        self.add(false, text.to_string());
    }

    /// All of them, oldest first.
    pub fn iter(&self) -> impl Iterator<Item = &Message> {
        self.list.iter()
    }

    /// Takes one away.
    pub fn dismiss(&mut self, id: u64) {
        self.list.retain(|message| message.id != id);
    }

    fn add(&mut self, is_error: bool, text: String) {
        self.list.retain(|message| message.text != text);
        if self.list.len() == MOST_AT_ONCE {
            self.list.remove(0);
        }
        self.list.push(Message { id: self.next, is_error, text });
        self.next += 1;
    }
}
