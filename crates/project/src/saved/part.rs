//! Size and loose parts as the project file has them.

use std::collections::BTreeSet;

use serde::{Deserialize, Serialize};

use super::{FormatError, load_axis, wrong};
use crate::recipe::{LoosePart, PartId, SizedBy};

/// How the factor was arrived at; `as_made` and `factor` are told by the factor itself.
#[derive(Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub(super) enum SavedSizedBy {
    Dimension { axis: String, mm: f64 },
    Distance { mm: f64 },
    Wearer { measure: String, wearer_mm: f64, gap_mm: f64 },
}

#[derive(Serialize, Deserialize)]
pub(super) struct SavedLoose {
    id: u32,
    name: String,
    shells: BTreeSet<u32>,
}

pub(super) fn save_sized_by(by: &SizedBy) -> Option<SavedSizedBy> {
    match by.clone() {
        SizedBy::AsMade | SizedBy::Factor => None,
        SizedBy::Dimension { axis, mm } => Some(SavedSizedBy::Dimension { axis: axis.name().into(), mm }),
        SizedBy::Distance { mm } => Some(SavedSizedBy::Distance { mm }),
        SizedBy::Wearer { measure, wearer_mm, gap_mm } => Some(SavedSizedBy::Wearer { measure, wearer_mm, gap_mm }),
    }
}

pub(super) fn load_sized_by(by: Option<SavedSizedBy>, factor: f64) -> Result<SizedBy, FormatError> {
    Ok(match by {
        None if factor == 1.0 => SizedBy::AsMade,
        None => SizedBy::Factor,
        Some(SavedSizedBy::Dimension { axis, mm }) => SizedBy::Dimension { axis: load_axis("sized_by", &axis)?, mm },
        Some(SavedSizedBy::Distance { mm }) => SizedBy::Distance { mm },
        Some(SavedSizedBy::Wearer { measure, wearer_mm, gap_mm }) => SizedBy::Wearer { measure, wearer_mm, gap_mm },
    })
}

pub(super) fn save_loose(part: &LoosePart) -> SavedLoose {
    SavedLoose { id: part.id.0, name: part.name.clone(), shells: part.shells.clone() }
}

/// Every shell belongs to one part.
pub(super) fn load_loose(saved: Vec<SavedLoose>, dropped: &BTreeSet<u32>) -> Result<Vec<LoosePart>, FormatError> {
    let (mut ids, mut shells) = (BTreeSet::from([PartId::MAIN.0]), dropped.clone());
    let load = |(i, part): (usize, SavedLoose)| {
        let place = |field: &str| format!("loose_parts[{i}].{field}");
        if !ids.insert(part.id) {
            return Err(wrong(place("id"), format!("{} is the identity of another part", part.id)));
        }
        if part.shells.is_empty() {
            return Err(wrong(place("shells"), "a part needs at least one"));
        }
        if let Some(twice) = part.shells.iter().find(|shell| !shells.insert(**shell)) {
            return Err(wrong(place("shells"), format!("shell {twice} is dropped or belongs to another part")));
        }
        Ok(LoosePart { id: PartId(part.id), name: part.name, shells: part.shells })
    };
    saved.into_iter().enumerate().map(load).collect()
}
