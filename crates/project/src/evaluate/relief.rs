//! Room made in the shells of a part for others.

use std::sync::Arc;

use seamwright_geometry::mend::NEW_FACE;
use seamwright_geometry::{Progress, ReliefError, relieve_among, solid_with};

use super::Stop;
use super::part::{Chosen, Faces, mended_shells};
use crate::cache::{Cache, Key};
use crate::outcome::{ReliefDone, Stock};
use crate::recipe::{PartId, Recipe};
use crate::relief::{Relief, with_cavities};

/// The reliefs of shells of a part that are switched on, with their places in the recipe.
pub(super) fn of_part(recipe: &Recipe, id: PartId) -> impl Iterator<Item = (usize, Relief)> {
    let is_here =
        move |(_, relief): &(usize, &Relief)| relief.enabled && recipe.part_of_shell(relief.shell) == Some(id);
    recipe.reliefs.iter().enumerate().filter(is_here).map(|(at, relief)| (at, *relief))
}

/// One after the other, each kept under its own key.
pub(super) fn relieved(
    recipe: &Recipe,
    id: PartId,
    stock: (Key, &Stock),
    (mut key, mut now): (Key, Arc<Chosen>),
    cache: &Cache,
    progress: &Progress,
) -> Result<(Key, Arc<Chosen>), Stop> {
    for (at, relief) in of_part(recipe, id) {
        progress.check()?;
        let clearance = relief.clearance_mm / recipe.size.scale();
        let others: Vec<u32> = with_cavities(stock.1, relief.by).into_iter().collect();
        let (other_key, other) = mended_shells(recipe, &others, stock, cache, progress)?;
        let numbers = [relief.shell, relief.by].map(f64::from);
        key = key.then("relief").with(format!("{at} {other_key:?}").as_bytes()).with_numbers(&numbers);
        key = key.with_numbers(&[clearance]);
        let before = now;
        now = cache.get_or_make(key, || {
            let (faces, result) = match make(&before.faces, relief, clearance, stock.1, &other.faces, progress) {
                Ok(made) => (Arc::new(made.0), Ok(made.1)),
                Err(_) if progress.check().is_err() => return Err(Stop::Cancelled),
                Err(error) => (before.faces.clone(), Err(in_mm(&error, recipe.size.scale()))),
            };
            let mut relieved = (*before.relieved).clone();
            relieved.push(ReliefDone { at, result });
            Ok::<_, Stop>(Chosen { faces, done: before.done.clone(), relieved: Arc::new(relieved) })
        })?;
    }
    Ok((key, now))
}

fn make(
    faces: &Faces,
    relief: Relief,
    clearance: f64,
    stock: &Stock,
    other: &Faces,
    progress: &Progress,
) -> Result<(Faces, seamwright_geometry::ReliefReport), ReliefError> {
    let shell_of = |face: u32| {
        let of_stock = faces.faces.get(face as usize).copied().unwrap_or(NEW_FACE);
        stock.shell_of_face.get(of_stock as usize).copied()
    };
    let marked = solid_with(&faces.mesh, |face| shell_of(face) == Some(relief.shell), progress)?;
    let made = relieve_among(&faces.mesh, &marked, &other.mesh, clearance, progress)?;
    let known = |face: &u32| faces.faces.get(*face as usize).copied().unwrap_or(NEW_FACE);
    Ok((Faces { faces: made.came_from.iter().map(known).collect(), mesh: made.mesh }, made.report))
}

/// Lengths in messages are those of the real thing.
fn in_mm(error: &ReliefError, scale: f64) -> String {
    match error {
        ReliefError::TooNarrow { after_mm, clearance_mm } => {
            ReliefError::TooNarrow { after_mm: after_mm * scale, clearance_mm: clearance_mm * scale }.to_string()
        }
        other => other.to_string(),
    }
}
