//! The project file: JSON with types of its own, so that the recipe can change while old files stay readable.

mod bed;
mod bore;
mod cut;
mod measure;
mod mend;
mod part;
mod relief;

use std::collections::BTreeSet;

use serde::{Deserialize, Serialize};

use crate::bore::BoreId;
use crate::cut_plane::Axis;
use crate::measure::MeasureId;
use crate::recipe::{CutId, PartId, Recipe, Size, SourceFile};
use crate::stance::Stance;
pub(crate) use bed::{SavedBed, load_bed, save_bed};
use bore::{SavedBore, load_bore, save_bore};
use cut::{SavedCut, load_cut, save_cut};
use measure::{SavedMeasure, load_measures, save_measure};
use mend::{SavedMend, load_mend, save_mend};
use part::{SavedLoose, SavedSizedBy, load_loose, load_sized_by, save_loose, save_sized_by};
use relief::{SavedRelief, load_reliefs, save_relief};
use seamwright_geometry::exchange::Unit;

/// What the `format` field of every project file says.
const FORMAT: &str = "seamwright-project";
/// The version written here. Older ones stay readable; newer ones are refused.
///
/// 2: cuts have a form and a kerf; several files, loose parts, mends, how the model stands and was sized.
/// 3: bores.
const VERSION: u32 = 3;

/// Why text is not a project.
#[derive(Debug, thiserror::Error)]
pub enum FormatError {
    /// The text is no JSON, or fields are missing or of the wrong kind.
    #[error("it is not a project file, or it was damaged: {0}")]
    Json(#[from] serde_json::Error),
    /// It is some other kind of JSON.
    #[error("its \"format\" field says \"{0}\"; a project says \"{FORMAT}\"")]
    OtherFormat(String),
    /// It was written by a later version of this program.
    #[error(
        "it was saved by a newer version of this program (format {found}; this one reads up to {VERSION}). \
         Open it there, or install the newer version here"
    )]
    Newer {
        /// The version found.
        found: u64,
    },
    /// A value makes no sense.
    #[error("{place}: {problem}")]
    Value {
        /// Which field.
        place: String,
        /// What is wrong with it.
        problem: String,
    },
}

/// The text of a project file.
pub fn to_json(recipe: &Recipe) -> String {
    let saved = Saved {
        format: FORMAT.into(),
        version: VERSION,
        name: recipe.name.clone(),
        costume: recipe.costume.clone(),
        stock: recipe.stock.as_ref().map(save_source),
        beside: recipe.beside.iter().map(save_source).collect(),
        size: SavedSize { unit: recipe.size.unit.name().into(), factor: recipe.size.factor },
        sized_by: save_sized_by(&recipe.sized_by),
        mirrored: recipe.stance.mirrored.map(|axis| axis.name().into()),
        down: recipe.stance.down,
        along: recipe.stance.along,
        foot: recipe.stance.foot,
        dropped_shells: recipe.dropped_shells.clone(),
        loose_parts: recipe.loose.iter().map(save_loose).collect(),
        mends: recipe.mends.iter().map(save_mend).collect(),
        reliefs: recipe.reliefs.iter().map(save_relief).collect(),
        bores: recipe.bores.iter().map(save_bore).collect(),
        cuts: recipe.cuts.iter().map(save_cut).collect(),
        measures: recipe.measures.iter().map(save_measure).collect(),
        keep_bodies_together: recipe.keep_bodies_together,
        leave_out_crumbs: recipe.leave_out_crumbs,
        bed: save_bed(&recipe.bed_name, &recipe.bed),
        more_beds: recipe.more_beds.iter().map(|more| save_bed(&more.name, &more.bed)).collect(),
        next_cut: recipe.next_cut.0,
        next_bore: recipe.next_bore.0,
        next_measure: recipe.next_measure.0,
        next_part: recipe.next_part.0,
    };
    // Plain structs of numbers and strings always serialise; numbers that JSON lacks (NaN) are kept out by `Edit`.
    let mut text = serde_json::to_string_pretty(&saved).unwrap_or_default();
    text.push('\n');
    text
}

