//! The kit: every piece as a file to print, lying as it will be printed, a list of the rods, and a manifest that says what
//! is what.

mod bores;
mod error;
mod folder;
mod lay;
mod manifest;

use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use seamwright_geometry::exchange::{Overwrite, write_stl};
use seamwright_geometry::{Motion, Point, Progress, Vector};

use crate::outcome::{Crumb, Outcome, Piece};
use crate::store::write_atomically;
use folder::{files_of_kit_in, marks_of_kit_in, name_of_kit_in, others_in};
use manifest::manifest;

pub use bores::{KitBore, KitBoreInPiece, KitMagnets, KitMagnetsToBuy, all_bores, bores_in_piece};
pub use error::KitError;
pub use lay::{LaidBy, Lay, lay};
pub use manifest::{KitBed, KitLeftOut, KitMarkChanged, KitPiece, KitSeam, Manifest};

/// What a manifest says that it is.
const FORMAT: &str = "seamwright-kit";
/// Name of the manifest within a kit, but for the part that stands before it in a costume.
pub const MANIFEST: &str = "manifest.json";
/// Name of the list of rods within a kit, but for the part that stands before it in a costume.
pub const RODS: &str = "rods.txt";

/// Writes every piece, lying on its largest cap where it fits that way, and the manifest, into `folder`, which is made
/// if need be. Nothing is written if anything would be overwritten that may not be, or if the pieces would lie among files of
/// other kinds and that was not agreed to.
pub fn write(
    outcome: &Outcome,
    folder: &Path,
    overwrite: Overwrite,
    progress: &Progress,
) -> Result<Manifest, KitError> {
    if printed(outcome).next().is_none() {
        return Err(KitError::NoPieces(outcome.failure.as_ref().map(|failure| failure.text.clone())));
    }
    let manifest_file = outcome.recipe.file_in_costume(MANIFEST);
    let manifest_path = folder.join(&manifest_file);
    if overwrite == Overwrite::Refuse {
        let lists = rods_file(outcome).map(|file| folder.join(file)).into_iter().chain([manifest_path.clone()]);
        let files = printed(outcome).map(|piece| folder.join(file_name(outcome, piece))).chain(lists);
        let taken: Vec<PathBuf> = files.filter(|file| file.symlink_metadata().is_ok()).collect();
        if let Some(first) = taken.first() {
            let of = name_of_kit_in(folder, &manifest_file).filter(|name| *name != outcome.recipe.name);
            return Err(KitError::Exists { first: first.clone(), others: taken.len() - 1, of });
        }
        if let Some((first, others)) = others_in(folder) {
            return Err(KitError::AmongOthers { folder: folder.into(), first, others });
        }
    }
    let before = files_of_kit_in(folder, &manifest_file, &outcome.recipe.name);
    let marks_before = marks_of_kit_in(folder, &manifest_file, &outcome.recipe.name);
    fs::create_dir_all(folder).map_err(|error| KitError::Io { path: folder.into(), error })?;

    progress.stage("writing the kit");
    let mut pieces = Vec::new();
    for (i, piece) in printed(outcome).enumerate() {
        progress.check()?;
        progress.report(i as f64 / outcome.pieces.len() as f64);
        pieces.push(write_piece(outcome, piece, folder, overwrite)?);
    }
    let mut manifest = manifest(outcome, pieces);
    if let Some(file) = &manifest.rods_file {
        let path = folder.join(file);
        write_atomically(&path, manifest.rods.text(&manifest.name).as_bytes())
            .map_err(|error| KitError::Io { path, error })?;
    }
    let replaced = |file: &String| {
        manifest.pieces.iter().any(|piece| piece.file == *file) || manifest.rods_file.as_ref() == Some(file)
    };
    manifest.left_from_before = before.into_iter().filter(|file| !replaced(file)).collect();
    let changed = |piece: &KitPiece| {
        let was = marks_before.get(&piece.id).filter(|was| **was != piece.mark)?;
        Some(KitMarkChanged { was: was.clone(), now: piece.mark.clone() })
    };
    manifest.marks_changed = manifest.pieces.iter().filter_map(changed).collect();
    let text = serde_json::to_string_pretty(&manifest).map_err(io::Error::from);
    text.and_then(|text| write_atomically(&manifest_path, text.as_bytes()))
        .map_err(|error| KitError::Io { path: manifest_path, error })?;
    Ok(manifest)
}

/// The pieces that a kit holds: of what is so thin that nothing of it is printed, no file is written.
pub fn printed(outcome: &Outcome) -> impl Iterator<Item = &Piece> {
    outcome.pieces.iter().filter(|piece| piece.crumb != Some(Crumb::Vanishes))
}

/// The pieces that it does not hold.
pub fn not_printed(outcome: &Outcome) -> impl Iterator<Item = &Piece> {
    outcome.left_out.iter().chain(outcome.pieces.iter().filter(|piece| piece.crumb == Some(Crumb::Vanishes)))
}

fn write_piece(outcome: &Outcome, piece: &Piece, folder: &Path, overwrite: Overwrite) -> Result<KitPiece, KitError> {
    let lay = lay(outcome, piece);
    let laid = piece.solid.mesh.transformed(&lay.pose);
    let recipe = &outcome.recipe;
    let (file, in_costume) = (file_name(outcome, piece), recipe.in_costume(&piece.mark));
    let written = write_stl(&folder.join(&file), &laid, in_costume.as_ref().unwrap_or(&piece.mark), overwrite)?;
    let size = laid.bounds().map_or_else(Vector::zeros, |bounds| bounds.size());
    let several = !recipe.more_beds.is_empty();
    let fitting = piece.fits.iter().enumerate().filter(|(_, fit)| fit.verdict.fits());
    Ok(KitPiece {
        mark: piece.mark.clone(),
        in_costume,
        id: piece.id.to_string(),
        file,
        triangles: written.facets,
        closed: piece.facts.closed,
        size_mm: size.into(),
        volume_mm3: piece.facts.volume_mm3,
        area_mm2: piece.facts.area_mm2,
        fit: piece.fit.verdict.as_str(),
        crumb: piece.is_crumb(),
        slack_mm: piece.fit.slack_mm,
        bed: several.then(|| recipe.bed_name(piece.bed)),
        fits_on: several.then(|| fitting.map(|(at, _)| recipe.bed_name(at)).collect()),
        lay: lay.by.to_string(),
        bores: bores_in_piece(outcome, piece),
        assembled_from_file: rows(&lay.pose.inverse()),
    })
}

/// A kit without rods has no list of them.
fn rods_file(outcome: &Outcome) -> Option<String> {
    (!outcome.rods.rods.is_empty()).then(|| outcome.recipe.file_in_costume(RODS))
}

/// Marks are letters and digits only, so they serve as file names everywhere.
fn file_name(outcome: &Outcome, piece: &Piece) -> String {
    outcome.recipe.file_in_costume(&format!("{}.stl", piece.mark))
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
