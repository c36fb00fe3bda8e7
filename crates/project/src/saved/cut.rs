//! Cuts as the project file has them.

use std::collections::BTreeSet;

use serde::{Deserialize, Serialize};

use super::{FormatError, load_axis, wrong};
use crate::cut_form::{CutForm, CutProfile, Edge, Line, Waves};
use crate::cut_plane::CutPlane;
use crate::edit::check_kerf;
use crate::recipe::{Cut, CutId, PartId, Scope};

#[derive(Serialize, Deserialize)]
pub(super) struct SavedCut {
    id: u32,
    name: String,
    /// Left out for the main part.
    #[serde(default, skip_serializing_if = "is_main")]
    part: u32,
    axis: String,
    through_mm: [f64; 3],
    tilt_deg: [f64; 2],
    /// Left out where the cut is all of its plane.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    ends: Option<SavedEdge>,
    /// Left out where the cut is flat.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    profile: Option<SavedProfile>,
    #[serde(default, skip_serializing_if = "is_nothing")]
    kerf_mm: f64,
    /// Left out where the cut crosses all.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    only_pieces: Option<BTreeSet<String>>,
    #[serde(default = "yes")]
    enabled: bool,
}

#[derive(Serialize, Deserialize)]
struct SavedEdge {
    offset_mm: f64,
    turn_deg: f64,
}

#[derive(Serialize, Deserialize)]
struct SavedProfile {
    #[serde(flatten)]
    line: SavedLine,
    turn_deg: f64,
}

#[derive(Serialize, Deserialize)]
#[serde(tag = "line", rename_all = "lowercase")]
enum SavedLine {
    Step {
        rise_mm: f64,
    },
    Zigzag {
        pitch_mm: f64,
        height_mm: f64,
        count: u32,
    },
    Wave {
        pitch_mm: f64,
        height_mm: f64,
        count: u32,
    },
    Dovetail {
        pitch_mm: f64,
        height_mm: f64,
        count: u32,
        flank_deg: f64,
    },
    Drawn {
        points_mm: Vec<[f64; 2]>,
        #[serde(default)]
        smooth: bool,
    },
}

fn is_main(part: &u32) -> bool {
    *part == PartId::MAIN.0
}

fn is_nothing(x: &f64) -> bool {
    *x == 0.0
}

fn yes() -> bool {
    true
}

pub(super) fn save_cut(cut: &Cut) -> SavedCut {
    SavedCut {
        id: cut.id.0,
        name: cut.name.clone(),
        part: cut.part.0,
        axis: cut.plane.axis.name().into(),
        through_mm: cut.plane.through_mm,
        tilt_deg: cut.plane.tilt_deg,
        ends: match &cut.form {
            CutForm::Ending(edge) => Some(SavedEdge { offset_mm: edge.offset_mm, turn_deg: edge.turn_deg }),
            CutForm::Flat | CutForm::Profile(_) => None,
        },
        profile: match &cut.form {
            CutForm::Profile(profile) => {
                Some(SavedProfile { line: save_line(&profile.line), turn_deg: profile.turn_deg })
            }
            CutForm::Flat | CutForm::Ending(_) => None,
        },
        kerf_mm: cut.kerf_mm,
        only_pieces: match &cut.scope {
            Scope::All => None,
            Scope::Pieces(pieces) => Some(pieces.iter().map(ToString::to_string).collect()),
        },
        enabled: cut.enabled,
    }
}

fn save_line(line: &Line) -> SavedLine {
    match line.clone() {
        Line::Step { rise_mm } => SavedLine::Step { rise_mm },
        Line::Zigzag(Waves { pitch_mm, height_mm, count }) => SavedLine::Zigzag { pitch_mm, height_mm, count },
        Line::Wave(Waves { pitch_mm, height_mm, count }) => SavedLine::Wave { pitch_mm, height_mm, count },
        Line::Dovetail { waves: Waves { pitch_mm, height_mm, count }, flank_deg } => {
            SavedLine::Dovetail { pitch_mm, height_mm, count, flank_deg }
        }
        Line::Drawn { points_mm, smooth } => SavedLine::Drawn { points_mm, smooth },
    }
}

fn load_line(line: SavedLine) -> Line {
    match line {
        SavedLine::Step { rise_mm } => Line::Step { rise_mm },
        SavedLine::Zigzag { pitch_mm, height_mm, count } => Line::Zigzag(Waves { pitch_mm, height_mm, count }),
        SavedLine::Wave { pitch_mm, height_mm, count } => Line::Wave(Waves { pitch_mm, height_mm, count }),
        SavedLine::Dovetail { pitch_mm, height_mm, count, flank_deg } => {
            Line::Dovetail { waves: Waves { pitch_mm, height_mm, count }, flank_deg }
        }
        SavedLine::Drawn { points_mm, smooth } => Line::Drawn { points_mm, smooth },
    }
}

pub(super) fn load_cut(index: usize, saved: SavedCut) -> Result<Cut, FormatError> {
    let place = |field: &str| format!("cuts[{index}].{field}");
    let axis = load_axis(&place("axis"), &saved.axis)?;
    let plane = CutPlane { axis, through_mm: saved.through_mm, tilt_deg: saved.tilt_deg };
    plane.plane().map_err(|e| wrong(place("through_mm"), e))?;
    let form = match (saved.ends, saved.profile) {
        (None, None) => CutForm::Flat,
        (Some(SavedEdge { offset_mm, turn_deg }), None) => CutForm::Ending(Edge { offset_mm, turn_deg }),
        (None, Some(SavedProfile { line, turn_deg })) => {
            CutForm::Profile(CutProfile { line: load_line(line), turn_deg })
        }
        (Some(_), Some(_)) => {
            return Err(wrong(place("ends"), "a cut that follows a profile cannot end at a line as well"));
        }
    };
    form.surface(&plane)
        .map_err(|e| wrong(place(if let CutForm::Ending(_) = form { "ends" } else { "profile" }), e))?;
    check_kerf(saved.kerf_mm).map_err(|e| wrong(place("kerf_mm"), e))?;
    let scope = match saved.only_pieces {
        None => Scope::All,
        Some(pieces) => Scope::Pieces(
            pieces
                .iter()
                .map(|p| p.parse().map_err(|e| wrong(place("only_pieces"), e)))
                .collect::<Result<BTreeSet<_>, _>>()?,
        ),
    };
    let (id, kerf_mm) = (CutId(saved.id), saved.kerf_mm);
    Ok(Cut { id, name: saved.name, part: PartId(saved.part), plane, form, kerf_mm, scope, enabled: saved.enabled })
}
