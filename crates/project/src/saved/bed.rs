//! Beds in the project file.

use seamwright_geometry::{Bed, BedError, KeepOut, Outline};
use serde::{Deserialize, Serialize};

use super::{FormatError, wrong};
use crate::recipe::NamedBed;

/// A rectangle has `x_mm` and `y_mm`, a circle `diameter_mm`, a polygon `corners_mm`.
#[derive(Serialize, Deserialize)]
pub(crate) struct SavedBed {
    #[serde(default, skip_serializing_if = "String::is_empty")]
    name: String,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    x_mm: Option<f64>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    y_mm: Option<f64>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    diameter_mm: Option<f64>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    corners_mm: Option<Vec<[f64; 2]>>,
    height_mm: f64,
    margin_mm: f64,
    #[serde(default)]
    around_mm: f64,
    #[serde(default)]
    raft_mm: f64,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    keep_outs: Vec<SavedKeepOut>,
}

#[derive(Serialize, Deserialize)]
struct SavedKeepOut {
    corners_mm: Vec<[f64; 2]>,
    #[serde(default)]
    from_mm: f64,
}

pub(crate) fn save_bed(name: &str, bed: &Bed) -> SavedBed {
    let keep_outs = bed.keep_outs.iter();
    let mut saved = SavedBed {
        name: name.to_owned(),
        x_mm: None,
        y_mm: None,
        diameter_mm: None,
        corners_mm: None,
        height_mm: bed.height_mm,
        margin_mm: bed.margin_mm,
        around_mm: bed.around_mm,
        raft_mm: bed.raft_mm,
        keep_outs: keep_outs
            .map(|zone| SavedKeepOut { corners_mm: zone.corners_mm.clone(), from_mm: zone.from_mm })
            .collect(),
    };
    match &bed.outline {
        Outline::Rectangle { x_mm, y_mm } => (saved.x_mm, saved.y_mm) = (Some(*x_mm), Some(*y_mm)),
        Outline::Circle { diameter_mm } => saved.diameter_mm = Some(*diameter_mm),
        Outline::Polygon { corners_mm } => saved.corners_mm = Some(corners_mm.clone()),
    }
    saved
}

/// `place` is where it stands in the file.
pub(crate) fn load_bed(place: &str, saved: SavedBed) -> Result<NamedBed, FormatError> {
    let outline = match (saved.x_mm, saved.y_mm, saved.diameter_mm, saved.corners_mm) {
        (Some(x_mm), Some(y_mm), None, None) => Outline::Rectangle { x_mm, y_mm },
        (None, None, Some(diameter_mm), None) => Outline::Circle { diameter_mm },
        (None, None, None, Some(corners_mm)) => Outline::Polygon { corners_mm },
        _ => return Err(wrong(place, "a bed has x_mm and y_mm, or diameter_mm, or corners_mm")),
    };
    let keep_outs = saved.keep_outs.into_iter();
    let bed = Bed {
        outline,
        height_mm: saved.height_mm,
        margin_mm: saved.margin_mm,
        around_mm: saved.around_mm,
        raft_mm: saved.raft_mm,
        keep_outs: keep_outs.map(|z| KeepOut { corners_mm: z.corners_mm, from_mm: z.from_mm }).collect(),
    };
    match bed.check() {
        // Earlier versions kept any size. Such a project is opened, and its bed put right there.
        Ok(()) | Err(BedError::TooLarge { .. }) => {}
        Err(error) => return Err(wrong(place, error)),
    }
    Ok(NamedBed { name: saved.name, bed })
}
