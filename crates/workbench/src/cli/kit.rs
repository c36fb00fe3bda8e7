//! `kit`: a project's pieces written, lying as they print, with a manifest.

use std::fmt;

use seamwright_project::kit::{self, KitError, KitPiece, MANIFEST, Manifest};
use seamwright_project::{Edit, Outcome};
use serde::Serialize;

use super::args::KitArgs;
use super::output::Answer;
use super::problems::{self, Problem};
use super::trouble::Trouble;
use super::waiting::Waiting;
use super::{project, targets, words};

/// Makes the pieces and writes the kit, once it is sure that it replaces nothing.
pub fn run(args: &KitArgs) -> Result<Packed, Trouble> {
    targets::check_folder(&args.write.out)?;
    let waiting = Waiting::new();
    let outcome = match args.leave_out_crumbs {
        true => project::make_with(&args.project, &Edit::SetLeaveOutCrumbs(true), waiting.progress())?,
        false => project::make(&args.project, waiting.progress())?,
    };
    let overwrite = args.write.force.overwrite();
    let manifest = kit::write(&outcome, &args.write.out, overwrite, waiting.progress()).map_err(trouble)?;
    Ok(Packed::new(args, manifest, &outcome))
}

fn trouble(error: KitError) -> Trouble {
    match error {
        KitError::Exists { first, others, .. } => Trouble::InTheWay { first, others },
        KitError::AmongOthers { folder, first, others } => Trouble::AmongOthers { folder, first, others },
        other => Trouble::said(other),
    }
}

/// The answer: what is in the manifest, where it went, and what is wrong with it.
#[derive(Debug, Serialize)]
pub struct Packed {
    project: String,
    out: String,
    manifest: String,
    #[serde(flatten)]
    kit: Manifest,
    problems: Vec<Problem>,
}

impl Packed {
    fn new(args: &KitArgs, kit: Manifest, outcome: &Outcome) -> Packed {
        Packed {
            project: args.project.file.display().to_string(),
            out: args.write.out.display().to_string(),
            manifest: outcome.recipe.file_in_costume(MANIFEST),
            kit,
            problems: problems::of(outcome),
        }
    }

    fn bad_pieces(&self) -> usize {
        let fits = |piece: &KitPiece| matches!(piece.fit, "as-it-stands" | "turned" | "tilted");
        self.kit.pieces.iter().filter(|piece| !(piece.closed && fits(piece))).count()
    }
}

/// Names of files stand in a column at least so wide, signs.
const LEAST_WIDTH: usize = 8;

impl Answer for Packed {
    fn is_yes(&self) -> bool {
        self.bad_pieces() == 0
    }
}

impl fmt::Display for Packed {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let pieces = words::count(self.kit.pieces.len(), "piece", "pieces");
        writeln!(f, "{}: {pieces} and {} in {}", self.kit.name, self.manifest, self.out)?;
        // In a costume names are longer than marks.
        let files = self.kit.pieces.iter().map(|piece| &piece.file).chain(&self.kit.rods_file);
        let width = files.map(|file| file.chars().count()).max().unwrap_or(0).max(LEAST_WIDTH);
        for piece in &self.kit.pieces {
            let (size, volume) = (words::size(&piece.size_mm), words::volume(piece.volume_mm3));
            let on = piece.bed.as_ref().map_or_else(String::new, |bed| format!(" on {bed}"));
            let fit = if piece.crumb { "crumb".to_owned() } else { words::fit(piece.fit).to_string() };
            writeln!(f, "  {:<width$} {size}, {volume}, {fit}{on}, lies: {}", piece.file, piece.lay)?;
        }
        for left in &self.kit.left_out {
            let why = if left.why == "as-asked" { "a crumb" } else { "so thin that it vanishes in print" };
            writeln!(f, "  {:<width$} left out: {}, {why}", left.mark, words::size(&left.size_mm))?;
        }
        if let Some(file) = &self.kit.rods_file {
            writeln!(f, "  {file:<width$} the rods:")?;
            write!(f, "{}", self.kit.rods)?;
        }
        if !self.kit.left_from_before.is_empty() {
            writeln!(f, "  left from an earlier kit: {}", self.kit.left_from_before.join(", "))?;
        }
        if !self.kit.marks_changed.is_empty() {
            let changed = self.kit.marks_changed.iter().map(|piece| format!("{} is {} now", piece.was, piece.now));
            let changed = changed.collect::<Vec<_>>().join(", ");
            writeln!(
                f,
                "  marked otherwise than in the kit before: {changed}; what was printed then bears the old mark"
            )?;
        }
        problems::write(f, &self.problems)
    }
}