/// Reads the text of a project file and checks every value.
pub fn from_json(text: &str) -> Result<Recipe, FormatError> {
    // Format and version first, so that a newer file is recognised even where its other fields have changed.
    // Some editors put a byte order mark before the text.
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let value: serde_json::Value = serde_json::from_str(text)?;
    let format = value.get("format").and_then(|v| v.as_str()).unwrap_or("");
    if format != FORMAT {
        return Err(FormatError::OtherFormat(format.into()));
    }
    match value.get("version").and_then(|v| v.as_u64()) {
        Some(found) if found > u64::from(VERSION) => return Err(FormatError::Newer { found }),
        Some(1..) => {}
        _ => return Err(wrong("version", "must be a number from 1")),
    }
    // From the text again, for errors that tell line and column.
    let saved: Saved = serde_json::from_str(text)?;
    saved.into_recipe()
}

fn is_nothing(number: &f64) -> bool {
    *number == 0.0
}

#[derive(Serialize, Deserialize)]
struct Saved {
    format: String,
    version: u32,
    name: String,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    costume: String,
    stock: Option<SavedSource>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    beside: Vec<SavedSource>,
    size: SavedSize,
    /// Left out where nothing but unit and factor is known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    sized_by: Option<SavedSizedBy>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    mirrored: Option<String>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    down: Option<[f64; 3]>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    along: Option<[f64; 3]>,
    #[serde(default, skip_serializing_if = "is_nothing")]
    foot: f64,
    #[serde(default, skip_serializing_if = "BTreeSet::is_empty")]
    dropped_shells: BTreeSet<u32>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    loose_parts: Vec<SavedLoose>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    mends: Vec<SavedMend>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    reliefs: Vec<SavedRelief>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    bores: Vec<SavedBore>,
    cuts: Vec<SavedCut>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    measures: Vec<SavedMeasure>,
    #[serde(default)]
    keep_bodies_together: bool,
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    leave_out_crumbs: bool,
    bed: SavedBed,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    more_beds: Vec<SavedBed>,
    next_cut: u32,
    #[serde(default)]
    next_bore: u32,
    #[serde(default = "one", skip_serializing_if = "is_one")]
    next_measure: u32,
    #[serde(default)]
    next_part: u32,
}

/// Left out while nothing was measured.
fn is_one(n: &u32) -> bool {
    *n == 1
}

fn one() -> u32 {
    1
}

#[derive(Serialize, Deserialize)]
struct SavedSource {
    path: String,
    bytes: u64,
    sha256: String,
}

#[derive(Serialize, Deserialize)]
struct SavedSize {
    unit: String,
    factor: f64,
}

fn wrong(place: impl Into<String>, problem: impl ToString) -> FormatError {
    FormatError::Value { place: place.into(), problem: problem.to_string() }
}

fn save_source(source: &SourceFile) -> SavedSource {
    SavedSource { path: source.path.clone(), bytes: source.bytes, sha256: source.sha256.clone() }
}

fn load_source(s: SavedSource) -> SourceFile {
    SourceFile { path: s.path, bytes: s.bytes, sha256: s.sha256 }
}

