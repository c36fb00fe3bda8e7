//! Bores as the project file has them.

use serde::{Deserialize, Serialize};

use super::{FormatError, load_axis, wrong};
use crate::bore::{AtSeam, Bore, BoreEnd, BoreId, BoreShape, Fitting, Placed, RodChoice, Stop};
use crate::recipe::{CutId, PartId};
use crate::rods::{Clearance, ClearanceClass};

#[derive(Serialize, Deserialize)]
pub(super) struct SavedBore {
    id: u32,
    name: String,
    /// Left out for the main part.
    #[serde(default, skip_serializing_if = "is_main")]
    part: u32,
    line_mm: Vec<[f64; 3]>,
    /// Left out where the points were typed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    placed: Option<String>,
    #[serde(flatten)]
    rod: SavedRod,
    clearance: SavedClearance,
    printer_mm: f64,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    shape: Option<String>,
    #[serde(default = "upwards")]
    up: [f64; 3],
    /// Left out by older files, and where the roof is turned to `up`.
    #[serde(default, skip_serializing_if = "is_not")]
    up_as_laid: bool,
    /// The cut that magnets hold together.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    magnets_at_cut: Option<u32>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    magnet_thickness_mm: Option<f64>,
    #[serde(default)]
    first_end: SavedEnd,
    #[serde(default)]
    last_end: SavedEnd,
    least_wall_mm: f64,
    glue_mm: f64,
    #[serde(default, skip_serializing_if = "is_not")]
    may_cross: bool,
    #[serde(default = "yes")]
    enabled: bool,
}

#[derive(Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
enum SavedRod {
    Rod(String),
    DiameterMm(f64),
    MagnetMm(f64),
}

#[derive(Serialize, Deserialize)]
#[serde(untagged)]
enum SavedClearance {
    Mm(f64),
    Class(String),
}

#[derive(Default, Serialize, Deserialize)]
struct SavedEnd {
    #[serde(default)]
    stop: SavedStop,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    below_mm: Option<f64>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    countersink_mm: Option<f64>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    nut_below_mm: Option<f64>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    washer_below_mm: Option<f64>,
}

#[derive(Clone, Copy, Default, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
enum SavedStop {
    #[default]
    Open,
    Point,
    Blind,
}

fn is_main(part: &u32) -> bool {
    *part == PartId::MAIN.0
}

fn is_not(x: &bool) -> bool {
    !x
}

fn yes() -> bool {
    true
}

fn upwards() -> [f64; 3] {
    [0.0, 0.0, 1.0]
}

pub(super) fn save_bore(bore: &Bore) -> SavedBore {
    SavedBore {
        id: bore.id.0,
        name: bore.name.clone(),
        part: bore.part.0,
        line_mm: bore.line_mm.clone(),
        placed: match bore.placed {
            Placed::Typed => None,
            Placed::Axis(axis) => Some(axis.name().into()),
            Placed::Picked => Some("picked".into()),
            Placed::Middle => Some("middle".into()),
            Placed::Centred => Some("centred".into()),
        },
        rod: match &bore.rod {
            RodChoice::Listed(name) => SavedRod::Rod(name.clone()),
            RodChoice::Typed(mm) => SavedRod::DiameterMm(*mm),
            RodChoice::Magnets(mm) => SavedRod::MagnetMm(*mm),
        },
        clearance: match bore.clearance {
            Clearance::Class(class) => SavedClearance::Class(class.name().into()),
            Clearance::Typed(mm) => SavedClearance::Mm(mm),
        },
        printer_mm: bore.printer_mm,
        shape: (bore.shape != BoreShape::Round).then(|| bore.shape.name().into()),
        up: bore.up,
        up_as_laid: bore.up_as_laid,
        magnets_at_cut: bore.seam.map(|seam| seam.cut.0),
        magnet_thickness_mm: bore.seam.map(|seam| seam.thickness_mm),
        first_end: save_end(&bore.ends[0]),
        last_end: save_end(&bore.ends[1]),
        least_wall_mm: bore.least_wall_mm,
        glue_mm: bore.glue_mm,
        may_cross: bore.may_cross,
        enabled: bore.enabled,
    }
}

