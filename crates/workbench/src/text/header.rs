//! The line at the top.

pub const REDO: &str = "redo";
pub const UNDO: &str = "undo";
pub const SAVE: &str = "save";
pub const NOT_SAVED: &str = "not saved";
pub const COSTUME: &str = "costume";
pub const PART: &str = "part";
pub const NAME_A_COSTUME: &str = "name a costume";
pub const NAME_A_COSTUME_HINT: &str = "Say which costume this part belongs to";

/// What a name is of, when the pointer rests on it.
pub fn name_hint(of: &str) -> String {
    format!("Name of the {of}")
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
