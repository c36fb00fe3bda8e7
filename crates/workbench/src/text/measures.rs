//! Measures taken on the model.

pub const MEASURE: &str = "Measure";
pub const DISTANCE: &str = "distance";
pub const ANGLE: &str = "angle";
pub const THICKNESS: &str = "thickness";
pub const GIRTH: &str = "girth";
pub const ARE_SHOWN: &str = "measures are shown on the model";
pub const FORGET_HINT: &str = "Take this measure away; undo brings it back";
pub const FIRST_POINT: &str = "Click the first of two points.";
pub const SECOND_POINT: &str = "One point picked; one more.";
pub const FIRST_FACE: &str = "Click the first of two faces.";
pub const SECOND_FACE: &str = "One face picked; one more.";
pub const WHERE_THICK: &str = "Click where the material is to be measured, square to the surface.";
pub const WHERE_ROUND: &str = "Click where the tape is to pass; it goes round the longest way of the part.";

/// The name of the button for one kind.
pub fn measure(kind: &str) -> String {
    format!("measure {kind}")
}

/// `distance 120.5 mm`.
pub fn measured(kind: &str, value: &str) -> String {
    format!("{kind} {value}")
}
