//! A part: its shells, mended and relieved, at their real size and as they stand.

use std::sync::Arc;

use seamwright_geometry::mend::{Mended, NEW_FACE};
use seamwright_geometry::{FaceOrigin, Mesh, Progress, Solid, drop_unused_vertices};

use super::closing::{as_read, closing};
use super::stock::mesh_bytes;
use super::{Stop, relief};
use crate::cache::{Cache, Key, Weigh};
use crate::outcome::{Failure, MendDone, Part, ReliefDone, Stage, Stock};
use crate::recipe::{Mend, PartId, Recipe};

/// Makes part `id` of the stock: its shells, mended, scaled and turned. Faces keep the numbers that they have in the
/// stock. `None` for a part without shells.
pub(crate) fn part(
    recipe: &Recipe,
    id: PartId,
    stock_key: Key,
    stock: &Stock,
    cache: &Cache,
    progress: &Progress,
) -> Result<Option<(Key, Part)>, Stop> {
    let shells: Vec<u32> =
        (0..stock.report.shells.len() as u32).filter(|shell| recipe.part_of_shell(*shell) == Some(id)).collect();
    if shells.is_empty() {
        return Ok(None);
    }
    let numbers: Vec<f64> = shells.iter().map(|shell| f64::from(*shell)).collect();
    let mended = match recipe.mends.iter().any(|mend| mend.enabled) || relief::of_part(recipe, id).next().is_some() {
        // Not kept: a model that needs no mending is then held once less.
        false => None,
        true => {
            let stock = (stock_key, stock);
            let mended = mended_shells(recipe, &shells, stock, cache, progress)?;
            Some(relief::relieved(recipe, id, stock, mended, cache, progress)?)
        }
    };
    let chosen_key = stock_key.then("shells").with_numbers(&numbers);
    let mended_key = mended.as_ref().map_or(chosen_key, |(key, _)| *key);

    progress.stage("giving the model its size");
    let key = mended_key.then("part").with_numbers(&[recipe.size.scale()]).with_numbers(&numbers_of_turn(recipe));
    let solid = cache.get_or_make(key, || match &mended {
        None => sized(recipe, chosen(stock, &shells)),
        Some((_, mended)) => sized(recipe, (*mended.faces).clone()),
    })?;
    let (closed, now) = match &mended {
        None => (None, as_read(&shells, stock)),
        Some(_) => {
            let look = || Ok::<_, Stop>(closing(&solid, &shells, stock));
            let found = cache.get_or_make(key.then("closed"), look)?;
            (Some(found.closed), found.shells.clone())
        }
    };
    let (mended, relieved) =
        mended.map_or_else(Default::default, |(_, made)| (made.done.clone(), made.relieved.clone()));
    Ok(Some((key, Part { id, solid, mended, relieved, closed, shells: now })))
}

/// The numbers that make a turn: where it puts the axes, and how far it lifts.
pub(super) fn numbers_of_turn(recipe: &Recipe) -> Vec<f64> {
    let turn = recipe.turn();
    let axes = [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]].map(|v| turn.direction(v.into()));
    axes.iter().flat_map(|v| v.iter().copied()).chain([turn.lift_mm()]).collect()
}

/// What to say where no shell is left.
pub(crate) fn nothing_kept() -> Stop {
    let text = "every shell is dropped: keep at least one".to_owned();
    Stop::Failed(Failure { stage: Stage::Shells, text, stock_moved: false, source: 0 })
}

/// The faces of some shells, in units of the file.
fn chosen(stock: &Stock, shells: &[u32]) -> Faces {
    let mut wanted = vec![false; stock.report.shells.len()];
    // A recipe may name shells that the file does not have.
    for shell in shells {
        if let Some(wanted) = wanted.get_mut(*shell as usize) {
            *wanted = true;
        }
    }
    let faces: Vec<u32> =
        (0..stock.mesh.triangles.len() as u32).filter(|t| wanted[stock.shell_of_face[*t as usize] as usize]).collect();
    let triangles = faces.iter().map(|&t| stock.mesh.triangles[t as usize]).collect();
    let mut mesh = Mesh { vertices: stock.mesh.vertices.clone(), triangles };
    if faces.len() < stock.mesh.triangles.len() {
        drop_unused_vertices(&mut mesh);
    }
    Faces { mesh, faces }
}

