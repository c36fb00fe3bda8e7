//! Measures as they are given to machines.

use std::fmt;

use seamwright_geometry::{Bounds, Point};
use seamwright_project::{Measure, Measured};
use serde::Serialize;

use super::words;

/// An upright box, mm.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Box3 {
    /// Lowest corner.
    pub min: [f64; 3],
    /// Highest corner.
    pub max: [f64; 3],
}

impl From<Bounds> for Box3 {
    fn from(bounds: Bounds) -> Box3 {
        Box3 { min: place(&bounds.min), max: place(&bounds.max) }
    }
}

impl Box3 {
    /// Edge lengths, mm.
    pub fn size(&self) -> [f64; 3] {
        std::array::from_fn(|i| self.max[i] - self.min[i])
    }
}

/// A place as three numbers. Adding zero turns −0 into 0, which nobody types.
pub fn place(p: &Point) -> [f64; 3] {
    [p.x + 0.0, p.y + 0.0, p.z + 0.0]
}

/// Something that was measured on a project's model.
#[derive(Debug, Serialize)]
pub struct ToldMeasure {
    kind: &'static str,
    length_mm: Option<f64>,
    angle_deg: Option<f64>,
    taut_mm: Option<f64>,
    places_mm: Vec<[f64; 3]>,
    #[serde(skip)]
    words: String,
}

impl ToldMeasure {
    /// As the project has it.
    pub fn new(measure: &Measure) -> ToldMeasure {
        let what = &measure.what;
        let is_angle = matches!(what, Measured::Angle { .. });
        let places_mm: Vec<[f64; 3]> = what.places().iter().map(place).collect();
        let more = what.details().replace('−', "-");
        let more = if more.is_empty() { more } else { format!(", {more}") };
        let at: Vec<String> = places_mm.iter().map(words::place).collect();
        ToldMeasure {
            kind: what.kind(),
            length_mm: (!is_angle).then(|| what.value()),
            angle_deg: is_angle.then(|| what.value()),
            taut_mm: match what {
                Measured::Girth { taut_mm, .. } => Some(*taut_mm),
                _ => None,
            },
            words: format!("{} {}{more}, at {}", what.kind(), what.value_words(), at.join(" and ")),
            places_mm,
        }
    }
}

impl fmt::Display for ToldMeasure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.words)
    }
}
