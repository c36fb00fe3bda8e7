//! The line at the top.

pub const REDO: &str = "redo";
pub const UNDO: &str = "undo";
pub const SAVE: &str = "save";
pub const NOT_SAVED: &str = "not saved";
pub const COSTUME: &str = "costume";
pub const PART: &str = "part";
pub const NAME_A_COSTUME: &str = "name a costume";
pub const NAME_A_COSTUME_HINT: &str = "Say which costume this part belongs to";

/// The longest that is told of when it was saved.
pub const LONGEST_SAVED: &str = "saved 59 min ago";

/// A name in full, and what it is of, when the pointer rests on it.
pub fn name_hint(of: &str, name: &str) -> String {
    if name.is_empty() { format!("Name of the {of}") } else { format!("{name}\nName of the {of}") }
}

/// The same for screen readers.
pub fn name_of(of: &str) -> String {
    format!("name of the {of}")
}

/// `saved 4 min ago`.
pub fn saved(ago: &str) -> String {
    format!("saved {ago}")
}

/// What undo takes back.
pub fn undo(title: &str) -> String {
    format!("undo \"{title}\"")
}

/// The same where there is less room.
pub fn undo_short(start: &str) -> String {
    format!("undo \"{start}…\"")
}

/// The title of the window.
pub fn window(unsaved: bool, name: &str) -> String {
    let star = if unsaved { "• " } else { "" };
    format!("{star}{name} – Seamwright")
}