impl Saved {
    fn into_recipe(self) -> Result<Recipe, FormatError> {
        let unit = Unit::ALL
            .into_iter()
            .find(|u| u.name() == self.size.unit)
            .ok_or_else(|| wrong("size.unit", format!("\"{}\" is not a unit", self.size.unit)))?;
        let size = Size { unit, factor: self.size.factor };
        if !size.is_usable() {
            let factor = size.factor;
            return Err(wrong(
                "size.factor",
                format!("a model can be scaled by a positive number only, not by {factor}"),
            ));
        }
        let main_bed = load_bed("bed", self.bed)?;
        let more = self.more_beds.into_iter().enumerate();
        let more_beds = more.map(|(i, bed)| load_bed(&format!("more_beds[{i}]"), bed)).collect::<Result<_, _>>()?;
        let cuts = self.cuts.into_iter().enumerate().map(|(i, c)| load_cut(i, c)).collect::<Result<Vec<_>, _>>()?;
        let mut seen = BTreeSet::new();
        if let Some(twice) = cuts.iter().find(|cut| !seen.insert(cut.id)) {
            return Err(wrong("cuts", format!("two cuts have the identity {}", twice.id.0)));
        }
        let last = seen.last().map_or(0, |last| last.0);
        if last > CutId::LAST.0 {
            return Err(wrong("cuts", format!("a cut has the identity {last}; the last one is {}", CutId::LAST.0)));
        }
        let loose = load_loose(self.loose_parts, &self.dropped_shells)?;
        let known = |part: PartId| part == PartId::MAIN || loose.iter().any(|loose| loose.id == part);
        if let Some(lost) = cuts.iter().find(|cut| !known(cut.part)) {
            return Err(wrong("cuts", format!("{} cuts part {}, which is not there", lost.name, lost.part.0)));
        }
        let bores = self.bores.into_iter().enumerate().map(load_bore).collect::<Result<Vec<_>, _>>()?;
        let mut bored = BTreeSet::new();
        if let Some(twice) = bores.iter().find(|bore| !bored.insert(bore.id)) {
            return Err(wrong("bores", format!("two bores have the identity {}", twice.id.0)));
        }
        let last_bore = bored.last().map_or(0, |last| last.0);
        if last_bore > BoreId::LAST.0 {
            let most = BoreId::LAST.0;
            return Err(wrong("bores", format!("a bore has the identity {last_bore}; the last one is {most}")));
        }
        if let Some(lost) = bores.iter().find(|bore| !known(bore.part)) {
            return Err(wrong("bores", format!("{} goes through part {}, which is not there", lost.name, lost.part.0)));
        }
        let stance = Stance {
            mirrored: self.mirrored.as_deref().map(|axis| load_axis("mirrored", axis)).transpose()?,
            down: self.down,
            along: self.along,
            foot: self.foot,
        };
        if !stance.is_usable() {
            return Err(wrong("down", "a direction needs a length, and \"along\" another direction than \"down\""));
        }
        let measures = load_measures(self.measures, known)?;
        let last_measure = measures.iter().map(|measure| measure.id.0).max().unwrap_or(0);
        let last_part = loose.iter().map(|part| part.id.0).max().unwrap_or(0);
        Ok(Recipe {
            name: self.name,
            costume: self.costume,
            stock: self.stock.map(load_source),
            beside: self.beside.into_iter().map(load_source).collect(),
            sized_by: load_sized_by(self.sized_by, size.factor)?,
            size,
            stance,
            dropped_shells: self.dropped_shells,
            loose,
            reliefs: load_reliefs(self.reliefs)?,
            mends: self.mends.into_iter().enumerate().map(load_mend).collect::<Result<_, _>>()?,
            bores,
            cuts,
            measures,
            keep_bodies_together: self.keep_bodies_together,
            leave_out_crumbs: self.leave_out_crumbs,
            bed: main_bed.bed,
            bed_name: main_bed.name,
            more_beds,
            next_cut: CutId(self.next_cut.max(last + 1)),
            next_bore: BoreId(self.next_bore.max(last_bore + 1)),
            next_measure: MeasureId(self.next_measure.max(last_measure.saturating_add(1))),
            next_part: PartId(self.next_part.max(last_part.saturating_add(1))),
        })
    }
}

fn load_axis(place: &str, name: &str) -> Result<Axis, FormatError> {
    let axis = Axis::ALL.into_iter().find(|axis| axis.name() == name);
    axis.ok_or_else(|| wrong(place, format!("\"{name}\" is not X, Y or Z")))
}
