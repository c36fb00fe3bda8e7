//! The kit: every piece as a file to print, lying as it will be printed, a list of the rods, and a manifest that says what
//! is what.

mod bores;

use std::collections::BTreeMap;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use seamwright_geometry::exchange::{Overwrite, WriteError, write_stl};
use seamwright_geometry::{Bed, Cancelled, Motion, Point, Progress, ROUNDING_MM, Vector, lay_on, sticks_out_mm};
use serde::Serialize;

use crate::outcome::{Outcome, Piece};
use crate::rods::ToldRods;
use crate::store::write_atomically;

pub use bores::{KitBore, KitBoreInPiece, KitMagnets, KitMagnetsToBuy, all_bores, bores_in_piece};

/// Name of the manifest within a kit.
pub const MANIFEST: &str = "manifest.json";
/// Name of the list of rods within a kit.
pub const RODS: &str = "rods.txt";

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
    pub rods_file: Option<&'static str>,
    /// Files of an earlier kit in the same folder that this one does not replace. They are left where they are; none is
    /// named where there are none.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub left_from_before: Vec<String>,
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

/// Why a kit was not written, or not whole.
#[derive(Debug, thiserror::Error)]
pub enum KitError {
    /// There is nothing to write.
    #[error("there are no pieces to write{}", .0.as_ref().map(|why| format!(": {why}")).unwrap_or_default())]
    NoPieces(Option<String>),
    /// Files are in the way.
    #[error("{} is there already, with {} more of this kit. Choose an empty folder, or say that they may be replaced", .first.display(), .others)]
    Exists {
        /// The first of them.
        first: PathBuf,
        /// How many more.
        others: usize,
    },
    /// The folder cannot be made or written to.
    #[error("{path} cannot be written: {error}. Choose a folder that you may write to")]
    Io {
        /// Which file or folder.
        path: PathBuf,
        /// What the system says.
        error: io::Error,
    },
    /// A piece cannot be written.
    #[error(transparent)]
    Piece(#[from] WriteError),
    /// The work was cancelled; pieces already written stay.
    #[error("cancelled")]
    Cancelled,
}

impl From<Cancelled> for KitError {
    fn from(_: Cancelled) -> Self {
        KitError::Cancelled
    }
}

/// Writes every piece, lying on its largest cap where it fits that way, and the manifest, into `folder`, which is made
/// if need be. Nothing is written if anything would be overwritten that may not be.
pub fn write(
    outcome: &Outcome,
    folder: &Path,
    overwrite: Overwrite,
    progress: &Progress,
) -> Result<Manifest, KitError> {
    if outcome.pieces.is_empty() {
        return Err(KitError::NoPieces(outcome.failure.as_ref().map(|failure| failure.text.clone())));
    }
    let manifest_path = folder.join(MANIFEST);
    if overwrite == Overwrite::Refuse {
        let lists = rods_file(outcome).map(|file| folder.join(file)).into_iter().chain([manifest_path.clone()]);
        let files = outcome.pieces.iter().map(|piece| folder.join(file_name(piece))).chain(lists);
        let taken: Vec<PathBuf> = files.filter(|file| file.symlink_metadata().is_ok()).collect();
        if let Some(first) = taken.first() {
            return Err(KitError::Exists { first: first.clone(), others: taken.len() - 1 });
        }
    }
    let before = files_of_kit_in(folder);
    fs::create_dir_all(folder).map_err(|error| KitError::Io { path: folder.into(), error })?;

    progress.stage("writing the kit");
    let mut pieces = Vec::new();
    for (i, piece) in outcome.pieces.iter().enumerate() {
        progress.check()?;
        progress.report(i as f64 / outcome.pieces.len() as f64);
        pieces.push(write_piece(outcome, piece, folder, overwrite)?);
    }
    let mut manifest = manifest(outcome, pieces);
    if let Some(file) = manifest.rods_file {
        let path = folder.join(file);
        write_atomically(&path, manifest.rods.text(&manifest.name).as_bytes())
            .map_err(|error| KitError::Io { path, error })?;
    }
    let replaced = |file: &String| {
        manifest.pieces.iter().any(|piece| piece.file == *file) || manifest.rods_file == Some(file.as_str())
    };
    manifest.left_from_before = before.into_iter().filter(|file| !replaced(file)).collect();
    let text = serde_json::to_string_pretty(&manifest).map_err(io::Error::from);
    text.and_then(|text| write_atomically(&manifest_path, text.as_bytes()))
        .map_err(|error| KitError::Io { path: manifest_path, error })?;
    Ok(manifest)
}

/// A pose to print in: resting on z = 0.
#[derive(Clone, Debug, PartialEq)]
pub struct Lay {
    /// `bed_from_piece`.
    pub pose: Motion,
    /// How it lies, in words.
    pub words: String,
}

/// How `piece` is laid in the kit: on its largest cap where it fits that way, else in the pose in which it fits, else as
/// it stands. Always resting on z = 0, in the middle of the bed.
pub fn lay(outcome: &Outcome, piece: &Piece) -> Lay {
    let bed = outcome.recipe.beds().nth(piece.bed).unwrap_or(&outcome.recipe.bed);
    let without_raft = Bed { height_mm: bed.height_mm - bed.raft_mm, raft_mm: 0.0, ..bed.clone() };
    let hull = &piece.facts.hull;
    if let Some(cap) = piece.facts.caps.first()
        && let Some(pose) = lay_on(hull, &Vector::from(cap.normal), &without_raft)
        && sticks_out_mm(hull, &pose, &without_raft) <= ROUNDING_MM
    {
        let name = outcome.recipe.cut(cap.cut).map_or_else(|| format!("cut {}", cap.cut.0), |cut| cut.name.clone());
        return Lay { pose, words: format!("cap of {name}") };
    }
    if let Some(pose) = &piece.fit.pose {
        let down = nalgebra::Translation3::new(0.0, 0.0, -bed.raft_mm);
        return Lay { pose: down * pose, words: "pose that fits".into() };
    }
    let [low, high] = bed.extent_mm();
    let (centre, lowest) = (piece.facts.bounds.centre(), piece.facts.bounds.min.z);
    let shift = Vector::new((low[0] + high[0]) / 2.0 - centre.x, (low[1] + high[1]) / 2.0 - centre.y, -lowest);
    Lay { pose: Motion::translation(shift.x, shift.y, shift.z), words: "as it stands".into() }
}

fn write_piece(outcome: &Outcome, piece: &Piece, folder: &Path, overwrite: Overwrite) -> Result<KitPiece, KitError> {
    let lay = lay(outcome, piece);
    let laid = piece.solid.mesh.transformed(&lay.pose);
    let file = file_name(piece);
    let written = write_stl(&folder.join(&file), &laid, &piece.mark, overwrite)?;
    let size = laid.bounds().map_or_else(Vector::zeros, |bounds| bounds.size());
    let recipe = &outcome.recipe;
    let several = !recipe.more_beds.is_empty();
    let fitting = piece.fits.iter().enumerate().filter(|(_, fit)| fit.verdict.fits());
    Ok(KitPiece {
        mark: piece.mark.clone(),
        id: piece.id.to_string(),
        file,
        triangles: written.facets,
        closed: piece.facts.closed,
        size_mm: size.into(),
        volume_mm3: piece.facts.volume_mm3,
        area_mm2: piece.facts.area_mm2,
        fit: piece.fit.verdict.as_str(),
        slack_mm: piece.fit.slack_mm,
        bed: several.then(|| recipe.bed_name(piece.bed)),
        fits_on: several.then(|| fitting.map(|(at, _)| recipe.bed_name(at)).collect()),
        lay: lay.words,
        bores: bores_in_piece(outcome, piece),
        assembled_from_file: rows(&lay.pose.inverse()),
    })
}

/// A kit without rods has no list of them.
fn rods_file(outcome: &Outcome) -> Option<&'static str> {
    (!outcome.rods.rods.is_empty()).then_some(RODS)
}

