//! The list that says what is what in a kit.

use std::collections::BTreeMap;

use seamwright_geometry::Bed;
use serde::{Deserialize, Serialize};

use super::{KitBore, KitBoreInPiece, KitMagnetsToBuy, all_bores, bores, not_printed, rods_file};
use crate::outcome::{Crumb, Outcome, Piece};
use crate::rods::ToldRods;

/// What a kit contains. Lengths in mm, volumes in mm³, areas in mm².
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Manifest {
    /// Always `seamwright-kit`.
    pub format: &'static str,
    /// Version of this form.
    pub version: u32,
    /// Name of the part.
    pub name: String,
    /// Name of the costume; empty where the part stands alone.
    pub costume: String,
    /// The bed, or the first of several.
    pub bed: KitBed,
    /// All beds, the first one first.
    pub beds: Vec<KitBed>,
    /// The pieces, in the order of their marks.
    pub pieces: Vec<KitPiece>,
    /// Crumbs that the kit holds no file of; none is named where there are none.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub left_out: Vec<KitLeftOut>,
    /// Where pieces meet.
    pub seams: Vec<KitSeam>,
    /// The channels for rods, in the order in which they are made.
    pub bores: Vec<KitBore>,
    /// The rods to saw and the bars to buy.
    pub rods: ToldRods,
    /// The magnets to buy; left out where there are none.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub magnets: Vec<KitMagnetsToBuy>,
    /// The file with that list, relative to the kit's folder; none where no rods are needed.
    pub rods_file: Option<String>,
    /// Files of an earlier kit in the same folder that this one does not replace. They are left where they are; none is
    /// named where there are none.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub left_from_before: Vec<String>,
    /// Pieces that had another mark in the kit that lay in the same folder before; none is named where there are none.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub marks_changed: Vec<KitMarkChanged>,
}

/// A piece that is marked otherwise than in the kit before: what was printed then carries the old mark.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct KitMarkChanged {
    /// Mark in the kit before.
    pub was: String,
    /// Mark in this one.
    pub now: String,
}

/// The bed of a manifest, mm.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct KitBed {
    /// What it is called.
    pub name: String,
    /// Room for a piece after margins and raft: width, depth, height.
    pub room_mm: [f64; 3],
    /// Kept free at every edge.
    pub margin_mm: f64,
    /// Height of the raft.
    pub raft_mm: f64,
}

/// One piece of a manifest.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct KitPiece {
    /// Short mark.
    pub mark: String,
    /// The mark together with the part, `helm A1`: no other part of the costume has it. Not told of a part that stands
    /// alone.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub in_costume: Option<String>,
    /// Identity: the sides of the cuts that bound it.
    pub id: String,
    /// File, relative to the kit's folder.
    pub file: String,
    /// Faces in the file.
    pub triangles: usize,
    /// Whether it is closed.
    pub closed: bool,
    /// Width, depth and height as it lies in the file.
    pub size_mm: [f64; 3],
    /// Volume.
    pub volume_mm3: f64,
    /// Surface.
    pub area_mm2: f64,
    /// `as-it-stands`, `turned`, `tilted`, `too-big` or `undecided`.
    pub fit: &'static str,
    /// It is so little that nobody meant it; not told of any other.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    pub crumb: bool,
    /// Spare room of its best pose; negative when it sticks out.
    pub slack_mm: f64,
    /// Of several beds the one that this speaks of and that it is laid for: the first that it fits, else that on which it
    /// sticks out least. Not told where there is only one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub bed: Option<String>,
    /// Of several beds all that it fits.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub fits_on: Option<Vec<String>>,
    /// How it lies in the file: `cap of …`, `pose that fits` or `as it stands`.
    pub lay: String,
    /// The bores that cross it.
    pub bores: Vec<KitBoreInPiece>,
    /// Rows of the 4 × 4 matrix that brings the file's coordinates back to the assembled place.
    pub assembled_from_file: [[f64; 4]; 4],
}

/// A crumb that no file was written of.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct KitLeftOut {
    /// Short mark.
    pub mark: String,
    /// Identity: the sides of the cuts that bound it.
    pub id: String,
    /// `vanishes-in-print`, or `as-asked` where the project leaves crumbs out.
    pub why: &'static str,
    /// Width, depth and height as it stands in the whole.
    pub size_mm: [f64; 3],
    /// Volume.
    pub volume_mm3: f64,
}

/// One seam of a manifest.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct KitSeam {
    /// Name of the cut.
    pub cut: String,
    /// Mark of the piece below.
    pub below: String,
    /// Mark of the piece above.
    pub above: String,
    /// Area that they share.
    pub area_mm2: f64,
}

pub(super) fn manifest(outcome: &Outcome, pieces: Vec<KitPiece>) -> Manifest {
    let recipe = &outcome.recipe;
    let mark: BTreeMap<_, _> = outcome.pieces.iter().map(|piece| (&piece.id, piece.mark.clone())).collect();
    let mark = |id| mark.get(id).cloned().unwrap_or_default();
    let seams = outcome.seams.iter().map(|seam| KitSeam {
        cut: recipe.cut(seam.cut).map_or_else(String::new, |cut| cut.name.clone()),
        below: mark(&seam.below),
        above: mark(&seam.above),
        area_mm2: seam.area_mm2,
    });
    let kit_bed = |(at, bed): (usize, &Bed)| KitBed {
        name: recipe.bed_name(at),
        room_mm: bed.room_mm(),
        margin_mm: bed.margin_mm,
        raft_mm: bed.raft_mm,
    };
    Manifest {
        format: super::FORMAT,
        version: 1,
        name: recipe.name.clone(),
        costume: recipe.costume.clone(),
        bed: kit_bed((0, &recipe.bed)),
        beds: recipe.beds().enumerate().map(kit_bed).collect(),
        pieces,
        left_out: not_printed(outcome).map(left_out).collect(),
        seams: seams.collect(),
        bores: all_bores(outcome),
        rods: outcome.rods.told(),
        magnets: bores::magnets_to_buy(outcome),
        rods_file: rods_file(outcome),
        left_from_before: Vec::new(),
        marks_changed: Vec::new(),
    }
}

fn left_out(piece: &Piece) -> KitLeftOut {
    KitLeftOut {
        mark: piece.mark.clone(),
        id: piece.id.to_string(),
        why: if piece.crumb == Some(Crumb::Vanishes) { "vanishes-in-print" } else { "as-asked" },
        size_mm: piece.facts.bounds.size().into(),
        volume_mm3: piece.facts.volume_mm3,
    }
}
