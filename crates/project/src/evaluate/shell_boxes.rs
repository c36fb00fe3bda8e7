//! The box around each shell, at its size and as it stands: the same frame as that of the parts.

use std::sync::Arc;

use seamwright_geometry::{Bounds, Point};

use super::Stop;
use super::part::numbers_of_turn;
use crate::cache::{Cache, Key, Weigh};
use crate::outcome::Stock;
use crate::recipe::Recipe;

/// One for each shell of the stock, in mm.
pub(super) fn shell_boxes(
    recipe: &Recipe,
    stock_key: Key,
    stock: &Stock,
    cache: &Cache,
) -> Result<Arc<Vec<Bounds>>, Stop> {
    let scale = recipe.size.scale();
    if recipe.stance.is_as_made() {
        let scaled = |b: &Bounds| Bounds { min: b.min * scale, max: b.max * scale };
        return Ok(Arc::new(stock.report.shells.iter().map(|shell| scaled(&shell.bounds)).collect()));
    }
    let key = stock_key.then("shell boxes").with_numbers(&[scale]).with_numbers(&numbers_of_turn(recipe));
    let boxes = cache.get_or_make(key, || Ok::<_, Stop>(ShellBoxes(Arc::new(turned(recipe, stock)))))?;
    Ok(boxes.0.clone())
}

/// Of the corners themselves: the box of a box that is turned would be larger.
fn turned(recipe: &Recipe, stock: &Stock) -> Vec<Bounds> {
    let (scale, turn) = (recipe.size.scale(), recipe.turn());
    let none = Bounds { min: Point::from([f64::INFINITY; 3]), max: Point::from([f64::NEG_INFINITY; 3]) };
    let mut boxes = vec![none; stock.report.shells.len()];
    let places: Vec<Point> = stock.mesh.vertices.iter().map(|p| turn.place(*p * scale)).collect();
    for (face, shell) in stock.mesh.triangles.iter().zip(&stock.shell_of_face) {
        let Some(of_shell) = boxes.get_mut(*shell as usize) else { continue };
        for p in face.map(|v| places[v as usize]) {
            *of_shell = of_shell.union(&Bounds { min: p, max: p });
        }
    }
    boxes
}

struct ShellBoxes(Arc<Vec<Bounds>>);

impl Weigh for ShellBoxes {
    fn bytes(&self) -> usize {
        size_of_val(self.0.as_slice())
    }
}
