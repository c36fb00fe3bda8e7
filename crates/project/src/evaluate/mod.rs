//! From a recipe to its results: a chain of stages, each kept under the hash of what it was made from.

mod bores;
mod closing;
mod marks;
mod measure;
mod notes;
mod part;
mod parting;
mod relief;
mod rods;
mod roofs;
mod seams;
mod shell_boxes;
mod stock;

use std::path::Path;
use std::sync::Arc;
use std::time::Instant;

use seamwright_geometry::{Cancelled, Progress};

use crate::bore::Bore;
use crate::cache::Cache;
use crate::outcome::{Failure, Outcome, Piece, Timings};
use crate::recipe::Recipe;

pub(crate) use bores::{BoredPart, all_bores, bore_part, facts_of_bore, walls};
pub(crate) use measure::pieces as pieces_of;
pub(crate) use part::{nothing_kept, part};
pub(crate) use parting::{Node, Parting, part_by_cuts, scope_names};
pub(crate) use rods::runs_of_bore;
use shell_boxes::shell_boxes;
pub(crate) use stock::stock;

/// Why a stage has no result.
#[derive(Debug)]
pub(crate) enum Stop {
    Cancelled,
    Failed(Failure),
}

impl From<Cancelled> for Stop {
    fn from(_: Cancelled) -> Stop {
        Stop::Cancelled
    }
}

/// Makes all results of `recipe`; `project_dir` is the folder that source paths are relative to.
///
/// A stage that fails is told in [`Outcome::failure`]; what came before it is there, what comes after is empty.
pub fn evaluate(recipe: &Recipe, project_dir: &Path, cache: &Cache, progress: &Progress) -> Result<Outcome, Cancelled> {
    let mut outcome = Outcome {
        recipe: recipe.clone(),
        stock: None,
        shell_boxes: Arc::default(),
        parts: Vec::new(),
        bores: Vec::new(),
        rods: Arc::default(),
        pieces: Vec::new(),
        left_out: Vec::new(),
        seams: Vec::new(),
        notes: Vec::new(),
        failure: None,
        timings: Timings::default(),
    };
    match run(&mut outcome, project_dir, cache, progress) {
        Ok(()) => {}
        Err(Stop::Cancelled) => return Err(Cancelled),
        Err(Stop::Failed(failure)) => outcome.failure = Some(failure),
    }
    Ok(outcome)
}

fn run(outcome: &mut Outcome, project_dir: &Path, cache: &Cache, progress: &Progress) -> Result<(), Stop> {
    let recipe = outcome.recipe.clone();
    if recipe.stock.is_none() {
        return Ok(());
    }

    let begun = Instant::now();
    let (stock_key, stock) = stock(&recipe, project_dir, cache, progress)?;
    outcome.timings.stock_s = begun.elapsed().as_secs_f64();
    outcome.stock = Some(stock.clone());

    let begun = Instant::now();
    outcome.shell_boxes = shell_boxes(&recipe, stock_key, &stock, cache)?;
    let mut made = Vec::new();
    for id in recipe.parts() {
        progress.check()?;
        if let Some((key, part)) = part(&recipe, id, stock_key, &stock, cache, progress)? {
            outcome.parts.push(part.clone());
            made.push((key, part));
        }
    }
    if made.is_empty() {
        return Err(nothing_kept());
    }
    outcome.timings.part_s = begun.elapsed().as_secs_f64();

    let begun = Instant::now();
    let (mut bored, mut laid) = (Vec::new(), Vec::new());
    for (key, part) in made {
        let mut whole = bore_part(&recipe, part.id, key, part.solid.clone(), all_bores, cache, progress)?;
        outcome.bores.append(&mut whole.done);
        if !whole.laid.is_empty() {
            laid.append(&mut whole.laid);
            // Those are made in the pieces. What was not made above is not made here either, though it may find room now.
            let is_made = |bore: &Bore| {
                let done = outcome.bores.iter().find(|done| done.bore == bore.id);
                !bore.follows_lays() && done.is_some_and(|done| done.result.is_ok())
            };
            whole = bore_part(&recipe, part.id, key, part.solid, is_made, cache, progress)?;
        }
        bored.push((part.id, whole));
    }
    outcome.timings.bores_s = begun.elapsed().as_secs_f64();

    let begun = Instant::now();
    let mut parting = Parting::default();
    for (part, whole) in bored {
        parting.extend(part_by_cuts(&recipe, part, whole.key, whole.solid, cache, progress)?);
    }
    outcome.timings.cuts_s = begun.elapsed().as_secs_f64();

    let begun = Instant::now();
    let ups = roofs::bore_pieces(outcome, &mut parting.nodes, &laid, cache, progress)?;
    outcome.timings.bores_s += begun.elapsed().as_secs_f64();

    let begun = Instant::now();
    outcome.pieces = measure::pieces(&recipe, &parting.nodes, &outcome.bores, cache, progress)?;
    marks::give(&mut outcome.pieces, &outcome.parts);
    if recipe.leave_out_crumbs {
        (outcome.left_out, outcome.pieces) = outcome.pieces.drain(..).partition(Piece::is_crumb);
    }
    outcome.timings.fit_s = begun.elapsed().as_secs_f64();
    outcome.seams = seams::between(&recipe, &outcome.pieces);
    outcome.rods = rods::list(&recipe, &outcome.bores, &outcome.pieces, cache, progress)?;
    let off = roofs::off_in(outcome, &ups);
    outcome.notes = notes::notice(&stock, &parting, outcome, &off);
    Ok(())
}
