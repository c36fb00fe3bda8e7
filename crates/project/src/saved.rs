//! The project file: JSON with types of its own, so that the recipe can change while old files stay readable.

use std::collections::BTreeSet;

use seamwright_geometry::{Bed, Outline};
use serde::{Deserialize, Serialize};

use crate::cut_plane::{Axis, CutPlane};
use crate::recipe::{Cut, CutId, Recipe, Scope, Size, SourceFile, Unit};

/// What the `format` field of every project file says.
const FORMAT: &str = "seamwright-project";
/// The version written here. Older ones stay readable; newer ones are refused.
const VERSION: u32 = 1;

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
        stock: recipe.stock.as_ref().map(|s| SavedSource {
            path: s.path.clone(),
            bytes: s.bytes,
            sha256: s.sha256.clone(),
        }),
        size: SavedSize { unit: recipe.size.unit.name().into(), factor: recipe.size.factor },
        dropped_shells: recipe.dropped_shells.clone(),
        cuts: recipe.cuts.iter().map(save_cut).collect(),
        keep_bodies_together: recipe.keep_bodies_together,
        bed: save_bed(&recipe.bed),
        next_cut: recipe.next_cut.0,
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

#[derive(Serialize, Deserialize)]
struct Saved {
    format: String,
    version: u32,
    name: String,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    costume: String,
    stock: Option<SavedSource>,
    size: SavedSize,
    #[serde(default, skip_serializing_if = "BTreeSet::is_empty")]
    dropped_shells: BTreeSet<u32>,
    cuts: Vec<SavedCut>,
    #[serde(default)]
    keep_bodies_together: bool,
    bed: SavedBed,
    next_cut: u32,
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

#[derive(Serialize, Deserialize)]
struct SavedCut {
    id: u32,
    name: String,
    axis: String,
    through_mm: [f64; 3],
    tilt_deg: [f64; 2],
    /// Left out where the cut crosses all.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    only_pieces: Option<BTreeSet<String>>,
    #[serde(default = "yes")]
    enabled: bool,
}

#[derive(Serialize, Deserialize)]
struct SavedBed {
    x_mm: f64,
    y_mm: f64,
    height_mm: f64,
    margin_mm: f64,
    #[serde(default)]
    raft_mm: f64,
}

fn yes() -> bool {
    true
}

fn wrong(place: impl Into<String>, problem: impl ToString) -> FormatError {
    FormatError::Value { place: place.into(), problem: problem.to_string() }
}

fn save_cut(cut: &Cut) -> SavedCut {
    SavedCut {
        id: cut.id.0,
        name: cut.name.clone(),
        axis: cut.plane.axis.name().into(),
        through_mm: cut.plane.through_mm,
        tilt_deg: cut.plane.tilt_deg,
        only_pieces: match &cut.scope {
            Scope::All => None,
            Scope::Pieces(pieces) => Some(pieces.iter().map(ToString::to_string).collect()),
        },
        enabled: cut.enabled,
    }
}

fn save_bed(bed: &Bed) -> SavedBed {
    let Outline::Rectangle { x_mm, y_mm } = bed.outline;
    SavedBed { x_mm, y_mm, height_mm: bed.height_mm, margin_mm: bed.margin_mm, raft_mm: bed.raft_mm }
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
        let bed = Bed {
            outline: Outline::Rectangle { x_mm: self.bed.x_mm, y_mm: self.bed.y_mm },
            height_mm: self.bed.height_mm,
            margin_mm: self.bed.margin_mm,
            raft_mm: self.bed.raft_mm,
        };
        bed.check().map_err(|e| wrong("bed", e))?;
        let cuts = self.cuts.into_iter().enumerate().map(|(i, c)| load_cut(i, c)).collect::<Result<Vec<_>, _>>()?;
        let mut seen = BTreeSet::new();
        if let Some(twice) = cuts.iter().find(|cut| !seen.insert(cut.id)) {
            return Err(wrong("cuts", format!("two cuts have the identity {}", twice.id.0)));
        }
        let last = seen.last().map_or(0, |last| last.0);
        if last > CutId::LAST.0 {
            return Err(wrong("cuts", format!("a cut has the identity {last}; the last one is {}", CutId::LAST.0)));
        }
        Ok(Recipe {
            name: self.name,
            costume: self.costume,
            stock: self.stock.map(|s| SourceFile { path: s.path, bytes: s.bytes, sha256: s.sha256 }),
            size,
            dropped_shells: self.dropped_shells,
            cuts,
            keep_bodies_together: self.keep_bodies_together,
            bed,
            next_cut: CutId(self.next_cut.max(last + 1)),
        })
    }
}

fn load_cut(index: usize, saved: SavedCut) -> Result<Cut, FormatError> {
    let place = |field: &str| format!("cuts[{index}].{field}");
    let axis = Axis::ALL
        .into_iter()
        .find(|a| a.name() == saved.axis)
        .ok_or_else(|| wrong(place("axis"), format!("\"{}\" is not X, Y or Z", saved.axis)))?;
    let plane = CutPlane { axis, through_mm: saved.through_mm, tilt_deg: saved.tilt_deg };
    plane.plane().map_err(|e| wrong(place("through_mm"), e))?;
    let scope = match saved.only_pieces {
        None => Scope::All,
        Some(pieces) => Scope::Pieces(
            pieces
                .iter()
                .map(|p| p.parse().map_err(|e| wrong(place("only_pieces"), e)))
                .collect::<Result<BTreeSet<_>, _>>()?,
        ),
    };
    Ok(Cut { id: CutId(saved.id), name: saved.name, plane, scope, enabled: saved.enabled })
}
