//! The project that a verb is about, with all its results.

use std::path::Path;

use seamwright_geometry::Progress;
use seamwright_project::{Cache, Document, Edit, Outcome, Recipe, advise, evaluate};

use super::args::ProjectArgs;
use super::trouble::Trouble;

/// Opens the project and makes all its pieces. A project that cannot be made to the end is bad input.
pub fn make(args: &ProjectArgs, progress: &Progress) -> Result<Outcome, Trouble> {
    let document = Document::open(&args.file).map_err(Trouble::said)?;
    make_recipe(args, document.recipe(), &document.folder(), &Cache::default(), progress)
}

/// The same of the project with a change, which is not saved.
pub fn make_with(args: &ProjectArgs, edit: &Edit, progress: &Progress) -> Result<Outcome, Trouble> {
    let document = Document::open(&args.file).map_err(Trouble::said)?;
    let recipe = edit.apply(document.recipe()).map_err(Trouble::said)?;
    make_recipe(args, &recipe, &document.folder(), &Cache::default(), progress)
}

/// The same, with what to do about pieces that do not fit among its notes.
pub fn make_advised(args: &ProjectArgs, progress: &Progress) -> Result<Outcome, Trouble> {
    let document = Document::open(&args.file).map_err(Trouble::said)?;
    let (folder, cache) = (document.folder(), Cache::default());
    let mut outcome = make_recipe(args, document.recipe(), &folder, &cache, progress)?;
    let advice = advise(&outcome, &folder, &cache, progress).map_err(Trouble::said)?;
    outcome.notes.extend(advice);
    Ok(outcome)
}

/// Makes all pieces of a recipe that is, or is like, that of the project.
pub fn make_recipe(
    args: &ProjectArgs,
    recipe: &Recipe,
    folder: &Path,
    cache: &Cache,
    progress: &Progress,
) -> Result<Outcome, Trouble> {
    let path = args.file.clone();
    if recipe.stock.is_none() {
        let problem = "it has no model yet. Open it in the window and choose one on line 1, Stock".to_owned();
        return Err(Trouble::Project { path, problem });
    }
    let outcome = evaluate(recipe, folder, cache, progress).map_err(Trouble::said)?;
    match &outcome.failure {
        Some(failure) if failure.stock_moved => {
            let way_out = format!("(\"seamwright {}\" opens the window, where this is done)", path.display());
            Err(Trouble::Project { problem: format!("{} {way_out}", failure.text), path })
        }
        Some(failure) => Err(Trouble::Project { path, problem: failure.text.clone() }),
        None => Ok(outcome),
    }
}