fn save_end(end: &BoreEnd) -> SavedEnd {
    let (stop, below_mm) = match end.stop {
        Stop::Open => (SavedStop::Open, None),
        Stop::At => (SavedStop::Point, None),
        Stop::Blind(mm) => (SavedStop::Blind, Some(mm)),
    };
    let (countersink_mm, nut_below_mm, washer_below_mm) = match end.fitting {
        Fitting::None => (None, None, None),
        Fitting::Countersink(mm) => (Some(mm), None, None),
        Fitting::NutPocket(mm) => (None, Some(mm), None),
        Fitting::WasherPocket(mm) => (None, None, Some(mm)),
    };
    SavedEnd { stop, below_mm, countersink_mm, nut_below_mm, washer_below_mm }
}

pub(super) fn load_bore((index, saved): (usize, SavedBore)) -> Result<Bore, FormatError> {
    let place = |field: &str| format!("bores[{index}].{field}");
    let placed = match saved.placed.as_deref() {
        None => Placed::Typed,
        Some("picked") => Placed::Picked,
        Some("middle") => Placed::Middle,
        Some("centred") => Placed::Centred,
        Some(axis) => Placed::Axis(load_axis(&place("placed"), axis)?),
    };
    let rod = match saved.rod {
        SavedRod::Rod(name) => RodChoice::Listed(name),
        SavedRod::DiameterMm(mm) => RodChoice::Typed(mm),
        SavedRod::MagnetMm(mm) => RodChoice::Magnets(mm),
    };
    let clearance = match saved.clearance {
        SavedClearance::Mm(mm) => Clearance::Typed(mm),
        SavedClearance::Class(name) => {
            let class = ClearanceClass::ALL.into_iter().find(|class| class.name() == name);
            Clearance::Class(class.ok_or_else(|| {
                wrong(place("clearance"), format!("\"{name}\" is not fine, medium, coarse or a number of mm"))
            })?)
        }
    };
    let shape = match &saved.shape {
        None => BoreShape::Round,
        Some(name) => BoreShape::ALL
            .into_iter()
            .find(|shape| shape.name() == name)
            .ok_or_else(|| wrong(place("shape"), format!("\"{name}\" is no shape of a bore")))?,
    };
    let seam = match (saved.magnets_at_cut, saved.magnet_thickness_mm) {
        (None, None) => None,
        (Some(cut), Some(thickness_mm)) => Some(AtSeam { cut: CutId(cut), thickness_mm }),
        _ => return Err(wrong(place("magnets_at_cut"), "magnets at a cut have a thickness, and only they")),
    };
    let bore = Bore {
        id: BoreId(saved.id),
        name: saved.name,
        part: PartId(saved.part),
        line_mm: saved.line_mm,
        placed,
        rod,
        clearance,
        printer_mm: saved.printer_mm,
        shape,
        up: saved.up,
        up_as_laid: saved.up_as_laid,
        seam,
        ends: [load_end(&place("first_end"), &saved.first_end)?, load_end(&place("last_end"), &saved.last_end)?],
        least_wall_mm: saved.least_wall_mm,
        glue_mm: saved.glue_mm,
        may_cross: saved.may_cross,
        enabled: saved.enabled,
    };
    bore.check().map_err(|error| wrong(format!("bores[{index}]"), error))?;
    Ok(bore)
}

fn load_end(place: &str, saved: &SavedEnd) -> Result<BoreEnd, FormatError> {
    let stop = match (saved.stop, saved.below_mm) {
        (SavedStop::Open, None) => Stop::Open,
        (SavedStop::Point, None) => Stop::At,
        (SavedStop::Blind, Some(mm)) => Stop::Blind(mm),
        _ => return Err(wrong(place, "below_mm goes with a blind end, and only with that")),
    };
    let fitting = match (saved.countersink_mm, saved.nut_below_mm, saved.washer_below_mm) {
        (None, None, None) => Fitting::None,
        (Some(mm), None, None) => Fitting::Countersink(mm),
        (None, Some(mm), None) => Fitting::NutPocket(mm),
        (None, None, Some(mm)) => Fitting::WasherPocket(mm),
        _ => return Err(wrong(place, "an end has a countersink or a pocket, and only one of them")),
    };
    Ok(BoreEnd { stop, fitting })
}