/// Marks are letters and digits only, so they serve as file names everywhere.
fn file_name(piece: &Piece) -> String {
    format!("{}.stl", piece.mark)
}

fn manifest(outcome: &Outcome, pieces: Vec<KitPiece>) -> Manifest {
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
        format: "seamwright-kit",
        version: 1,
        name: recipe.name.clone(),
        costume: recipe.costume.clone(),
        bed: kit_bed((0, &recipe.bed)),
        beds: recipe.beds().enumerate().map(kit_bed).collect(),
        pieces,
        seams: seams.collect(),
        bores: all_bores(outcome),
        rods: outcome.rods.told(),
        magnets: bores::magnets_to_buy(outcome),
        rods_file: rods_file(outcome),
        left_from_before: Vec::new(),
    }
}

/// Files that the manifest in `folder` names and that are there, and those left from before that. Nothing where there is
/// no manifest that can be read: this is only to tell the maker.
fn files_of_kit_in(folder: &Path) -> Vec<String> {
    let text = fs::read(folder.join(MANIFEST)).unwrap_or_default();
    let Ok(manifest) = serde_json::from_slice::<serde_json::Value>(&text) else { return Vec::new() };
    let list = |key: &str| manifest[key].as_array().cloned().unwrap_or_default();
    let pieces = list("pieces").into_iter().map(|piece| piece["file"].clone());
    let files = pieces.chain(list("left_from_before")).chain([manifest["rods_file"].clone()]);
    let names = files.filter_map(|file| file.as_str().map(str::to_owned));
    let is_here = |file: &String| Path::new(file).file_name() == Some(file.as_ref()) && folder.join(file).is_file();
    names.filter(is_here).collect()
}

fn rows(motion: &Motion) -> [[f64; 4]; 4] {
    let matrix = motion.to_homogeneous();
    [0, 1, 2, 3].map(|row| [0, 1, 2, 3].map(|column| matrix[(row, column)]))
}

/// Where `point` of a piece's file belongs in the whole, by [`KitPiece::assembled_from_file`].
pub fn assembled(rows: &[[f64; 4]; 4], point: &Point) -> Point {
    let at = |row: usize| rows[row][0] * point.x + rows[row][1] * point.y + rows[row][2] * point.z + rows[row][3];
    Point::new(at(0), at(1), at(2))
}
