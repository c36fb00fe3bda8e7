//! What readers of text share.

/// Longest piece of a file that is repeated in a message, bytes.
const LONGEST_QUOTE: usize = 40;

/// A piece of a file as it can stand in a message.
pub(super) fn quote(found: &[u8]) -> String {
    let quote = String::from_utf8_lossy(&found[..found.len().min(LONGEST_QUOTE)]);
    format!("\"{}\"", quote.escape_debug())
}

/// The complaint that one thing was expected and another found.
pub(super) fn unexpected(expected: &str, found: &[u8]) -> String {
    format!("expected {expected}, found {}; export the model again", quote(found))
}
