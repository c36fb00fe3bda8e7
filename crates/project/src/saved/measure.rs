//! Measures as the project file has them.

use std::collections::BTreeSet;

use serde::{Deserialize, Serialize};

use super::{FormatError, wrong};
use crate::measure::{Measure, MeasureId, Measured};
use crate::recipe::PartId;

#[derive(Serialize, Deserialize)]
pub(super) struct SavedMeasure {
    id: u32,
    #[serde(default, skip_serializing_if = "is_main")]
    part: u32,
    #[serde(flatten)]
    what: SavedMeasured,
}

#[derive(Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
enum SavedMeasured {
    Distance { from_mm: [f64; 3], to_mm: [f64; 3] },
    Angle { at_mm: [[f64; 3]; 2], normals: [[f64; 3]; 2] },
    Thickness { from_mm: [f64; 3], to_mm: [f64; 3] },
    Girth { at_mm: [f64; 3], normal: [f64; 3], along_mm: f64, taut_mm: f64 },
}

fn is_main(part: &u32) -> bool {
    *part == PartId::MAIN.0
}

pub(super) fn save_measure(measure: &Measure) -> SavedMeasure {
    let what = match measure.what.clone() {
        Measured::Distance { from_mm, to_mm } => SavedMeasured::Distance { from_mm, to_mm },
        Measured::Angle { at_mm, normals } => SavedMeasured::Angle { at_mm, normals },
        Measured::Thickness { from_mm, to_mm } => SavedMeasured::Thickness { from_mm, to_mm },
        Measured::Girth { at_mm, normal, along_mm, taut_mm } => {
            SavedMeasured::Girth { at_mm, normal, along_mm, taut_mm }
        }
    };
    SavedMeasure { id: measure.id.0, part: measure.part.0, what }
}

/// Every measure is one, has an identity of its own, and is of a part that is `known`.
pub(super) fn load_measures(
    saved: Vec<SavedMeasure>,
    known: impl Fn(PartId) -> bool,
) -> Result<Vec<Measure>, FormatError> {
    let mut ids = BTreeSet::new();
    let load = |(i, saved): (usize, SavedMeasure)| {
        let place = |field: &str| format!("measures[{i}].{field}");
        let what = match saved.what {
            SavedMeasured::Distance { from_mm, to_mm } => Measured::Distance { from_mm, to_mm },
            SavedMeasured::Angle { at_mm, normals } => Measured::Angle { at_mm, normals },
            SavedMeasured::Thickness { from_mm, to_mm } => Measured::Thickness { from_mm, to_mm },
            SavedMeasured::Girth { at_mm, normal, along_mm, taut_mm } => {
                Measured::Girth { at_mm, normal, along_mm, taut_mm }
            }
        };
        if !ids.insert(saved.id) {
            return Err(wrong(place("id"), format!("{} is the identity of another measure", saved.id)));
        }
        if !known(PartId(saved.part)) {
            return Err(wrong(place("part"), format!("part {} is not there", saved.part)));
        }
        what.check_kept().map_err(|trouble| wrong(format!("measures[{i}].{}", what.kind()), trouble))?;
        Ok(Measure { id: MeasureId(saved.id), part: PartId(saved.part), what })
    };
    saved.into_iter().enumerate().map(load).collect()
}