/// Some shells, mended.
pub(super) fn mended_shells(
    recipe: &Recipe,
    shells: &[u32],
    (stock_key, stock): (Key, &Stock),
    cache: &Cache,
    progress: &Progress,
) -> Result<(Key, Arc<Chosen>), Stop> {
    let numbers: Vec<f64> = shells.iter().map(|shell| f64::from(*shell)).collect();
    let key = stock_key.then("shells").with_numbers(&numbers);
    let begin = || {
        let faces = Arc::new(chosen(stock, shells));
        Ok::<_, Stop>(Chosen { faces, done: Arc::default(), relieved: Arc::default() })
    };
    mended(&recipe.mends, key, cache.get_or_make(key, begin)?, cache, progress)
}

/// One step after the other, each kept under its own key: switching the last one off costs nothing.
fn mended(
    mends: &[Mend],
    mut key: Key,
    mut now: Arc<Chosen>,
    cache: &Cache,
    progress: &Progress,
) -> Result<(Key, Arc<Chosen>), Stop> {
    for (at, mend) in mends.iter().enumerate().filter(|(_, mend)| mend.enabled) {
        progress.check()?;
        key = key.then("mend").with(format!("{at} {:?}", mend.step).as_bytes());
        let before = now;
        now = cache.get_or_make(key, || {
            let mut done = (*before.done).clone();
            let (faces, result) = match mend.step.apply(&before.faces.mesh, progress) {
                Ok(Mended { mesh, came_from, report }) => {
                    let known = |face: &u32| before.faces.faces.get(*face as usize).copied().unwrap_or(NEW_FACE);
                    (Arc::new(Faces { faces: came_from.iter().map(known).collect(), mesh }), Ok(report))
                }
                Err(_) if progress.check().is_err() => return Err(Stop::Cancelled),
                Err(error) => (before.faces.clone(), Err(error.to_string())),
            };
            done.push(MendDone { at, result });
            Ok::<_, Stop>(Chosen { faces, done: Arc::new(done), relieved: Arc::default() })
        })?;
    }
    Ok((key, now))
}

fn sized(recipe: &Recipe, Faces { mut mesh, faces }: Faces) -> Result<Solid, Stop> {
    let (scale, turn) = (recipe.size.scale(), recipe.turn());
    let as_made = recipe.stance.is_as_made();
    for p in &mut mesh.vertices {
        *p *= scale;
        if !as_made {
            *p = turn.place(*p);
        }
    }
    if turn.is_mirrored() {
        mesh.triangles.iter_mut().for_each(|face| face.swap(1, 2));
    }
    check_size(recipe, &mesh)?;
    let origins = faces.into_iter().map(FaceOrigin::stock).collect();
    let whole = Solid::from_stock(mesh);
    Ok(Solid { origins, ..whole })
}

/// Longest side that a model may have, mm. Beyond these no printer and no cut makes sense, and numbers lose their
/// digits; a model outside was given the wrong unit or factor. Our own choice, no source.
const LONGEST_SIDE_MM: std::ops::RangeInclusive<f64> = 1e-2..=1e7;

fn check_size(recipe: &Recipe, mesh: &Mesh) -> Result<(), Stop> {
    let longest = mesh.bounds().map_or(0.0, |bounds| bounds.size().amax());
    if LONGEST_SIDE_MM.contains(&longest) {
        return Ok(());
    }
    let text = format!(
        "the model would be {longest:.3e} mm long, read in {} and enlarged {} times: choose another unit or factor",
        recipe.size.unit.name(),
        recipe.size.factor
    );
    Err(Stop::Failed(Failure { stage: Stage::Size, text, stock_moved: false, source: 0 }))
}

/// Faces with the numbers that they have in the stock.
#[derive(Clone)]
pub(super) struct Faces {
    pub mesh: Mesh,
    pub faces: Vec<u32>,
}

/// Chosen shells after some steps of mending and relieving.
pub(super) struct Chosen {
    pub faces: Arc<Faces>,
    pub done: Arc<Vec<MendDone>>,
    pub relieved: Arc<Vec<ReliefDone>>,
}

impl Weigh for Chosen {
    fn bytes(&self) -> usize {
        mesh_bytes(&self.faces.mesh) + size_of_val(self.faces.faces.as_slice())
    }
}

impl Weigh for Solid {
    fn bytes(&self) -> usize {
        mesh_bytes(&self.mesh) + size_of_val(self.origins.as_slice())
    }
}
