//! The manual's window. Its pages are written in `assets/manual`.

pub const TITLE: &str = "Manual";
pub const HINT: &str = "what are you looking for?";
pub const SEARCH: &str = "search the manual";
pub const TURN_HINT: &str = "Turn to this page";
pub const NOTHING: &str = "Nothing in the manual says that.";
/// The names of the pages, in their order.
pub const PAGES: [&str; 7] = ["The job", "Words", "Commands", "Keys", "Safety", "Weak machines", "Files"];
pub const TERMS_TITLE: &str = "Words of the trade";
pub const KEYS_TITLE: &str = "Every key";
pub const COMMANDS_TITLE: &str = "Every command";
