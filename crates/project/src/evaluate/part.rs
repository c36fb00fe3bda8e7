//! The part: the kept shells at their real size.

use std::sync::Arc;

use seamwright_geometry::{FaceOrigin, Mesh, Solid, drop_unused_vertices};

use super::Stop;
use super::stock::mesh_bytes;
use crate::cache::{Cache, Key, Weigh};
use crate::outcome::{Failure, Stage, Stock};
use crate::recipe::Recipe;

/// Scales the stock and leaves out dropped shells. Faces keep the numbers that they have in the stock.
pub(crate) fn part(recipe: &Recipe, stock_key: Key, stock: &Stock, cache: &Cache) -> Result<(Key, Arc<Solid>), Stop> {
    let dropped: Vec<f64> = recipe.dropped_shells.iter().map(|shell| f64::from(*shell)).collect();
    let key = stock_key.then("part").with_numbers(&[recipe.size.scale()]).with_numbers(&dropped);
    let part = cache.get_or_make(key, || make(recipe, stock))?;
    Ok((key, part))
}

fn make(recipe: &Recipe, stock: &Stock) -> Result<Solid, Stop> {
    let scale = recipe.size.scale();
    let kept = |t: &usize| !recipe.dropped_shells.contains(&stock.shell_of_face[*t]);
    let faces: Vec<usize> = (0..stock.mesh.triangles.len()).filter(kept).collect();
    if faces.is_empty() {
        let text = "every shell is dropped: keep at least one".to_owned();
        return Err(Stop::Failed(Failure { stage: Stage::Shells, text, stock_moved: false }));
    }
    let mut mesh = Mesh {
        vertices: stock.mesh.vertices.iter().map(|p| p * scale).collect(),
        triangles: faces.iter().map(|&t| stock.mesh.triangles[t]).collect(),
    };
    if faces.len() < stock.mesh.triangles.len() {
        drop_unused_vertices(&mut mesh);
    }
    check_size(recipe, &mesh)?;
    let origins = faces.iter().map(|&t| FaceOrigin::stock(t as u32)).collect();
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
    Err(Stop::Failed(Failure { stage: Stage::Size, text, stock_moved: false }))
}

impl Weigh for Solid {
    fn bytes(&self) -> usize {
        mesh_bytes(&self.mesh) + size_of_val(self.origins.as_slice())
    }
}
