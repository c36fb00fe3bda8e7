//! Why a piece fits or not, for whoever never asked for a face to stand on.

use seamwright_geometry::Reason;

/// A reason in the words for pieces of a project: the faces that are tried first are its caps, and nobody asked for one.
pub fn reason_words(reason: &Reason) -> String {
    match reason {
        Reason::StandsOnGiven { .. } => "fits standing on one of its caps".to_owned(),
        other => other.to_string(),
    }
}
